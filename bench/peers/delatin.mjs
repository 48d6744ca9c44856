// Times the greedy Delaunay package delatin on the two height fields of internal/base/mesh,
// to 10 µm. Its bound is vertical, ours square to the surface. Prints one JSON line each:
// the median of seven runs.
//   waves     BenchmarkField1200: 1200 x 1200 samples of sines, 10 µm apart
//   lettered  BenchmarkLettered1200: a cushion with six lines of a word, 25 µm apart;
//             orchard.json holds the word's outline, 30 mm wide
import { readFileSync } from 'node:fs';
import Delatin from 'delatin';

const n = 1200;

function waves() {
  const z = new Float32Array(n * n), s = 12 / (n - 1);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      const x = i * s, y = j * s;
      z[j * n + i] = 0.5 * Math.sin(1.7 * x) * Math.cos(2.3 * y) + 0.2 * Math.sin(5 * x + 3 * y) + 0.1 * Math.cos(11 * y - 7 * x);
    }
  }
  return z;
}

function lettered() {
  const pitch = 0.025, half = ((n - 1) * pitch) / 2, lean = Math.tan(Math.PI / 18), band = 0.8 * lean;
  const distance = new Float64Array(n * n).fill(band), winding = new Int8Array(n * n);
  const rings = JSON.parse(readFileSync(new URL('orchard.json', import.meta.url))).rings;
  const first = (v) => Math.max(0, Math.ceil((v + half) / pitch)), last = (v) => Math.min(n - 1, Math.floor((v + half) / pitch));
  for (let line = 0; line < 6; line++) {
    for (const ring of rings) {
      const at = ring.map(([x, y]) => [(x * 28) / 30, (y * 28) / 30 + 4.8 * (line - 2.5)]);
      at.forEach(([ax, ay], k) => {
        const [bx, by] = at[(k + 1) % at.length];
        const dx = bx - ax, dy = by - ay;
        for (let j = first(Math.min(ay, by) - band); j <= last(Math.max(ay, by) + band); j++) {
          const y = j * pitch - half;
          for (let i = first(Math.min(ax, bx) - band); i <= last(Math.max(ax, bx) + band); i++) {
            const x = i * pitch - half, t = Math.min(Math.max(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy), 0), 1);
            distance[j * n + i] = Math.min(distance[j * n + i], Math.hypot(x - ax - t * dx, y - ay - t * dy));
          }
          // An edge that a row crosses turns everything right of it.
          if (ay <= y !== by <= y) {
            const way = dy > 0 ? 1 : -1;
            for (let i = first(ax + ((y - ay) / dy) * dx); i < n; i++) winding[j * n + i] += way;
          }
        }
      });
    }
  }
  const z = new Float32Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      const x = i * pitch - half, y = j * pitch - half;
      z[j * n + i] = 1.5 * (1 - (x * x) / 225) * (1 - (y * y) / 225) + (winding[j * n + i] ? distance[j * n + i] / lean : 0);
    }
  }
  return z;
}

for (const [what, z] of [['waves', waves()], ['lettered', lettered()]]) {
  const seconds = [];
  let triangles = 0;
  for (let k = 0; k < 7; k++) {
    const start = performance.now();
    const mesh = new Delatin(z, n, n);
    mesh.run(0.01);
    seconds.push((performance.now() - start) / 1000);
    triangles = mesh.triangles.length / 3;
  }
  seconds.sort((a, b) => a - b);
  console.log(JSON.stringify({ name: `delatin, ${what}`, seconds: seconds[3], triangles }));
}
