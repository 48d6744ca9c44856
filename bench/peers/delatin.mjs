// Times the greedy Delaunay package delatin on the generic height field of
// BenchmarkField1200 (internal/base/mesh): 1200 x 1200 samples, 10 µm apart, to 10 µm.
// Its bound is vertical, ours square to the surface. Prints one JSON line: the median of
// seven runs.
import Delatin from 'delatin';

const n = 1200, pitch = 0.01;
const z = new Float32Array(n * n);
const s = 12 / ((n - 1) * pitch);
for (let j = 0; j < n; j++) {
  for (let i = 0; i < n; i++) {
    const x = i * pitch * s, y = j * pitch * s;
    z[j * n + i] = 0.5 * Math.sin(1.7 * x) * Math.cos(2.3 * y) + 0.2 * Math.sin(5 * x + 3 * y) + 0.1 * Math.cos(11 * y - 7 * x);
  }
}
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
console.log(JSON.stringify({ name: 'delatin, 1200 x 1200 to 10 µm vertical', seconds: seconds[3], triangles }));
