// A keypad types into the line above it; without script the line alone does.
for (const pad of document.querySelectorAll(".keypad")) {
  const line = document.querySelector(`input[name="${pad.dataset.for}"]`);
  pad.hidden = false;
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("button")?.value;
    if (!key) return;
    line.value = key === "back" ? line.value.slice(0, -1) : line.value + key;
  });
}
