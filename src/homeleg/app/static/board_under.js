// What lies under the board: a picture tied by two of its points, a world file or KML; a walked way.
import { post, words } from "./board_bring.js";

const bring = document.getElementById("bring");
const panel = document.getElementById("tie");
const canvas = panel.querySelector("canvas");
const pen = canvas.getContext("2d");
const said = document.getElementById("under-said");
const [STEP, FINE] = [8, 1];
const address = bring.dataset.underlay;

let bitmap = null;
let points = [];
let at = [0, 0];

// The picture as it came, pixel by pixel: what a camera says of its top is left out.
async function load() {
  const answer = await fetch(`${address}/picture`, { cache: "no-store" });
  if (!answer.ok) return null;
  return createImageBitmap(await answer.blob(), { imageOrientation: "none" });
}

export async function underlay() {
  const answer = await fetch(address, { cache: "no-store" });
  if (!answer.ok) return { picture: null, walked: null };
  return laid(await answer.json());
}

async function laid(told) {
  said.textContent = told.words;
  for (const button of panel.parentElement.querySelectorAll("[data-away]")) {
    button.hidden = button.dataset.away === "nothing" ? !(told.picture || told.waits) : !told.walked.length;
  }
  try {
    if (told.picture || told.waits) bitmap = await load();
  } catch {
    said.textContent = "The picture cannot be drawn: is it whole? Drop it again.";
    return { picture: null, walked: told.walked };
  }
  if (told.waits) open();
  else panel.hidden = true;
  return {
    picture: told.picture && bitmap ? { bitmap, corners: told.picture.corners } : null,
    walked: told.walked.length ? told.walked : null,
  };
}

const tell = async (told) => {
  if (!told.ok) {
    said.textContent = words(told);
    said.classList.add("wrong");
    return false;
  }
  said.classList.remove("wrong");
  document.dispatchEvent(new CustomEvent("laid", { detail: await laid(told) }));
  return true;
};

const tie = (fields) => post(address, new URLSearchParams(fields));

document.addEventListener("underlay", async ({ detail: { files, say } }) => {
  const order = (one) => (/\.(png|jpe?g)$/i.test(one.name) ? 0 : 1);
  for (const file of [...files].sort((one, other) => order(one) - order(other))) {
    say(`Reading ${file.name}…`);
    const told = /\.(pgw|jgw|wld)$/i.test(file.name)
      ? await tie({ by: "world", world: await file.text() })
      : await post(`${bring.dataset.address}/underlay?file=${encodeURIComponent(file.name)}`, file);
    if (!(await tell(told))) return say(words(told), true);
    say(`${file.name} lies under the board${panel.hidden ? "" : " once it is tied: say where two of its points are"}.`);
  }
});

function open() {
  points = [];
  panel.hidden = false;
  const scale = Math.min(1, 1600 / Math.max(bitmap.width, bitmap.height));
  canvas.width = Math.round(bitmap.width * scale);
  canvas.height = Math.round(bitmap.height * scale);
  at = [canvas.width / 2, canvas.height / 2];
  show();
}

function show() {
  pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  const large = Math.max(1, canvas.width / Math.max(canvas.clientWidth, 1));
  const mark = ([x, y], name) => {
    for (const [colour, width] of [["#FFF", 7], ["#000", 3]]) {
      pen.strokeStyle = colour;
      pen.lineWidth = width * large;
      pen.beginPath();
      pen.arc(x, y, 12 * large, 0, 2 * Math.PI);
      for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
        pen.moveTo(x + 5 * dx * large, y + 5 * dy * large);
        pen.lineTo(x + 22 * dx * large, y + 22 * dy * large);
      }
      pen.stroke();
    }
    if (!name) return;
    pen.font = `700 ${20 * large}px "Clear Sans", sans-serif`;
    pen.lineWidth = 5 * large;
    pen.strokeStyle = "#FFF";
    pen.strokeText(name, x + 16 * large, y - 14 * large);
    pen.fillStyle = "#000";
    pen.fillText(name, x + 16 * large, y - 14 * large);
  };
  points.forEach((point, number) => mark(point, String(number + 1)));
  if (document.activeElement === canvas && points.length < 2) mark(at, "");
  panel.querySelector("[name=tie]").disabled = points.length < 2;
}

function set(point) {
  if (points.length === 2) points = [];
  points.push(point);
  show();
  panel.querySelector(`[name="place${points.length}"]`).focus({ preventScroll: true });
}

canvas.addEventListener("click", (event) => {
  const box = canvas.getBoundingClientRect();
  set([((event.clientX - box.left) * canvas.width) / box.width, ((event.clientY - box.top) * canvas.height) / box.height]);
});
canvas.addEventListener("keydown", (event) => {
  const steps = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
  if (event.key === "Enter") {
    event.preventDefault();
    set([...at]);
  }
  const step = steps[event.key];
  if (!step) return;
  event.preventDefault();
  const far = event.shiftKey ? FINE : STEP;
  at = [Math.min(Math.max(at[0] + step[0] * far, 0), canvas.width), Math.min(Math.max(at[1] + step[1] * far, 0), canvas.height)];
  show();
});
for (const kind of ["focus", "blur"]) canvas.addEventListener(kind, show);

panel.addEventListener("submit", async (event) => {
  event.preventDefault();
  const whole = bitmap.width / canvas.width;
  const [[x1, y1], [x2, y2]] = points.map((point) => point.map((one) => (one * whole).toFixed(1)));
  const [place1, place2] = [1, 2].map((number) => panel.elements[`place${number}`].value);
  await tell(await tie({ by: "points", x1, y1, x2, y2, place1, place2 }));
});
panel.parentElement.addEventListener("click", async (event) => {
  const away = event.target.closest("[data-away]")?.dataset.away;
  if (away) await tell(await tie({ by: away }));
});
