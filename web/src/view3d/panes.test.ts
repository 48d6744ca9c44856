import { expect, test } from "vitest";
import { panes } from "./panes";

test("two panes are alike, lie beside or below each other, and stay in the picture", () => {
  expect(panes(300, 200, false)).toEqual([{ x: 0, y: 0, w: 300, h: 200 }]);
  for (const [w, h] of [
    [801, 480],
    [360, 641],
    [500, 500],
  ] as const) {
    const [a, b = { x: 0, y: 0, w: 0, h: 0 }] = panes(w, h, true);
    expect([a.w, a.h]).toEqual([b.w, b.h]);
    expect(b.x + b.w).toBe(w);
    expect(b.y + b.h).toBe(h);
    expect(w >= h ? b.x >= a.x + a.w : b.y >= a.y + a.h).toBe(true);
  }
});
