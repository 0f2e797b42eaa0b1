// Shows how far something is that was begun, and reads the page again once it is done.
const AGAIN_MS = 400;
const form = document.getElementById("flying");
let isLeft = false; // what was begun is being stopped: to read the page again would begin it anew
form.addEventListener("submit", () => { isLeft = true; });

async function look() {
  try {
    const answer = await fetch(form.dataset.at);
    if (answer.ok) {
      const { done, what, share } = await answer.json();
      if (isLeft) return;
      if (done) return location.reload();
      document.getElementById("flown").value = share;
      document.getElementById("flying-words").textContent = `${what}, ${Math.round(100 * share)} %`;
    }
  } catch {
    // The page says by itself that the program has stopped.
  }
  if (!isLeft) setTimeout(look, AGAIN_MS);
}
setTimeout(look, AGAIN_MS);
