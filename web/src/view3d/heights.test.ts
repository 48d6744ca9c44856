import { DataUtils } from "three";
import { expect, it } from "vitest";
import { at, type Heights, light, normals } from "./heights";

const grid = (w: number, h: number) => ({ w, h, pitch_mm: 0.1, x0_mm: 0, y0_mm: 0, low_mm: 0, step_mm: 0.001 });

it("reads between samples, and 0 outside", () => {
  const h: Heights = { grid: grid(2, 2), z: Uint16Array.of(0, 1000, 2000, 3000) };
  expect(at(h, 0.05, 0.05)).toBeCloseTo(1.5, 9);
  expect(at(h, 0.2, 0)).toBe(0);
});

// A plane that rises by 1 in 2 along x has the normal (-1, 0, 2)/√5.
it("gives the normal of a plane", () => {
  const w = 9;
  const h: Heights = { grid: grid(w, 9), z: Uint16Array.from({ length: 81 }, (_, k) => (k % w) * 50) };
  const n = normals(h, DataUtils.toHalfFloat);
  const k = 2 * (4 * w + 4);
  expect(DataUtils.fromHalfFloat(n[k]!)).toBeCloseTo(-1 / Math.sqrt(5), 3);
  expect(DataUtils.fromHalfFloat(n[k + 1]!)).toBeCloseTo(0, 3);
});

it("a level place sees all, a pit sees little", () => {
  const w = 41;
  const z = new Uint16Array(w * w).fill(3000);
  for (let j = 19; j <= 21; j++) for (let i = 19; i <= 21; i++) z[j * w + i] = 0;
  const l = light({ grid: grid(w, w), z }, 64);
  const pit = 2 * (20 * w + 20);
  const level = 2 * (5 * w + 20);
  expect(l.seen[level]).toBeGreaterThan(240);
  expect(l.seen[level + 1]).toBe(255);
  expect(l.seen[pit]).toBeLessThan(60);
  expect(l.seen[pit + 1]).toBe(0);
});
