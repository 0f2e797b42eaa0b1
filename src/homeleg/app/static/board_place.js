// Where things lie on the board: metres east and north to pixels and back, up wind at the top.
const RIM_SHARE = 0.94;
const FOR_WIND = 18;

export const radians = (deg) => (deg * Math.PI) / 180;

export class Place {
  constructor(windDeg, farthest, size) {
    this.turn = radians(windDeg);
    this.size = size;
    this.middle = size / 2;
    this.rim = (size * RIM_SHARE) / 2 - FOR_WIND / 2;
    this.farthest = farthest;
    this.scale = this.rim / farthest;
  }

  at(east, north) {
    const up = north * Math.cos(this.turn) + east * Math.sin(this.turn);
    const right = east * Math.cos(this.turn) - north * Math.sin(this.turn);
    return [this.middle + right * this.scale, this.middle - up * this.scale];
  }

  ground(x, y) {
    const right = (x - this.middle) / this.scale;
    const up = (this.middle - y) / this.scale;
    return [up * Math.sin(this.turn) + right * Math.cos(this.turn), up * Math.cos(this.turn) - right * Math.sin(this.turn)];
  }

  // A bearing from the launch point, at so many pixels from the middle.
  around(bearingDeg, radius) {
    const turn = radians(bearingDeg) - this.turn;
    return [this.middle + radius * Math.sin(turn), this.middle - radius * Math.cos(turn)];
  }

  points(corners) {
    return corners.map(([east, north]) => this.at(east, north).map((one) => one.toFixed(1)).join(",")).join(" ");
  }
}

export const distance = (one) => Math.hypot(one.east, one.north);
export const bearing = (one) => ((Math.atan2(one.east, one.north) * 180) / Math.PI + 360) % 360;
export const three = (deg) => String(Math.round(deg) % 360).padStart(3, "0");
