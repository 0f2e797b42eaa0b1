// Follows the answer: quick first, the full one in its place, anew when a file changes. The page is
// fetched again for each; what was unfolded, picked or being typed stays as it was.
const PARTS = ["head", "main", "act", "caution"];
const address = location.pathname;
let source;

const byId = (id) => document.getElementById(id);

function kept() {
  return {
    open: [...document.querySelectorAll("details")].map((one) => [one.id, one.open]),
    axis: document.querySelector('input[name="axis"]:checked')?.value,
    typed: byId("wind-now")?.value,
    focus: document.activeElement?.id || document.activeElement?.closest("details")?.id,
  };
}

function give(back) {
  for (const [id, open] of back.open) if (byId(id)) byId(id).open = open;
  if (back.axis && byId(`axis-${back.axis}`)) byId(`axis-${back.axis}`).checked = true;
  if (back.typed && byId("wind-now")) byId("wind-now").value = back.typed;
  const focus = back.focus && byId(back.focus);
  (focus?.tagName === "DETAILS" ? focus.querySelector("summary") : focus)?.focus({ preventScroll: true });
}

async function renew() {
  const answer = await fetch(address, { cache: "no-store" });
  if (!answer.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  const back = kept();
  for (const id of PARTS) byId(id).replaceWith(document.adoptNode(fresh.getElementById(id)));
  document.title = fresh.title;
  give(back);
}

function progress(event) {
  const [name, what, share] = event.data.split("|");
  const flying = byId("flying");
  if (!flying) return;
  flying.hidden = false;
  byId("flown").value = Number(share);
  const percent = `${Math.round(100 * share)} %`;
  byId("flying-words").textContent = {
    quick: "Quick answer first",
    full: `Full answer: ${what}, ${percent}`,
    change: `Looking for a change that mends it: ${what}, ${percent}`,
  }[name];
}

function listen() {
  source?.close();
  source = new EventSource(`${address}/events`);
  source.addEventListener("progress", progress);
  for (const kind of ["quick", "refused", "stopped"]) source.addEventListener(kind, renew);
  for (const kind of ["full", "change"]) source.addEventListener(kind, async () => {
    await renew();
    if (byId("flying")) byId("flying").hidden = true;
  });
}

// A number leads to its row: unfold what hides it.
function unfold() {
  const target = location.hash && byId(location.hash.slice(1));
  if (!target) return;
  for (let one = target; one; one = one.parentElement) if (one.tagName === "DETAILS") one.open = true;
  target.scrollIntoView({ block: "nearest" });
  (target.querySelector?.("summary") ?? target).focus();
}

document.addEventListener("submit", async (event) => {
  if (event.target.id !== "flying") return;
  event.preventDefault();
  await fetch(event.target.action, { method: "POST" });
});
document.addEventListener("back", listen);
addEventListener("hashchange", unfold);
document.addEventListener("click", (event) => {
  const link = event.target.closest('a[href^="#"]');
  if (link && link.hash === location.hash) unfold();
});
listen();
unfold();
