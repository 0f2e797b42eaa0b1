// A keypad types into the line above it; without script the line alone does.
for (const pad of document.querySelectorAll(".keypad")) {
  const line = document.querySelector(`input[name="${pad.dataset.for}"]`);
  pad.hidden = false;
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("button")?.value;
    if (!key) return;
    if (key === "back") line.value = line.value.slice(0, -1);
    else if (key === "-") line.value = line.value.startsWith("-") ? line.value.slice(1) : `-${line.value}`;
    else line.value += key;
  });
}
