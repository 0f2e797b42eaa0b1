// A file picked or dropped on the page goes to the program; what only a person knows is asked here.
const place = document.getElementById("bring");
const form = place.querySelector("form");
const said = document.getElementById("brought");
const fields = form.elements;
let waiting = null;

const picked = (name) => form.querySelector(`[name="${name}"]:checked`)?.value ?? "";
const part = (name) => form.querySelectorAll(`[data-for="${name}"]`);
const show = (name, shown) => { for (const one of part(name)) one.hidden = !shown; };

function ask() {
  const purpose = picked("purpose");
  for (const one of ["keep-out", "boundary", "under"]) show(one, one === purpose);
}

function say(words, wrong = false) {
  said.textContent = words;
  said.classList.toggle("wrong", wrong);
}

export async function post(path, body, how = {}) {
  try {
    const answer = await fetch(path, { method: "POST", body, ...how });
    if (answer.headers.get("content-type")?.includes("json")) return await answer.json();
    return { ok: false, errors: [{ where: "", problem: await answer.text(), remedy: "" }] };
  } catch {
    return { ok: false, errors: [{ where: "", problem: "It did not arrive.", remedy: "Is Homeleg still running?" }] };
  }
}

export const words = (told) => told.errors.map((one) => `${one.where ? `${one.where}: ` : ""}${one.problem} ${one.remedy}`).join(" ");

async function bring(file) {
  const given = new URLSearchParams({
    file: file.name,
    purpose: picked("purpose"),
    heights: fields.one_height.value || picked("heights"),
    kind: picked("purpose") === "keep-out" ? picked("kind") : "",
    top: picked("purpose") === "boundary" ? fields.top.value : "",
    columns: fields.columns.value,
  });
  say(`Reading ${file.name}…`);
  const told = await post(`${place.dataset.address}/file?${given}`, file);
  if (!told.ok) {
    waiting = file;
    fields.again.hidden = false;
    show("heights", told.asks_heights || !part("heights")[0].hidden);
    show("columns", file.name.toLowerCase().endsWith(".csv"));
    say(words(told), true);
    if (told.asks_heights) form.querySelector('[name="heights"]').focus();
    return;
  }
  waiting = null;
  fields.again.hidden = true;
  show("heights", false);
  show("columns", false);
  const left = told.lost.length ? ` Not carried over: ${told.lost.join("; ")}.` : "";
  const changed = told.changed.length ? ` Changed: ${told.changed.join("; ")}.` : "";
  say(`${file.name}: ${told.count}.${changed}${left}`);
  document.dispatchEvent(new Event("brought"));
}

async function take(files) {
  place.open = true;
  if (picked("purpose") === "under" || files.some((one) => /\.(png|jpe?g)$/i.test(one.name))) {
    document.dispatchEvent(new CustomEvent("underlay", { detail: { files, say } }));
    return;
  }
  for (const one of files) {
    await bring(one);
    if (waiting) return;
  }
}

form.addEventListener("change", (event) => {
  if (event.target.name === "purpose") ask();
  if (event.target.name === "heights") fields.one_height.value = "";
  if (event.target.name === "file") take([...event.target.files]);
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  if (waiting) bring(waiting);
});
for (const kind of ["dragover", "dragleave", "drop"]) {
  document.addEventListener(kind, (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    place.open = true;
    place.querySelector(".drop").classList.toggle("over", kind === "dragover");
    if (kind === "drop") take([...event.dataTransfer.files]);
  });
}
ask();
