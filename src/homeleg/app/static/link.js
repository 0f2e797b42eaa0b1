// Follows the link: a page anew for each turn of it, what is heard in between; what is typed stays.
const PARTS = ["head", "main", "act", "caution"];
const HEARD = ["age", "verified", "margin", "who", "circle", "missing"];
const SILENT_MS = 3000;
const byId = (id) => document.getElementById(id);
let source;
let heardAt = 0;
let last;

function kept() {
  const fields = [...document.querySelectorAll("#main input")];
  return {
    open: [...document.querySelectorAll("details")].map((one) => [one.id, one.open]),
    typed: fields.filter((one) => one.id).map((one) => [one.id, one.value]),
    focus: document.activeElement?.id,
  };
}

function give(back) {
  for (const [id, open] of back.open) if (byId(id)) byId(id).open = open;
  for (const [id, value] of back.typed) if (byId(id) && value) byId(id).value = value;
  byId(back.focus)?.focus({ preventScroll: true });
}

async function renew() {
  const answer = await fetch(location.pathname, { cache: "no-store" });
  if (!answer.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  const back = kept();
  for (const id of PARTS) byId(id).replaceWith(document.adoptNode(fresh.getElementById(id)));
  document.title = fresh.title;
  give(back);
  if (Date.now() - heardAt > SILENT_MS) last = undefined; // of before what was done meanwhile
  show();
}

// A figure that is old is no figure: without news for a while only that is said.
function show() {
  if (!byId("age") || !last) return;
  const silent = Date.now() - heardAt > SILENT_MS;
  const told = silent ? { age: "NO DATA", verified: last.verified && "NOT VERIFIED: nothing is heard from the program" } : last;
  for (const id of HEARD) byId(id).textContent = told[id] ?? "";
  byId("figures").textContent = (told.figures ?? []).join(" | ");
  byId("moved").textContent = told.moved ?? "";
  byId("moved").hidden = !told.moved;
  byId("age").classList.toggle("old", silent || told.is_old);
}

function listen() {
  source?.close();
  const follow = byId("follow");
  if (!follow?.dataset.turns) return;
  source = new EventSource(`${follow.dataset.address}/events`);
  source.addEventListener("turned", (event) => {
    if (event.data !== byId("follow").dataset.turns) renew();
  });
  source.addEventListener("doing", (event) => {
    if (byId("doing")) byId("doing").textContent = event.data;
  });
  source.addEventListener("recording", (event) => {
    if (byId("recording")) byId("recording").textContent = event.data;
  });
  source.addEventListener("heard", (event) => {
    [last, heardAt] = [JSON.parse(event.data), Date.now()];
    show();
  });
}

setInterval(show, 500);
document.addEventListener("back", listen);
listen();
