// The section of a surface along a line, for a drawing: highest z in each bin of x.
export interface Profile {
  x0: number;
  step: number;
  z: Float32Array;
}

/** profile cuts a triangle mesh, turned by deg, with the plane y = at. */
export function profile(positions: Float32Array, triangles: Uint32Array, deg: number, at: number, step = 0.2): Profile {
  const c = Math.cos((deg * Math.PI) / 180);
  const s = Math.sin((deg * Math.PI) / 180);
  let [low, high] = [Infinity, -Infinity];
  const segments: [number, number, number, number][] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const p = [0, 1, 2].map((k) => {
      const i = 3 * triangles[t + k]!;
      const [x, y] = [positions[i]!, positions[i + 1]!];
      return [c * x - s * y, s * x + c * y - at, positions[i + 2]!] as const;
    });
    const cross: [number, number][] = [];
    for (let k = 0; k < 3; k++) {
      const [a, b] = [p[k]!, p[(k + 1) % 3]!];
      if (a[1] < 0 === b[1] < 0) continue;
      const f = a[1] / (a[1] - b[1]);
      cross.push([a[0] + f * (b[0] - a[0]), a[2] + f * (b[2] - a[2])]);
    }
    if (cross.length === 2) {
      segments.push([...cross[0]!, ...cross[1]!]);
      low = Math.min(low, cross[0]![0], cross[1]![0]);
      high = Math.max(high, cross[0]![0], cross[1]![0]);
    }
  }
  if (segments.length === 0) return { x0: 0, step, z: new Float32Array(0) };
  const n = Math.ceil((high - low) / step) + 1;
  const z = new Float32Array(n);
  for (const [xa, za, xb, zb] of segments) {
    const [x1, z1, x2, z2] = xa < xb ? [xa, za, xb, zb] : [xb, zb, xa, za];
    for (let i = Math.ceil((x1 - low) / step); i <= Math.floor((x2 - low) / step); i++) {
      const f = x2 > x1 ? (low + i * step - x1) / (x2 - x1) : 0;
      z[i] = Math.max(z[i]!, z1 + f * (z2 - z1));
    }
    // A wall steeper than a bin still reaches its top.
    for (const [x, v] of [
      [x1, z1],
      [x2, z2],
    ] as const) {
      const i = Math.round((x - low) / step);
      if (Math.abs(low + i * step - x) < step / 2) z[i] = Math.max(z[i]!, Math.min(v, z[i]! || v));
    }
  }
  return { x0: low, step, z };
}
