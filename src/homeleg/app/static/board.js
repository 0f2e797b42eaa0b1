// The board: the launch point in the middle, up wind at the top, everything in metres from there.
// Every change goes to the route's file and comes back from it; what is refused is said in words.
const SIZE = 760;
const MIDDLE = SIZE / 2;
const RIM = 330;
const RINGS_M = [25, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000, 10000];
const NUDGE_M = 10;
// On a phone the board is drawn at half its size: its letters are twice as large there.
const LARGER = matchMedia("(max-width: 640px)").matches ? 1.7 : 1;
const SVG = "http://www.w3.org/2000/svg";

const place = document.getElementById("board");
const panel = document.getElementById("picked");
const said = document.getElementById("said");
const unit = place.dataset.unit;
const perMetre = Number(place.dataset.perMetre);
const address = place.dataset.address;

let board = JSON.parse(document.getElementById("board-data").textContent);
let picked = null;
let scale = 1;

const radians = (deg) => (deg * Math.PI) / 180;
const shown = (metres) => Math.round(metres * perMetre);

function make(tag, attributes, parent, text) {
  const one = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) one.setAttribute(name, value);
  if (text !== undefined) one.textContent = text;
  parent?.append(one);
  return one;
}

// Metres east and north to the board, and back.
function onBoard(east, north) {
  const turn = radians(board.wind_from_deg);
  const up = north * Math.cos(turn) + east * Math.sin(turn);
  const right = east * Math.cos(turn) - north * Math.sin(turn);
  return [MIDDLE + right * scale, MIDDLE - up * scale];
}

function onGround(x, y) {
  const turn = radians(board.wind_from_deg);
  const right = (x - MIDDLE) / scale;
  const up = (MIDDLE - y) / scale;
  return [up * Math.sin(turn) + right * Math.cos(turn), up * Math.cos(turn) - right * Math.sin(turn)];
}

const distance = (one) => Math.hypot(one.east, one.north);
const bearing = (one) => (Math.atan2(one.east, one.north) * 180 / Math.PI + 360) % 360;
const three = (deg) => String(Math.round(deg) % 360).padStart(3, "0");

function words(one) {
  const height = one.height === null ? "" : `, ${shown(one.height)} ${unit} ${one.above}`;
  if (one.kind === "orbit") return `${one.name}, circle of ${shown(one.radius)} ${unit}${height}`;
  return `${one.name}, ${shown(distance(one))} ${unit} at ${three(bearing(one))}${height}`;
}

function extent() {
  const reach = board.items.map((one) => distance(one) + one.radius);
  const corners = [board.boundary, ...board.keep_out.map((one) => one.corners)].flat();
  const around = board.come_down.map((one) => distance(one) + one.radius);
  return Math.max(100, ...reach, ...around, ...corners.map(([e, n]) => Math.hypot(e, n))) * 1.12;
}

function draw() {
  const farthest = extent();
  scale = RIM / farthest;
  const step = RINGS_M.find((one) => farthest / (one / perMetre) <= 5) ?? 20000;
  const svg = make("svg", { viewBox: `0 0 ${SIZE} ${SIZE}`, role: "group", "aria-label": "The board, up wind at the top" });
  hatch(svg);
  make("circle", { cx: MIDDLE, cy: MIDDLE, r: RIM + 14, class: "rim" }, svg);
  grid(svg, farthest, step);
  grounds(svg);
  wind(svg);
  route(svg);
  make("circle", { cx: MIDDLE, cy: MIDDLE, r: 9, class: "launch" }, svg);
  make("path", { d: `M${MIDDLE} ${MIDDLE - 5}l4.5 8h-9z`, class: "solid" }, svg);
  place.replaceChildren(svg);
  pick(picked && board.items.find((one) => one.name === picked.name));
}

function hatch(svg) {
  const defs = make("defs", {}, svg);
  const pattern = make("pattern", { id: "keep-out", width: 9, height: 9, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, defs);
  make("rect", { width: 9, height: 9, class: "channel" }, pattern);
  make("rect", { width: 1.6, height: 9, class: "solid" }, pattern);
  make("rect", { x: 3.6, width: 1.6, height: 9, class: "solid" }, pattern);
}

function grid(svg, farthest, step) {
  for (let bearing_deg = 0; bearing_deg < 360; bearing_deg += 45) {
    const turn = radians(bearing_deg - board.wind_from_deg);
    const [x, y] = [Math.sin(turn), -Math.cos(turn)];
    make("line", { x1: MIDDLE, y1: MIDDLE, x2: MIDDLE + x * (RIM + 14), y2: MIDDLE + y * (RIM + 14), class: "spoke" }, svg);
    if (Math.abs(Math.atan2(x, -y)) > 0.2) label(svg, MIDDLE + x * (RIM - 4), MIDDLE + y * (RIM - 4) + 5, three(bearing_deg), "bearing");
  }
  const between = emptiest();
  for (let ring = step; ring / perMetre < farthest; ring += step) {
    const radius = (ring / perMetre) * scale;
    make("circle", { cx: MIDDLE, cy: MIDDLE, r: radius, class: "ring" }, svg);
    label(svg, MIDDLE + radius * Math.sin(between), MIDDLE - radius * Math.cos(between) + 6, `${ring} ${unit}`, "distance");
  }
}

// The direction between two spokes, which lie where the wind puts them, that is farthest from the route.
function emptiest() {
  const first = ((360 - board.wind_from_deg) % 45) + 22.5;
  const route = board.items.filter((one) => distance(one) * scale > 20).map((one) => bearing(one) - board.wind_from_deg);
  const apart = (one, other) => Math.abs(((one - other + 540) % 360 + 360) % 360 - 180);
  const room = (one) => Math.min(180, ...route.map((other) => apart(one, other)));
  const directions = [0, 1, 2, 3, 4, 5, 6, 7].map((number) => first + 45 * number);
  return radians(directions.reduce((best, one) => (room(one) > room(best) ? one : best)));
}

function label(svg, x, y, text, kind, anchor = "middle") {
  for (const halo of ["halo", ""]) {
    make("text", { x, y, class: `${kind} ${halo}`, "text-anchor": anchor, "aria-hidden": halo ? "true" : "false" }, svg, text);
  }
}

function grounds(svg) {
  if (board.boundary.length) make("polygon", { points: path(board.boundary), class: "boundary" }, svg);
  for (const one of board.keep_out) {
    make("polygon", { points: path(one.corners), class: "keep-out" }, svg);
    const middle = one.corners.reduce(([e, n], [a, b]) => [e + a / one.corners.length, n + b / one.corners.length], [0, 0]);
    label(svg, ...onBoard(...middle), `keep out: ${one.name}`, "name");
  }
  for (const one of board.come_down) {
    const [x, y] = onBoard(one.east, one.north);
    for (const less of [0, 6]) make("circle", { cx: x, cy: y, r: Math.max(one.radius * scale - less, 4), class: "come-down" }, svg);
  }
}

const path = (corners) => corners.map(([east, north]) => onBoard(east, north).map((v) => v.toFixed(1)).join(",")).join(" ");

function wind(svg) {
  make("path", { d: `M${MIDDLE - 16} 4h32l-16 30z`, class: "solid" }, svg);
  label(svg, MIDDLE + 24, 26, LARGER > 1 ? place.dataset.wind.replace("wind ", "") : place.dataset.wind, "wind", "start");
}

function route(svg) {
  const points = board.items.map((one) => onBoard(one.east, one.north));
  make("polyline", { points: points.map((one) => one.join(",")).join(" "), class: "leg" }, svg);
  points.slice(1).forEach(([x, y], number) => {
    const [fromX, fromY] = points[number];
    const length = Math.hypot(x - fromX, y - fromY);
    if (length < 60) return;
    const turn = (Math.atan2(y - fromY, x - fromX) * 180) / Math.PI + 90;
    make("path", { d: "M0-8 7 6H-7z", class: "way", transform: `translate(${(x + fromX) / 2} ${(y + fromY) / 2}) rotate(${turn})` }, svg);
  });
  const taken = [];
  for (const one of board.items) if (one.movable) item(svg, one, taken);
}

function item(svg, one, taken) {
  const [x, y] = onBoard(one.east, one.north);
  if (one.radius) make("circle", { cx: x, cy: y, r: one.radius * scale, class: "leg" }, svg);
  const group = make("g", { class: "item", tabindex: 0, role: "button", "aria-label": words(one), "data-name": one.name }, svg);
  const outward = one.radius ? [0.7, -0.7] : away(x, y);
  let labelX = x + outward[0] * 54;
  let labelY = y + outward[1] * 40;
  while (taken.some(([a, b]) => Math.abs(a - labelX) < 90 * LARGER && Math.abs(b - labelY) < 24 * LARGER)) labelY += 24 * LARGER;
  taken.push([labelX, labelY]);
  const anchor = outward[0] < 0 ? "end" : "start";
  make("line", { x1: x, y1: y, x2: labelX, y2: labelY, class: "leader" }, group);
  label(group, labelX + (anchor === "end" ? -5 : 5), labelY + 6, one.name, "name", anchor);
  make("circle", { cx: x, cy: y, r: 30, class: "target" }, group);
  make("circle", { cx: x, cy: y, r: 7, class: "point" }, group);
  group.addEventListener("focus", () => pick(one));
  group.addEventListener("keydown", (event) => nudge(event, one));
  group.addEventListener("pointerdown", (event) => drag(event, one, svg, group));
}

function away(x, y) {
  const [dx, dy] = [x - MIDDLE, y - MIDDLE];
  const length = Math.hypot(dx, dy);
  return length < 20 ? [1, 0] : [dx / length, dy / length];
}

function pick(one) {
  picked = one || null;
  for (const group of place.querySelectorAll(".item")) group.classList.toggle("now", group.dataset.name === picked?.name);
  panel.hidden = !picked;
  if (!picked) return;
  panel.querySelector("h2").textContent = words(picked);
  fill("bearing", three(bearing(picked)));
  fill("distance", shown(distance(picked)));
  fill("height", picked.height === null ? "" : shown(picked.height));
  panel.querySelector('[name="height"]').disabled = !picked.by_launch;
}

const fill = (name, value) => { panel.querySelector(`[name="${name}"]`).value = value; };
const typed = (name) => Number(panel.querySelector(`[name="${name}"]`).value);

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
  const [x, y] = onBoard(one.east, one.north);
  [one.east, one.north] = onGround(x + step[0] * NUDGE_M * scale, y + step[1] * NUDGE_M * scale);
  redraw(one.name);
  clearTimeout(waiting);
  waiting = setTimeout(() => change({ name: one.name, east: one.east, north: one.north }), 400);
}

function drag(event, one, svg, group) {
  if (!board.editable || event.button) return;
  group.focus();
  svg.setPointerCapture(event.pointerId);
  const matrix = svg.getScreenCTM().inverse();
  const follow = (moved) => {
    const at = new DOMPoint(moved.clientX, moved.clientY).matrixTransform(matrix);
    [one.east, one.north] = onGround(at.x, at.y);
    for (const circle of group.querySelectorAll("circle")) { circle.setAttribute("cx", at.x); circle.setAttribute("cy", at.y); }
    svg.querySelector("polyline.leg").setAttribute("points", board.items.map((each) => onBoard(each.east, each.north).join(",")).join(" "));
    panel.querySelector("h2").textContent = words(one);
  };
  const drop = () => {
    svg.removeEventListener("pointermove", follow);
    if (moved) change({ name: one.name, east: one.east, north: one.north });
  };
  let moved = false;
  svg.addEventListener("pointermove", () => { moved = true; }, { once: true });
  svg.addEventListener("pointermove", follow);
  svg.addEventListener("pointerup", drop, { once: true });
}

function redraw(name) {
  draw();
  place.querySelector(`[data-name="${CSS.escape(name)}"]`)?.focus({ preventScroll: true });
}

async function change(fields) {
  const answer = await fetch(address, { method: "POST", body: new URLSearchParams(fields) });
  const told = await answer.json();
  said.textContent = told.ok ? "Kept." : told.errors.map((one) => `${one.problem} ${one.remedy}`).join(" ");
  said.classList.toggle("wrong", !told.ok);
  board = told.board;
  redraw(fields.new_name ?? fields.name ?? "");
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
  change({ stamp: event.submitter.value, size: Number(event.target.elements.size.value) / perMetre });
});

draw();
