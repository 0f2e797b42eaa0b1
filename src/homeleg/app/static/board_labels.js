// Words on leaders that neither meet each other nor what they name.
const DISTANCES = [34, 50, 70, 95, 130, 170];
const TURNS = [0, 25, -25, 50, -50, 80, -80, 110, -110, 145, -145, 180];
const PAD = 3;
const measure = document.createElement("canvas").getContext("2d");

export function widthOf(words, size, bold = false) {
  measure.font = `${bold ? 700 : 400} ${size}px "Clear Sans", "DejaVu Sans", sans-serif`;
  return measure.measureText(words).width;
}

const meets = (one, other) =>
  one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom;

export class Labels {
  // `middle` and `reach` bound where words may stand; `busy` are points that they leave free.
  constructor(place, busy) {
    this.place = place;
    this.busy = busy;
    this.taken = [];
  }

  take(box) {
    this.taken.push(box);
  }

  box(x, y, width, height) {
    return { left: x - PAD, right: x + width + PAD, top: y - PAD, bottom: y + height + PAD };
  }

  isFree(box) {
    const inside = box.left >= 0 && box.top >= 0 && box.right <= this.place.size && box.bottom <= this.place.size;
    return inside && !this.taken.some((one) => meets(one, box));
  }

  // The best place for words that point at (x, y), outward first: their left end, baseline and anchor.
  lead(x, y, width, height, outward) {
    let best = null;
    for (const far of DISTANCES) {
      for (const turn of TURNS) {
        const angle = outward + (turn * Math.PI) / 180;
        const end = [x + far * Math.cos(angle), y + far * Math.sin(angle)];
        const toLeft = Math.cos(angle) < 0;
        const box = this.box(toLeft ? end[0] - width - 4 : end[0] + 4, end[1] - height / 2, width, height);
        if (!this.isFree(box) || this.crosses(x, y, end)) continue;
        const cost = far / 40 + Math.abs(turn) / 60 + 2 * this.covered(box);
        if (!best || cost < best.cost) best = { cost, box, end, toLeft };
      }
    }
    if (best) this.take(best.box);
    return best;
  }

  // How many of the places to be left free lie under a box.
  covered(box) {
    return this.busy.filter(([x, y]) => x > box.left && x < box.right && y > box.top && y < box.bottom).length;
  }

  // Whether a leader would run through words that stand already.
  crosses(x, y, end) {
    for (let step = 0.25; step <= 1; step += 0.15) {
      const [px, py] = [x + step * (end[0] - x), y + step * (end[1] - y)];
      if (this.taken.some((one) => px > one.left && px < one.right && py > one.top && py < one.bottom)) return true;
    }
    return false;
  }

  // The spot at which words, centred, meet nothing and cover least; none where there is no such spot.
  spot(candidates, width, height) {
    let best = null;
    for (const at of candidates) {
      const box = this.box(at[0] - width / 2, at[1] - height / 2, width, height);
      if (!this.isFree(box)) continue;
      const covered = this.covered(box);
      if (!best || covered < best.covered) best = { at, box, covered };
    }
    if (best) this.take(best.box);
    return best && best.at;
  }
}
