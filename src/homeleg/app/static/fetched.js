// A file that is chosen or dropped is read here and sent as text; it is not kept.
const LARGEST_BYTES = 2 * 1024 * 1024;

for (const form of document.querySelectorAll("form.fetched")) {
  const input = form.querySelector("input[type=file]");
  const wrong = form.querySelector("[data-file]");
  const take = async (file) => {
    if (!file) return;
    wrong.hidden = file.size <= LARGEST_BYTES;
    wrong.textContent = wrong.hidden ? "" : `${file.name} holds more than 2 MB: is it a route?`;
    if (!wrong.hidden) return;
    form.elements.name.value = file.name;
    form.elements.text.value = await file.text();
  };
  input.disabled = false;
  input.addEventListener("change", () => take(input.files[0]));
  form.elements.text.addEventListener("input", () => { form.elements.name.value = ""; });
  form.addEventListener("dragover", (event) => event.preventDefault());
  form.addEventListener("drop", (event) => {
    event.preventDefault();
    take(event.dataTransfer.files[0]);
  });
}
