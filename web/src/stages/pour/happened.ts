// What the record tells of the pour that is being made: when each cup was begun and
// poured, and what was really weighed. A pour is over for good when every tray's mould
// has been taken off its master; what was told before that is of an earlier one.
import type { Recorded } from "../../api";
import type { Instants } from "./phase";

export interface CupHappened extends Instants {
  a?: number;
  b?: number;
  /** Of a cup beyond the plan: where it went. */
  tray?: number;
  /** The entries that say so, to be struck out when one of them was a mistake. */
  ids: { began?: string; poured?: string; a?: string; b?: string };
}

export interface Happened {
  cups: Map<number, CupHappened>;
  /** When the rubber of the pads was mixed, and the entry that says so. */
  pads?: { at: number; id: string };
  /** Codes of the revisions that rubber was poured by. */
  codes: string[];
  /** The entry that says a tray's pour was begun. */
  pours: Map<number, string>;
  /** Every entry of this pour. */
  all: string[];
}

type Part = Pick<Recorded, "timers" | "timer_ends" | "weighings" | "pours" | "moulds">;

export const padsTimer = "pads of the cure test";
export const cupTimer = (n: number) => `cup ${n}`;
const cupName = /^cup (\d+)$/;

export function happened(all: Part, trays: number[]): Happened {
  const stands = <T extends { struck?: string }>(list: T[]) => list.filter((e) => !e.struck);
  const at = (e: { at: string }) => Date.parse(e.at);
  const last = new Map(trays.map((t) => [t, 0]));
  for (const m of stands(all.moulds))
    if (m.tray && last.has(m.tray)) last.set(m.tray, Math.max(last.get(m.tray) ?? 0, at(m)));
  const over = last.size ? Math.min(...last.values()) : 0;
  const now = <T extends { struck?: string; at: string }>(list: T[]) => stands(list).filter((e) => at(e) > over);

  const out: Happened = { cups: new Map(), codes: [], pours: new Map(), all: [] };
  const trayOf = new Map(now(all.pours).map((p) => [p.id, p.tray]));
  const cup = (n: number) => {
    const c = out.cups.get(n) ?? { ids: {} };
    out.cups.set(n, c);
    return c;
  };
  const ends = new Map(stands(all.timer_ends).map((e) => [e.timer, e]));
  for (const t of now(all.timers)) {
    const id = t.id ?? "";
    const end = ends.get(id);
    const m = cupName.exec(t.name);
    if (m) {
      const c = cup(Number(m[1]));
      c.began = at(t);
      c.ids.began = id;
      if (end) {
        c.poured = at(end);
        c.ids.poured = end.id ?? "";
      }
    } else if (t.name === padsTimer && !end) out.pads = { at: at(t), id };
    else continue;
    out.all.push(id);
  }
  for (const w of now(all.weighings)) {
    const part = w.what === "part A" ? "a" : w.what === "part B" ? "b" : null;
    if (!part || !w.cup) continue;
    const c = cup(w.cup);
    c[part] = w.mass_g;
    const tray = trayOf.get(w.pour);
    if (tray) c.tray = tray;
    c.ids[part] = w.id ?? "";
    out.all.push(w.id ?? "");
  }
  for (const p of now(all.pours)) {
    if (p.id) out.pours.set(p.tray, p.id);
    if (p.code && !out.codes.includes(p.code)) out.codes.push(p.code);
    out.all.push(p.id ?? "");
  }
  return out;
}
