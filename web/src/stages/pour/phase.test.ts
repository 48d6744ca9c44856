import { expect, it } from "vitest";
import { clock, grams, left, phase } from "./phase";

const cup = { ready_min: 8, last_pour_min: 15.4 };
const at = (m: number) => 1_000_000 + m * 60_000;

it("says what a cup asks for, whenever one looks", () => {
  const began = at(0);
  expect(phase(cup, 4, {}, at(3))).toEqual({ what: "waits", until: 0 });
  expect(phase(cup, 4, { began }, at(1))).toEqual({ what: "stir", until: at(4) });
  expect(phase(cup, 4, { began }, at(5))).toEqual({ what: "degas", until: at(8) });
  expect(phase(cup, 4, { began }, at(8))).toEqual({ what: "pour", until: at(15.4) });
  expect(phase(cup, 4, { began }, at(16)).what).toBe("late");
  // A lid that was shut for a day changes nothing about what was poured.
  expect(phase(cup, 4, { began, poured: at(12) }, at(1500)).what).toBe("poured");
});
it("knows no vacuum without one", () => {
  expect(phase({ ready_min: 4, last_pour_min: 15 }, 4, { began: at(0) }, at(4.1)).what).toBe("pour");
});
it("counts like a kitchen clock", () => {
  expect(left(at(4), at(0))).toBe("4:00");
  expect(left(at(4), at(4))).toBe("0:00");
  expect(left(at(63.5), at(0))).toBe("1:03:30");
  expect(left(at(0), at(9))).toBe("0:00");
});
it("names the day when it is another", () => {
  const now = new Date(2027, 2, 14, 22, 0).getTime();
  expect(clock(new Date(2027, 2, 14, 23, 5).getTime(), now)).toBe("23:05");
  expect(clock(new Date(2027, 2, 15, 8, 30).getTime(), now)).toMatch(/Monday.*15 March.*08:30/);
});
it("weighs in the scale's steps, as the sheet does", () => {
  expect(grams(220.24, 0.1)).toBe("220.2\u00a0g");
  expect(grams(220.24, 0.01)).toBe("220.24\u00a0g");
  expect(grams(220.6, 1)).toBe("221\u00a0g");
  expect(grams(222, 5)).toBe("220\u00a0g");
  expect(grams(22, 0.5)).toBe("22.0\u00a0g");
});
