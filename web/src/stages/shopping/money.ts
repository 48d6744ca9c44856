// Amounts on the shopping list, in words.
import type { PlanPurchase } from "../../api";
import type { Words } from "../../unit";

/** money words an amount: 11.21 EUR. */
export const money = (v: number, currency: string) => `${v.toFixed(2)}${currency ? `\u00a0${currency}` : ""}`;

/** amount words so much of a thing: 1.24 kg, 26, 24 pairs. */
export function amount(v: number, unit: string, w: Words): string {
  if (unit === "g") return w.mass(v);
  if (unit === "ml") return w.volume(v * 1000);
  const n = String(Math.ceil(v - 1e-9));
  return unit === "pair" ? `${n}\u00a0${n === "1" ? "pair" : "pairs"}` : n;
}

/** buy words what to take off the shelf: 2 × 500 g. */
export function buy(l: PlanPurchase, w: Words): string {
  if (l.buy <= 0) return "nothing";
  return l.pack > 0
    ? `${l.packs}\u00a0×\u00a0${l.pack_as?.replace(" ", "\u00a0") ?? amount(l.pack, l.unit, w)}`
    : amount(l.buy, l.unit, w);
}

export const groupWords: Record<string, string> = {
  print: "for the masters",
  mould: "for the moulds",
  chocolate: "chocolate",
  filling: "for the fillings",
  box: "for the boxes",
};
