// How quantities are worded on the page, and how what is typed becomes the job
// file's unit again. The only place that knows of US kitchen and shop units.
//
// At most three figures that mean something, never fewer before the point; a thin
// space parts thousands from 10 000 on (ISO 80000-1, 7.3.2); a space that does not
// break stands before the unit. The same rules word the printed sheets.
import type { Range } from "./api";

export type System = "metric" | "us";

const nbsp = "\u00a0";
const thin = "\u202f";
const dash = "–";
const blank = "—";

/** Exact by definition: 1 in = 25.4 mm, 1 lb = 453.59237 g, 1 oz = lb/16 (international yard and pound, 1959). */
const mmPerIn = 25.4;
const gPerOz = 453.59237 / 16;
/** A US fluid ounce is 1/128 of a gallon of 231 cubic inches. */
const mlPerFlOz = (231 * mmPerIn ** 3) / 1000 / 128;

export interface Shown {
  unit: string;
  /** Places behind the point that a field shows at most. */
  places: number;
  show(v: number): number;
  store(v: number): number;
}

const asIs = (unit: string, places: number): Shown => ({ unit, places, show: (v) => v, store: (v) => v });
const times = (unit: string, places: number, per: number): Shown => ({
  unit,
  places,
  show: (v) => v / per,
  store: (v) => v * per,
});

const metric: Record<string, Shown> = {
  mm: asIs("mm", 3),
  g: asIs("g", 1),
  deg: asIs("°", 1),
  C: asIs("°C", 1),
  ml: asIs("ml", 0),
  share: times("%", 1, 0.01),
};

const us: Record<string, Shown> = {
  ...metric,
  mm: times("in", 4, mmPerIn),
  g: times("oz", 2, gPerOz),
  ml: times("fl oz", 1, mlPerFlOz),
  C: { unit: "°F", places: 0, show: (c) => (c * 9) / 5 + 32, store: (f) => ((f - 32) * 5) / 9 },
};

/** shownAs says how a value in the job file's unit stands in a field. */
export function shownAs(unit: string, system: System): Shown {
  return (system === "us" ? us : metric)[unit] ?? asIs(unit, 4);
}

/** parse reads what a person typed: a comma or a point, spaces, a unit behind it. */
export function parse(text: string): number | null {
  const m = /^\s*([+\-−]?)\s*(\d[\d\s\u00a0\u202f]*(?:[.,]\d*)?|[.,]\d+)\s*\D*$/u.exec(text);
  if (!m) return null;
  const n = Number((m[2] ?? "").replace(/[\s\u00a0\u202f]/g, "").replace(",", "."));
  if (!Number.isFinite(n)) return null;
  return m[1] === "-" || m[1] === "−" ? -n : n;
}

/** field is a number as a field shows it: no thousands apart, no idle zeros. */
export function field(v: number, places: number): string {
  if (!Number.isFinite(v)) return "";
  const s = v.toFixed(places);
  const t = s.includes(".") ? s.replace(/0+$/, "").replace(/\.$/, "") : s;
  return t === "-0" ? "0" : t;
}

function trim(v: number, places: number): string {
  if (!Number.isFinite(v)) return blank;
  return group(field(v, places));
}

function group(s: string): string {
  const negative = s.startsWith("-");
  const [whole = "", rest] = s.replace(/^-/, "").split(".");
  const parted = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, thin) : whole;
  return (negative ? "−" : "") + parted + (rest === undefined ? "" : `.${rest}`);
}

/** figures rounds to three figures, but never before the point. */
export function figures(v: number): string {
  if (!Number.isFinite(v)) return blank;
  const a = Math.abs(v);
  let places = 0;
  if (a > 0) {
    let e = Math.floor(Math.log10(a));
    if (a >= 10 ** (e + 1) - 0.5 * 10 ** (e - 2)) e++;
    places = Math.min(Math.max(2 - e, 0), 4);
  }
  return trim(v, places);
}

const withUnit = (n: string, unit: string) => (n === blank ? blank : n + nbsp + unit);

function scaled(v: number, small: string, large: string, factor: number): string {
  return Math.abs(v) >= 0.9995 * factor ? withUnit(figures(v / factor), large) : withUnit(figures(v), small);
}

/** Words for every quantity, in one system of units. */
export interface Words {
  mass(g: number): string;
  volume(mm3: number): string;
  length(mm: number): string;
}

export function words(system: System): Words {
  if (system === "us")
    return {
      mass: (g) => scaled(g / gPerOz, "oz", "lb", 16),
      volume: (mm3) => withUnit(figures(mm3 / 1000 / mlPerFlOz), "fl oz"),
      length: (mm) => withUnit(trim(mm / mmPerIn, 3), "in"),
    };
  return {
    mass: (g) => scaled(g, "g", "kg", 1000),
    volume: (mm3) => scaled(mm3 / 1000, "ml", "l", 1000),
    length: (mm) => withUnit(trim(mm, 2), "mm"),
  };
}

/** duration words minutes: 40 s, 45 min, 3 h 20 min, 2 d 4 h. */
export function duration(min: number): string {
  if (!Number.isFinite(min)) return blank;
  if (min < 0) return `−${duration(-min)}`;
  const s = Math.round(min * 60);
  if (s < 90 && s !== 60) return withUnit(figures(s), "s");
  if (min < 59.5) return withUnit(figures(Math.round(min)), "min");
  const pair = (a: number, au: string, b: number, bu: string) =>
    withUnit(group(String(a)), au) + (b > 0 ? ` ${withUnit(String(b), bu)}` : "");
  if (min < 48 * 60 - 0.5) {
    const m = Math.round(min);
    return pair(Math.floor(m / 60), "h", m % 60, "min");
  }
  const h = Math.round(min / 60);
  return pair(Math.floor(h / 24), "d", h % 24, "h");
}

export const degrees = (deg: number) => (Number.isFinite(deg) ? `${trim(deg, 1)}°` : blank);
export const share = (f: number) => withUnit(figures(f * 100), "%");

/** spread words the ends of a range: 104–112 g, 940 g – 1.1 kg. */
export function spread(r: Range, word: (v: number) => string): string {
  const low = word(r.low);
  const high = word(r.high);
  if (low === high) return low;
  const [a, ua] = cut(low);
  const [b, ub] = cut(high);
  return ua && ua === ub ? `${a}${dash}${b}${nbsp}${ua}` : `${low} ${dash} ${high}`;
}

/** cut parts a worded quantity into number and unit; one of two units has none. */
export function cut(s: string): [string, string] {
  if (s.includes(" ")) return [s, ""];
  const at = s.indexOf(nbsp);
  return at < 0 ? [s, ""] : [s.slice(0, at), s.slice(at + 1)];
}

/** bytes words the size of a file. */
export function bytes(n: number): string {
  if (n < 1000) return withUnit(String(n), "bytes");
  return n < 1e6 ? withUnit(figures(n / 1e3), "kB") : withUnit(figures(n / 1e6), "MB");
}
