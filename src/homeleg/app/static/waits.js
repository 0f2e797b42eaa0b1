// Shows how far something is that was begun, and reads the page again once it is done.
const AGAIN_MS = 400;
const form = document.getElementById("flying");

async function look() {
  try {
    const answer = await fetch(form.dataset.at);
    if (answer.ok) {
      const { done, what, share } = await answer.json();
      if (done) return location.reload();
      document.getElementById("flown").value = share;
      document.getElementById("flying-words").textContent = `${what}, ${Math.round(100 * share)} %`;
    }
  } catch {
    // The page says by itself that the program has stopped.
  }
  setTimeout(look, AGAIN_MS);
}
setTimeout(look, AGAIN_MS);
