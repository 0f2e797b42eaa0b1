// What takes a moment says so on the button that was touched, and is not asked for twice.
const BACK_MS = 20000;

document.addEventListener("submit", (event) => {
  const words = event.target.dataset.waits;
  if (!words) return;
  const touched = event.submitter ? [event.submitter] : [];
  for (const act of new Set([...document.querySelectorAll("button.act"), ...touched])) {
    (act.querySelector("span") ?? act).textContent = words;
    act.disabled = true;
  }
});
document.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-waits]");
  if (!link) return;
  const words = link.textContent;
  link.textContent = link.dataset.waits;
  setTimeout(() => { link.textContent = words; }, BACK_MS);
});
