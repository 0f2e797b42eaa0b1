// While an answer is typed, shows what would follow from it.
const WAIT_MS = 120;
const place = document.getElementById("follows");
const form = document.getElementById("answer");
let waiting = 0;
let latest = 0;

form?.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(show, WAIT_MS);
});

async function show() {
  const mine = ++latest;
  const typed = new URLSearchParams(new FormData(form));
  try {
    const answer = await fetch(`${form.getAttribute("action")}/picture?${typed}`);
    if (!answer.ok) return;
    const words = await answer.text();
    if (mine === latest && words.trim()) place.innerHTML = words;
  } catch {
    // The page says by itself that the program has stopped.
  }
}
