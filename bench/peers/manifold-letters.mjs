// Times the solid-geometry library manifold-3d on the reference piece: a drafted rounded
// rectangle and the word ORCHARD raised 0.8 mm at 10 degrees. orchard.json holds the
// word's outline. Prints one JSON line a way of making the letters' walls, the median of
// five runs:
//   stepped  a plate of 25 µm for each of 32 insets of the outline
//   smooth   the Minkowski sum of the inset letters and a cone
import { readFileSync } from 'node:fs';
import Module from 'manifold-3d';

const library = await Module();
library.setup();
const { Manifold, CrossSection } = library;

const rings = JSON.parse(readFileSync(new URL('orchard.json', import.meta.url))).rings;
const raised = 0.8, step = 0.025, height = 12, lean = Math.tan(Math.PI / 18), side = Math.tan((8 * Math.PI) / 180);
const around = 100; // edges of a full circle of 4 mm radius flattened to 2 µm

function body() {
  const plate = (inset) => CrossSection.square([28, 20], true).offset(4 - inset, 'Round', 2, around);
  const low = plate(0).extrude(0.001), high = plate(height * side).extrude(0.001).translate([0, 0, height - 0.001]);
  return Manifold.hull([low, high]);
}

function stepped() {
  const letters = new CrossSection(rings, 'NonZero').simplify(0.002);
  const plates = [body()];
  for (let k = 0; k < Math.round(raised / step); k++) {
    // The wall of the plate passes through the middle of its step.
    plates.push(letters.offset(-(k + 0.5) * step * lean, 'Miter', 2).extrude(step).translate([0, 0, height + k * step]));
  }
  return Manifold.union(plates);
}

function smooth() {
  const letters = new CrossSection(rings, 'NonZero').simplify(0.002).offset(-raised * lean, 'Miter', 2);
  const thin = 0.001;
  const cone = Manifold.cylinder(raised - thin, raised * lean, thin * lean, 16);
  return Manifold.union([body(), letters.extrude(thin).minkowskiSum(cone).translate([0, 0, height])]);
}

for (const [name, make] of Object.entries({ stepped, smooth })) {
  const seconds = [];
  let triangles = 0, status = '';
  for (let k = 0; k < 5; k++) {
    const start = performance.now();
    const solid = make();
    triangles = solid.numTri(); // forces the lazy union
    seconds.push((performance.now() - start) / 1000);
    status = solid.status();
    solid.delete();
  }
  seconds.sort((a, b) => a - b);
  console.log(JSON.stringify({ name: `manifold-3d, ${name} letter walls`, seconds: seconds[2], triangles, status }));
}
