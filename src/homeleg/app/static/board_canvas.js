// What lies under the board's lines, on a bitmap that a drag does not touch: ground shaded once, a
// picture or a walked way, from where it glides home, and how wide it flies.
const STIPPLES_PER_DEGREE = 6;

const ink = (name) => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();

// Red, green and blue of an ink, whichever way it is written.
function parts(name) {
  const pen = document.createElement("canvas").getContext("2d");
  pen.fillStyle = ink(name);
  return [1, 3, 5].map((at) => parseInt(pen.fillStyle.slice(at, at + 2), 16));
}

// Shades of the ground, 1 light to 255 dark, 0 unknown, as a bitmap in the inks of this light.
export async function reliefBitmap(shades, columns, rows) {
  const [light, dark] = [parts("channel"), parts("shade")];
  const table = Array.from({ length: 256 }, (_, shade) => light.map((one, at) => one + ((dark[at] - one) * shade) / 160));
  const pixels = new ImageData(columns, rows);
  for (let index = 0; index < shades.length; index += 1) {
    const [red, green, blue] = table[shades[index]];
    pixels.data.set([red, green, blue, shades[index] ? 255 : 0], 4 * index);
  }
  return createImageBitmap(pixels);
}

export class Underground {
  constructor(canvas) {
    this.canvas = canvas;
    this.kept = document.createElement("canvas");
  }

  // Paint everything into the kept bitmap, then show it.
  paint(place, layers) {
    const ratio = window.devicePixelRatio || 1;
    for (const one of [this.canvas, this.kept]) {
      one.width = one.height = Math.round(place.size * ratio);
    }
    const pen = this.kept.getContext("2d");
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    pen.beginPath();
    pen.arc(place.middle, place.middle, place.rim, 0, 2 * Math.PI);
    pen.clip();
    pen.fillStyle = ink(layers.relief ? "page" : "channel"); // white is ground that is known
    pen.fillRect(0, 0, place.size, place.size);
    if (layers.relief) laid(pen, place, layers.relief.bitmap, layers.relief.corners);
    if (layers.picture) laid(pen, place, layers.picture.bitmap, layers.picture.corners);
    if (layers.walked) walked(pen, place, layers.walked);
    if (layers.flown?.glide) stipple(pen, place, layers.flown.glide);
    if (layers.flown) flights(pen, place, layers);
    this.show();
  }

  show() {
    this.canvas.getContext("2d").drawImage(this.kept, 0, 0);
  }
}

// A bitmap by where three of its corners lie on the ground: first pixel, end of its row, end of its column.
function laid(pen, place, bitmap, corners) {
  const [[x, y], [rightX, rightY], [downX, downY]] = corners.map(([east, north]) => place.at(east, north));
  pen.save();
  pen.transform(
    (rightX - x) / bitmap.width, (rightY - y) / bitmap.width,
    (downX - x) / bitmap.height, (downY - y) / bitmap.height, x, y,
  );
  pen.drawImage(bitmap, 0, 0);
  pen.restore();
}

function trace(pen, place, points) {
  points.forEach(([east, north], number) => {
    const at = place.at(east, north);
    if (number) pen.lineTo(...at);
    else pen.moveTo(...at);
  });
}

function walked(pen, place, lines) {
  for (const [colour, width] of [[ink("channel"), 6], [ink("slate"), 2.4]]) {
    pen.strokeStyle = colour;
    pen.lineWidth = width;
    pen.lineJoin = "round";
    pen.setLineDash(width < 6 ? [2, 5] : []);
    pen.beginPath();
    for (const line of lines) trace(pen, place, line);
    pen.stroke();
  }
  pen.setLineDash([]);
}

// Dots, dense at the inner edge and thin outward; the same ones each time.
function stipple(pen, place, glide) {
  pen.fillStyle = ink("umber");
  let seed = 1;
  const chance = () => (seed = (seed * 16807) % 2147483647) / 2147483647;
  const points = glide.points;
  points.forEach(([bearing, inner, outer], number) => {
    const [next, nextInner, nextOuter] = points[(number + 1) % points.length];
    const apart = (next - bearing + 360) % 360;
    for (let dot = 0; dot < apart * STIPPLES_PER_DEGREE; dot += 1) {
      const share = chance();
      const [near, far] = [inner + (nextInner - inner) * share, outer + (nextOuter - outer) * share];
      const metres = near + Math.max(2 * (far - near), 30 / place.scale) * chance() ** 2;
      const turn = ((bearing + share * apart) * Math.PI) / 180;
      const [x, y] = place.at(glide.landing[0] + metres * Math.sin(turn), glide.landing[1] + metres * Math.cos(turn));
      pen.fillRect(x, y, 1.7, 1.7);
    }
  });
}

// Nine in ten flights lie in the band; before the answer is there, the one before it is pale.
function flights(pen, place, { flown, stale, each }) {
  pen.fillStyle = stale ? ink("petrol-pale") : ink("petrol");
  pen.strokeStyle = ink(stale ? "slate" : "petrol");
  pen.lineJoin = "round";
  if (each) {
    pen.lineWidth = 0.8;
    for (const track of flown.tracks) {
      pen.beginPath();
      trace(pen, place, track);
      pen.stroke();
    }
    return;
  }
  pen.beginPath();
  for (let at = 0; at + 1 < flown.left.length; at += 1) {
    trace(pen, place, [flown.left[at], flown.left[at + 1], flown.right[at + 1], flown.right[at]]);
    pen.closePath();
  }
  pen.fill();
  // The edges as lines: a band narrower than a pixel is seen all the same.
  pen.lineWidth = stale ? 1 : 2.5;
  pen.beginPath();
  for (const edge of [flown.left, flown.right]) trace(pen, place, edge);
  pen.stroke();
}
