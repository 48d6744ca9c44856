import { expect, it } from "vitest";
import { happened } from "./happened";

const at = (m: number) => new Date(Date.UTC(2027, 2, 14, 10, m)).toISOString();
const none = { timers: [], timer_ends: [], weighings: [], pours: [], moulds: [] };

it("tells when a cup was begun and poured, and what the scale said last", () => {
  const h = happened(
    {
      ...none,
      timers: [
        { id: "t1", at: at(0), name: "cup 1", minutes: 18 },
        { id: "t2", at: at(9), name: "cup 2", minutes: 18 },
        { id: "p", at: at(1), name: "pads of the cure test", minutes: 1 },
      ],
      timer_ends: [{ id: "e1", at: at(8), timer: "t1" }],
      weighings: [
        { id: "a1", at: at(-3), cup: 1, what: "part A", mass_g: 22.02 },
        { id: "a2", at: at(-2), cup: 1, what: "part A", mass_g: 220.2 },
        { id: "b", at: at(-1), cup: 1, what: "part B", mass_g: 220, struck: "it was cup 2" },
        { id: "x", at: at(-1), what: "resin", mass_g: 5 },
        { id: "a5", at: at(20), cup: 5, what: "part A", mass_g: 60, pour: "q" },
      ],
      pours: [{ id: "q", at: at(0), tray: 1, code: "7K2", silicone: "soft" }],
    },
    [1],
  );
  expect(h.cups.get(1)).toEqual({
    began: Date.parse(at(0)),
    poured: Date.parse(at(8)),
    a: 220.2,
    ids: { began: "t1", poured: "e1", a: "a2" },
  });
  expect(h.cups.get(2)?.poured).toBeUndefined();
  expect(h.pads?.id).toBe("p");
  expect(h.codes).toEqual(["7K2"]);
  expect(h.cups.get(5)).toEqual({ a: 60, tray: 1, ids: { a: "a5" } });
  expect(h.pours.get(1)).toBe("q");
});

it("begins anew once every mould is off its master", () => {
  const timers = [{ id: "t1", at: at(0), name: "cup 1", minutes: 18 }];
  const one = { id: "m1", at: at(30), name: "tray 1", tray: 1 };
  expect(happened({ ...none, timers, moulds: [one] }, [1, 2]).cups.size).toBe(1);
  expect(happened({ ...none, timers, moulds: [one, { ...one, id: "m2", tray: 2 }] }, [1, 2]).cups.size).toBe(0);
  expect(happened({ ...none, timers, moulds: [{ ...one, struck: "not yet" }] }, [1]).cups.size).toBe(1);
});
