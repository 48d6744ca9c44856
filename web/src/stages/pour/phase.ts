// Where one cup of rubber stands: what is being done, and until when. Minutes are the
// plan's, counted from the moment at which mixing begins; instants are ms.
import type { PlanCup } from "../../api";

const min = 60_000;

export type What = "waits" | "stir" | "degas" | "pour" | "late" | "poured";

export interface Phase {
  what: What;
  /** When it ends; 0: it does not. */
  until: number;
}

export interface Instants {
  began?: number;
  poured?: number;
}

type Times = Pick<PlanCup, "ready_min" | "last_pour_min">;

/** phase is what a cup asks for now. Without a vacuum, stirring ends when it is ready. */
export function phase(cup: Times, mixMin: number, at: Instants, now: number): Phase {
  if (at.poured) return { what: "poured", until: 0 };
  if (!at.began) return { what: "waits", until: 0 };
  const t = (now - at.began) / min;
  const on = (m: number) => at.began! + m * min;
  if (t < mixMin) return { what: "stir", until: on(mixMin) };
  if (t < cup.ready_min) return { what: "degas", until: on(cup.ready_min) };
  if (t < cup.last_pour_min) return { what: "pour", until: on(cup.last_pour_min) };
  return { what: "late", until: 0 };
}

/** left words the time to an instant, as a kitchen clock does: 4:05, 1:02:10. */
export function left(until: number, now: number): string {
  const s = Math.max(0, Math.ceil((until - now) / 1000));
  const two = (n: number) => String(n).padStart(2, "0");
  const h = Math.floor(s / 3600);
  const m = Math.floor(s / 60) % 60;
  return h ? `${h}:${two(m)}:${two(s % 60)}` : `${m}:${two(s % 60)}`;
}

/** clock words an instant; with its day when that is not today's. */
export function clock(at: number, now: number): string {
  const d = new Date(at);
  const time = d.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  if (d.toDateString() === new Date(now).toDateString()) return time;
  return `${d.toLocaleDateString("en-GB", { weekday: "long", day: "numeric", month: "long" })}, ${time}`;
}

/** grams words a mass to be weighed, with the places that the scale shows. */
export function grams(g: number, step: number): string {
  let places = 0;
  for (let n = step; places < 3 && Math.abs(n - Math.round(n)) > 1e-9; n *= 10) places++;
  const whole = Math.round(1 / step);
  const on =
    whole >= 1 && Math.abs(whole * step - 1) < 1e-9 ? Math.round(g * whole) / whole : Math.round(g / step) * step;
  return `${on.toFixed(places)}\u00a0g`;
}
