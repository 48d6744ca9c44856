import { describe, expect, it } from "vitest";
import type { PlanPurchase } from "../../api";
import { words } from "../../unit";
import { amount, buy, money } from "./money";

const w = words("metric");
const line = (l: Partial<PlanPurchase>): PlanPurchase => ({
  what: "x",
  group: "print",
  need: 0,
  unit: "g",
  home: 0,
  buy: 0,
  packs: 0,
  pack: 0,
  used: 0,
  for: [],
  why: "",
  ...l,
});

describe("money", () => {
  it("words money and amounts", () => {
    expect(money(11.2, "EUR")).toBe("11.20\u00a0EUR");
    expect(money(0.5, "")).toBe("0.50");
    expect(amount(1240, "g", w)).toBe("1.24\u00a0kg");
    expect(amount(1, "pair", w)).toBe("1\u00a0pair");
    expect(amount(25.2, "piece", w)).toBe("26");
  });
  it("words what to buy", () => {
    expect(buy(line({ buy: 900, packs: 2, pack: 500 }), w)).toBe("2\u00a0×\u00a0500\u00a0g");
    expect(buy(line({ buy: 900 }), w)).toBe("900\u00a0g");
    expect(buy(line({ buy: 0, packs: 0, pack: 500 }), w)).toBe("nothing");
  });
});
