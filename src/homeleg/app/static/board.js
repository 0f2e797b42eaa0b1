// The board: the launch point in the middle, up wind at the top, everything in metres from there.
// Every change goes to the route's file and comes back from it; what is refused is said in words.
import { Underground, reliefBitmap } from "./board_canvas.js";
import { Lines } from "./board_lines.js";
import { underlay } from "./board_under.js";
import { Place, bearing, distance, radians, three } from "./board_place.js";

const NUDGE_M = 10;
const FINE_M = 1;
const SETTLES_MS = 400;

const holder = document.getElementById("board");
const beside = document.getElementById("beside");
const panel = document.getElementById("picked");
const said = document.getElementById("said");
const both = document.getElementById("both");
const { address, unit, wind } = holder.dataset;
const perMetre = Number(holder.dataset.perMetre);
const under = new Underground(holder.querySelector("canvas"));
const layers = { relief: null, picture: null, walked: null, flown: null, stale: false, each: false };

let board = JSON.parse(document.getElementById("board-data").textContent);
let picked = null;
let place;
let lines;

const shown = (metres) => Math.round(metres * perMetre);

function extent() {
  const points = board.items.map((one) => distance(one) + one.radius);
  const around = board.come_down.map((one) => distance(one) + one.radius);
  const limits = (layers.flown?.boundary ?? board.boundary).map(([east, north]) => Math.hypot(east, north));
  const route = Math.max(100, ...points);
  const sight = Math.min(layers.flown?.sight ?? 0, 1.5 * route);
  return 1.12 * Math.max(route, sight, ...around, ...limits.filter((one) => one < 2 * route));
}

function draw() {
  place = new Place(board.wind_from_deg, extent(), Math.max(holder.clientWidth, 300));
  lines = new Lines(board, layers.flown, place, { unit, perMetre, wind, windDeg: board.wind_from_deg });
  const svg = lines.draw();
  holder.querySelector("svg")?.remove();
  holder.append(svg);
  for (const group of svg.querySelectorAll(".item")) {
    const one = board.items.find((each) => each.name === group.dataset.name);
    group.addEventListener("focus", () => pick(one));
    group.addEventListener("keydown", (event) => nudge(event, one));
    group.addEventListener("pointerdown", (event) => drag(event, one, group));
  }
  under.paint(place, layers);
  pick(picked && board.items.find((one) => one.name === picked.name));
}

function pick(one) {
  if (one?.name !== picked?.name) typing = false;
  picked = one || null;
  for (const group of holder.querySelectorAll(".item")) group.classList.toggle("now", group.dataset.name === picked?.name);
  panel.hidden = !picked;
  if (!picked || typing) return;
  panel.querySelector("h2").textContent = lines.words(picked);
  fill("bearing", three(bearing(picked)));
  fill("distance", shown(distance(picked)));
  fill("height", picked.height === null ? "" : shown(picked.height));
  panel.querySelector('[name="height"]').disabled = !picked.by_launch;
}

const fill = (name, value) => { panel.querySelector(`[name="${name}"]`).value = value; };
const typed = (name) => Number(panel.querySelector(`[name="${name}"]`).value.replace(",", "."));

function typedPlace() {
  const metres = typed("distance") / perMetre;
  return { east: metres * Math.sin(radians(typed("bearing"))), north: metres * Math.cos(radians(typed("bearing"))) };
}

let waiting = 0;
function nudge(event, one) {
  const steps = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
  const step = steps[event.key];
  if (!step || !board.editable) return;
  event.preventDefault();
  const far = (event.shiftKey ? FINE_M : NUDGE_M) * place.scale;
  const [x, y] = place.at(one.east, one.north);
  [one.east, one.north] = place.ground(x + step[0] * far, y + step[1] * far);
  follow(one);
  clearTimeout(waiting);
  waiting = setTimeout(() => change({ name: one.name, east: one.east, north: one.north }), SETTLES_MS);
}

// Show a point where it now is, without drawing the rest anew.
function follow(one) {
  const [x, y] = place.at(one.east, one.north);
  const group = holder.querySelector(`[data-name="${CSS.escape(one.name)}"]`);
  for (const circle of group.querySelectorAll("circle")) { circle.setAttribute("cx", x); circle.setAttribute("cy", y); }
  group.querySelector("line")?.setAttribute("x1", x);
  group.querySelector("line")?.setAttribute("y1", y);
  const leg = holder.querySelector("polyline.leg");
  leg.classList.add("moving");
  leg.setAttribute("points", board.items.map((each) => place.at(each.east, each.north).join(",")).join(" "));
  panel.querySelector("h2").textContent = lines.words(one);
  fill("bearing", three(bearing(one)));
  fill("distance", shown(distance(one)));
}

function drag(event, one, group) {
  if (!board.editable || event.button) return;
  group.focus({ preventScroll: true });
  const target = group.querySelector(".target");
  target.setPointerCapture(event.pointerId);
  const corner = holder.querySelector("svg").getBoundingClientRect();
  let moved = false;
  const move = (at) => {
    moved = true;
    [one.east, one.north] = place.ground(at.clientX - corner.left, at.clientY - corner.top);
    follow(one);
  };
  const end = (kept) => {
    target.removeEventListener("pointermove", move);
    if (!moved) return;
    if (kept) change({ name: one.name, east: one.east, north: one.north });
    else renew();
  };
  target.addEventListener("pointermove", move);
  target.addEventListener("pointerup", () => end(true), { once: true });
  target.addEventListener("pointercancel", () => end(false), { once: true });
}

// What the files held when this board was made goes along with each change, and comes back anew.
let madeFrom = document.documentElement.dataset.madeFrom ?? "";

async function ask(path, fields) {
  const how = fields
    ? { method: "POST", body: new URLSearchParams(fields), headers: { "Made-From": madeFrom, accept: "application/json" } }
    : { cache: "no-store" };
  try {
    const answer = await fetch(path, how);
    const told = await answer.json();
    if (answer.status !== 409) madeFrom = answer.headers.get("Made-From") ?? madeFrom;
    return { status: answer.status, told };
  } catch {
    return { status: 0, told: { ok: false, errors: [{ problem: "Nothing was kept.", remedy: "Is Homeleg still running?" }] } };
  }
}

async function change(fields) {
  typing = false;
  const { status, told } = await ask(address, fields);
  tell(told.ok ? "Kept." : told.errors.map((one) => `${one.problem} ${one.remedy}`).join(" "), !told.ok);
  if (status === 409) return twoVersions(fields);
  both.hidden = true;
  if (!told.board) return draw();
  renewWith(told.board, fields.new_name ?? fields.name);
}

function renewWith(fresh, name) {
  layers.stale ||= JSON.stringify(fresh.items) !== JSON.stringify(board.items);
  board = fresh;
  draw();
  if (name) holder.querySelector(`[data-name="${CSS.escape(name)}"]`)?.focus({ preventScroll: true });
}

// Never under the hands of somebody who types: what they keep then meets what is there.
let typing = false;
panel.addEventListener("input", () => { typing = true; });

async function renew() {
  if (typing && panel.contains(document.activeElement)) return;
  const { status, told } = await ask(`${address}/board`);
  if (status === 200) renewWith(told, null);
}

function tell(words, wrong = false) {
  said.textContent = words;
  said.classList.toggle("wrong", wrong);
}

// Another window has kept something in between: both are shown, and a person says which stands.
async function twoVersions(fields) {
  tell("Changed in another window: yours is not kept.", true);
  const { status, told: fresh } = await ask(`${address}/board`);
  if (status !== 200) return;
  const there = fresh.items.find((one) => one.name === fields.name);
  const yours = { ...(there ?? picked), ...("east" in fields ? { east: Number(fields.east), north: Number(fields.north) } : {}) };
  both.querySelector(".there").textContent = there ? lines.words(there) : "no such point now";
  both.querySelector(".yours").textContent = fields.drop ? "take it away" : fields.stamp ? `the ${fields.stamp}` : lines.words(yours);
  both.hidden = false;
  const answer = (event) => {
    event.preventDefault();
    both.removeEventListener("submit", answer);
    both.hidden = true;
    const mine = event.submitter.value === "yours";
    tell(mine ? "" : "Left as it is there.");
    renewWith(fresh, fields.name);
    if (mine) change(fields);
  };
  both.addEventListener("submit", answer);
  both.querySelector("button").focus();
}

panel.addEventListener("submit", (event) => {
  event.preventDefault();
  const wanted = event.submitter?.value ?? "move";
  if (wanted === "drop") return change({ name: picked.name, drop: "yes" });
  const { east, north } = typedPlace();
  const fields = { name: picked.name, east, north };
  if (picked.by_launch) fields.height = typed("height") / perMetre;
  if (wanted === "add") fields.new_name = freeName();
  return change(fields);
});

function freeName() {
  const there = new Set(board.items.map((one) => one.name));
  for (const letter of "ABCDEFGHIJKLMNOPQRSTUVWXYZ") if (!there.has(letter)) return letter;
  return `Point ${board.items.length}`;
}

document.getElementById("stamps").addEventListener("submit", (event) => {
  event.preventDefault();
  change({ stamp: event.submitter.value, size: Number(event.target.elements.size.value.replace(",", ".")) / perMetre });
});

document.getElementById("each").addEventListener("change", (event) => {
  layers.each = event.target.checked;
  under.paint(place, layers);
});

// What was computed: the flights on the board, the way back and the changed sentences beside it.
async function computed() {
  const answer = await fetch(`${address}/computed`, { cache: "no-store" });
  if (answer.status !== 200) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  beside.replaceChildren(document.adoptNode(fresh.getElementById("computed")));
  const sentence = beside.querySelector("[data-sentence]")?.dataset.sentence;
  if (sentence) document.querySelector("h1").textContent = sentence;
  const data = beside.querySelector("#flown-data");
  if (!data) return;
  const told = JSON.parse(data.textContent);
  layers.flown = told.drawn;
  layers.stale = told.as_of !== board.as_of;
  if (layers.stale) await renew();
  layers.stale = told.as_of !== board.as_of;
  const focused = document.activeElement?.dataset?.name;
  draw();
  if (focused) holder.querySelector(`[data-name="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
}

async function relief() {
  if (!board.relief) return under.paint(place, layers);
  const answer = await fetch(`${address}/relief`);
  if (!answer.ok) return;
  const { columns, rows, corners } = board.relief;
  const bitmap = await reliefBitmap(new Uint8Array(await answer.arrayBuffer()), columns, rows);
  layers.relief = { bitmap, corners };
  under.paint(place, layers);
}

let source;
function listen() {
  source?.close();
  source = new EventSource(`${address.replace(/\/route$/, "")}/events`);
  for (const kind of ["quick", "full", "refused"]) source.addEventListener(kind, computed);
}

let width = 0;
new ResizeObserver(() => {
  if (Math.abs(holder.clientWidth - width) < 2) return;
  width = holder.clientWidth;
  draw();
}).observe(holder);

await document.fonts.ready;
draw();
relief();
listen();
document.addEventListener("back", listen);
document.addEventListener("brought", renew);
document.addEventListener("laid", ({ detail }) => {
  Object.assign(layers, detail);
  under.paint(place, layers);
});
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", relief);
Object.assign(layers, await underlay());
under.paint(place, layers);
