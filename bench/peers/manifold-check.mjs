// Asks manifold-3d whether binary STL files are oriented manifolds:
//   node manifold-check.mjs FILE.stl...
// Corners with equal coordinates become one vertex. Prints one JSON line a file: status,
// volume in mm³, genus, triangles; exit code 1 unless every status is NoError and every
// volume positive.
import { readFileSync } from 'node:fs';
import Module from 'manifold-3d';

const library = await Module();
library.setup();
const { Manifold, Mesh } = library;

function read(file) {
  const bytes = readFileSync(file);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const n = bytes.length >= 84 ? view.getUint32(80, true) : -1;
  if (n < 0 || bytes.length !== 84 + 50 * n) throw new Error(`${file}: not a binary STL`);
  const places = new Map(), vertices = [], corners = new Uint32Array(3 * n);
  for (let k = 0; k < n; k++) {
    for (let c = 0; c < 3; c++) {
      const at = 84 + 50 * k + 12 + 12 * c;
      const p = [0, 4, 8].map((d) => view.getFloat32(at + d, true) + 0);
      const key = p.join();
      if (!places.has(key)) {
        places.set(key, places.size);
        vertices.push(...p);
      }
      corners[3 * k + c] = places.get(key);
    }
  }
  return { numProp: 3, vertProperties: new Float32Array(vertices), triVerts: corners };
}

let bad = process.argv.length < 3;
if (bad) console.error('usage: node manifold-check.mjs FILE.stl...');
for (const file of process.argv.slice(2)) {
  const mesh = new Mesh(read(file));
  let line;
  try {
    const solid = new Manifold(mesh);
    line = { file, status: solid.status(), volume: solid.volume(), genus: solid.genus(), triangles: mesh.triVerts.length / 3 };
  } catch (error) {
    line = { file, status: error.code ?? error.message };
  }
  bad ||= line.status !== 'NoError' || !(line.volume > 0);
  console.log(JSON.stringify(line));
}
process.exit(bad ? 1 : 0);
