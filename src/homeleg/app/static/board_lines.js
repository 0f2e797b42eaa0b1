// The lines and words of the board, laid down from the ground up as one SVG.
import { Labels, widthOf } from "./board_labels.js";
import { bearing, distance, three } from "./board_place.js";

const RINGS_M = [25, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000, 10000];
const LETTER = 17;
const SVG = "http://www.w3.org/2000/svg";

export function make(tag, attributes, parent, text) {
  const one = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) one.setAttribute(name, value);
  if (text !== undefined) one.textContent = text;
  parent?.append(one);
  return one;
}

// Draws a board on a place; `told` are its words: unit, per metre, wind; `flown` may not be there yet.
export class Lines {
  constructor(board, flown, place, told) {
    Object.assign(this, { board, flown, place, told });
    const { size, middle, rim } = place;
    this.svg = make("svg", { viewBox: `0 0 ${size} ${size}`, width: size, height: size, role: "group", "aria-label": "The board, up wind at the top" });
    const defs = make("defs", {}, this.svg);
    const pattern = make("pattern", { id: "keep-out", width: 10, height: 10, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, defs);
    for (const x of [0, 3.6]) make("rect", { x, width: 1.6, height: 10, class: "solid" }, pattern);
    make("circle", { cx: middle, cy: middle, r: rim }, make("clipPath", { id: "inside" }, defs));
    this.under = make("g", { "clip-path": "url(#inside)" }, this.svg);
    this.over = make("g", {}, this.svg);
    this.labels = new Labels(place, this.busy());
  }

  draw() {
    this.grounds();
    this.grid();
    this.limits();
    this.route();
    this.wind();
    this.keepOutNames();
    this.items();
    this.ringNumbers();
    this.limitNames();
    return this.svg;
  }

  // What words should leave free: the flown way, the route's points, places to come down.
  busy() {
    const along = this.flown?.middle ?? [];
    const places = [...this.board.items, ...this.board.come_down].map((one) => [one.east, one.north]);
    return [...along, ...places].map(([east, north]) => this.place.at(east, north));
  }

  shown(metres) {
    return Math.round(metres * this.told.perMetre);
  }

  text(x, y, words, kind, anchor = "middle") {
    return make("text", { x, y, class: kind, "text-anchor": anchor }, this.over, words);
  }

  grounds() {
    for (const one of this.board.keep_out) make("polygon", { points: this.place.points(one.corners), class: "keep-out" }, this.under);
    for (const one of this.board.come_down) {
      const [x, y] = this.place.at(one.east, one.north);
      for (const less of [0, 6]) make("circle", { cx: x, cy: y, r: Math.max(one.radius * this.place.scale - less, 4), class: "come-down" }, this.under);
    }
  }

  grid() {
    const { middle, rim, farthest, scale } = this.place;
    this.step = RINGS_M.find((one) => farthest / (one / this.told.perMetre) <= (middle < 250 ? 3 : 5)) ?? 20000;
    for (let ring = this.step; ring / this.told.perMetre < farthest; ring += this.step) {
      make("circle", { cx: middle, cy: middle, r: (ring / this.told.perMetre) * scale, class: "ring" }, this.under);
    }
    for (let degrees = 0; degrees < 360; degrees += 45) {
      const [x, y] = this.place.around(degrees, rim);
      make("line", { x1: middle, y1: middle, x2: x, y2: y, class: "spoke" }, this.under);
    }
    for (let degrees = 0; degrees < 360; degrees += 15) {
      const [from, to] = [this.place.around(degrees, rim - 12), this.place.around(degrees, rim)];
      make("line", { x1: from[0], y1: from[1], x2: to[0], y2: to[1], class: "tick" }, this.under);
    }
    make("circle", { cx: middle, cy: middle, r: rim, class: "rim" }, this.over);
    for (let degrees = 0; degrees < 360; degrees += 45) {
      const [x, y] = this.place.around(degrees, rim - 30);
      if (y < middle - 0.94 * (rim - 30)) continue; // the wind stands there
      this.text(x, y + 6, three(degrees), "bearing");
      this.labels.take(this.labels.box(x - 17, y - 9, 34, 18));
    }
  }

  // Sight limit in long dashes, boundary in dash and dot, the worst way home in dots.
  limits() {
    const outline = this.flown?.boundary ?? this.board.boundary;
    if (outline.length) make("polygon", { points: this.place.points(outline), class: "boundary" }, this.under);
    if (this.flown?.sight) {
      const [x, y] = this.place.at(...this.board.pilot);
      make("circle", { cx: x, cy: y, r: this.flown.sight * this.place.scale, class: "sight" }, this.under);
    }
    const back = this.place.points(this.flown?.way_back ?? []);
    for (const kind of back ? ["way-back-under", "way-back"] : []) make("polyline", { points: back, class: kind }, this.under);
  }

  // The route as planned, arrows along it, and the circles of orbits.
  route() {
    const points = this.board.items.map((one) => this.place.at(one.east, one.north));
    make("polyline", { points: points.map((one) => one.join(",")).join(" "), class: this.flown ? "leg planned" : "leg" }, this.under);
    for (const one of this.board.items) {
      const [x, y] = this.place.at(one.east, one.north);
      if (one.radius) make("circle", { cx: x, cy: y, r: one.radius * this.place.scale, class: this.flown ? "leg planned" : "leg" }, this.under);
    }
    points.slice(1).forEach(([x, y], number) => {
      const [fromX, fromY] = points[number];
      if (Math.hypot(x - fromX, y - fromY) < 50) return;
      const turn = (Math.atan2(y - fromY, x - fromX) * 180) / Math.PI + 90;
      make("path", { d: "M0-8 7 6H-7z", class: "way", transform: `translate(${(x + fromX) / 2} ${(y + fromY) / 2}) rotate(${turn})` }, this.over);
    });
    const { middle } = this.place;
    make("circle", { cx: middle, cy: middle, r: 10, class: "launch" }, this.over);
    make("path", { d: `M${middle} ${middle - 6}l5 9h-10z`, class: "solid" }, this.over);
    this.labels.take(this.labels.box(middle - 12, middle - 12, 24, 24));
  }

  wind() {
    const { middle, rim } = this.place;
    const top = middle - rim;
    make("path", { d: `M${middle - 15} ${top - 14}h30l-15 30z`, class: "solid" }, this.over);
    const words = middle < 250 ? this.told.wind.replace("wind ", "") : this.told.wind;
    this.text(middle + 22, top + 2, words, "name wind", "start");
    this.labels.take(this.labels.box(middle - 16, 0, 40 + widthOf(words, 18, true), top + 16));
  }

  keepOutNames() {
    for (const one of this.board.keep_out) {
      const inside = one.corners.map(([e, n]) => this.place.at(e, n)).map(([x, y]) => this.within(x, y));
      const mean = [0, 1].map((axis) => inside.reduce((sum, at) => sum + at[axis], 0) / inside.length);
      const name = one.name === one.kind || !one.name ? one.kind : one.name;
      const lines = this.place.middle < 250 ? ["keep out"] : ["keep out", name];
      const [width, height] = [Math.max(...lines.map((words) => widthOf(words, 18, true))) + 16, 8 + 20 * lines.length];
      const spots = [mean, ...[3, 2, 1.5].flatMap((part) => inside.map((at) => at.map((to, axis) => mean[axis] + (to - mean[axis]) / part)))];
      const [x, y] = this.labels.spot(spots, width, height) ?? mean;
      make("rect", { x: x - width / 2, y: y - height / 2, width, height, class: "plate-of" }, this.over);
      lines.forEach((words, line) => this.text(x, y - height / 2 + 20 * (line + 1), words, line ? "plain" : "name"));
    }
  }

  // A point drawn back inside the rim, so that a name stands where it can be read.
  within(x, y) {
    const { middle, rim } = this.place;
    const far = Math.hypot(x - middle, y - middle);
    const share = Math.min(1, (rim - 40) / Math.max(far, 1));
    return [middle + (x - middle) * share, middle + (y - middle) * share];
  }

  items() {
    const movable = this.board.items.filter((one) => one.movable);
    for (const one of movable) {
      const [x, y] = this.place.at(one.east, one.north);
      this.labels.take(this.labels.box(x - 6, y - 6, 12, 12));
    }
    // The outermost have the first choice: there is room outward.
    const led = new Map();
    for (const one of [...movable].sort((a, b) => distance(b) - distance(a))) led.set(one, this.lead(one));
    for (const one of movable) this.item(one, led.get(one));
  }

  // Where a point's name stands, and where on the point or its circle the leader begins.
  lead(one) {
    const [x, y] = this.place.at(one.east, one.north);
    const { middle, scale } = this.place;
    const near = Math.hypot(x - middle, y - middle) < 20;
    const outward = near ? -0.7 : Math.atan2(y - middle, x - middle);
    const from = [x + one.radius * scale * Math.cos(outward), y + one.radius * scale * Math.sin(outward)];
    return { from, to: this.labels.lead(...from, widthOf(one.name, 18, true), LETTER + 3, outward) };
  }

  item(one, { from, to }) {
    const [x, y] = this.place.at(one.east, one.north);
    const group = make("g", { class: "item", tabindex: 0, role: "button", "aria-label": this.words(one), "data-name": one.name }, this.over);
    if (to) {
      make("line", { x1: from[0], y1: from[1], x2: to.end[0], y2: to.end[1], class: "leader" }, group);
      make("text", { x: to.end[0] + (to.toLeft ? -4 : 4), y: to.end[1] + 6, class: "name", "text-anchor": to.toLeft ? "end" : "start" }, group, one.name);
    }
    make("circle", { cx: x, cy: y, r: 26, class: "target" }, group);
    make("circle", { cx: x, cy: y, r: 6.5, class: "point" }, group);
  }

  words(one) {
    const height = one.height === null ? "" : `, ${this.shown(one.height)} ${this.told.unit} ${one.above}`;
    if (one.kind === "orbit") return `${one.name}, circle of ${this.shown(one.radius)} ${this.told.unit}${height}`;
    return `${one.name}, ${this.shown(distance(one))} ${this.told.unit} at ${three(bearing(one))}${height}`;
  }

  ringNumbers() {
    const { farthest, scale } = this.place;
    const rings = Math.floor((farthest * this.told.perMetre) / this.step);
    for (let number = 1; number <= rings; number += 1) {
      const metres = (number * this.step) / this.told.perMetre;
      if (metres > 0.97 * farthest) break;
      const words = `${number * this.step}${number === rings || number === 1 ? ` ${this.told.unit}` : ""}`;
      const turn = (this.told.windDeg + 22.5) % 45;
      const spots = [22.5, 67.5, 112.5, 337.5, 292.5, 157.5, 247.5, 202.5].map((at) => this.place.around(this.told.windDeg - turn + 22.5 + at, metres * scale));
      const at = this.labels.spot(spots, widthOf(words, LETTER), LETTER);
      if (at) this.text(at[0], at[1] + 6, words, "distance");
    }
  }

  limitNames() {
    const outline = this.flown?.boundary ?? this.board.boundary;
    if (outline.length) this.nameOf("boundary", outline.map(([east, north]) => this.place.at(east, north)));
    if (!this.flown?.sight) return;
    const words = `sight limit ${this.shown(this.flown.sight)} ${this.told.unit}`;
    const [x, y] = this.place.at(...this.board.pilot);
    const spots = [300, 310, 60, 50, 240, 120, 270, 90].map((degrees) => {
      const turn = (degrees * Math.PI) / 180;
      return [x + this.flown.sight * this.place.scale * Math.sin(turn), y - this.flown.sight * this.place.scale * Math.cos(turn)];
    });
    this.nameOf(words, spots);
  }

  nameOf(words, spots) {
    const at = this.labels.spot(spots.filter(([x, y]) => Math.hypot(x - this.place.middle, y - this.place.middle) < this.place.rim - 20), widthOf(words, LETTER, true), LETTER);
    if (at) this.text(at[0], at[1] + 6, words, "limit");
  }
}
