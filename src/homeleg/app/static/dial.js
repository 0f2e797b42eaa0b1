// Follows the look at other winds: its progress, and the page anew when there is another answer.
const flying = document.getElementById("flying");
const shown = document.querySelector("[data-key]")?.dataset.key;
let source;

function progress(event) {
  const [, what, share] = event.data.split("|");
  if (!flying) return;
  flying.hidden = false;
  document.getElementById("flown").value = Number(share);
  document.getElementById("flying-words").textContent = `${what}, ${Math.round(100 * share)} %`;
}

function listen() {
  source?.close();
  source = new EventSource(`${location.pathname}/events`);
  source.addEventListener("progress", progress);
  source.addEventListener("winds", (event) => {
    if (event.data !== shown) location.reload();
    else if (flying) flying.hidden = true;
  });
  source.addEventListener("refused", () => {
    if (!document.querySelector(".problems")) location.reload();
  });
  source.addEventListener("stopped", () => {
    flying.hidden = true;
    source.close();
  });
}

flying?.addEventListener("submit", async (event) => {
  event.preventDefault();
  await fetch(flying.action, { method: "POST" });
});
document.addEventListener("back", listen);
listen();
