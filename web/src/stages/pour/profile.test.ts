import { expect, it } from "vitest";
import { profile } from "./profile";

// A square pyramid, 10 mm wide at its foot and 5 mm high: its section through the
// middle is a triangle, at y = 2.5 a trapezoid of half the height.
const positions = Float32Array.of(-5, -5, 0, 5, -5, 0, 5, 5, 0, -5, 5, 0, 0, 0, 5);
const triangles = Uint32Array.of(0, 1, 4, 1, 2, 4, 2, 3, 4, 3, 0, 4);
const top = (p: { z: Float32Array }) => Math.max(...p.z);

it("cuts a pyramid", () => {
  const p = profile(positions, triangles, 0, 0.001, 0.1);
  expect(p.x0).toBeCloseTo(-5, 2);
  expect(top(p)).toBeCloseTo(5, 1);
  expect(p.z[Math.round((2.5 - p.x0) / p.step)]).toBeCloseTo(2.5, 1);
  expect(top(profile(positions, triangles, 0, 2.5, 0.1))).toBeCloseTo(2.5, 1);
  expect(top(profile(positions, triangles, 45, 0.001, 0.1))).toBeCloseTo(5, 1);
  expect(profile(positions, triangles, 0, 9, 0.1).z.length).toBe(0);
});
