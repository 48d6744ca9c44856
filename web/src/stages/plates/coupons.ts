// What a person writes into a coupon's table, and how what was learned is worded.
import type { Found } from "../../api";

/** readings reads what was written for one place: 39.86 39,88 or 39.86; 1.57 in. Null: not to be read. */
export function readings(text: string): number[] | null {
  const out: number[] = [];
  for (const part of text
    .trim()
    .split(/[;\n]|\s+(?=\d)/)
    .map((p) => p.trim())
    .filter(Boolean)) {
    const m = /^(\d+(?:[.,]\d+)?|[.,]\d+)\s*(mm|µm|μm|um|in|")?$/.exec(part);
    if (!m) return null;
    const unit = m[2] === "in" || m[2] === '"' ? 25.4 : m[2] && m[2] !== "mm" ? 0.001 : 1;
    const mm = Number(m[1]?.replace(",", ".")) * unit;
    if (!(mm >= 0.01 && mm <= 300)) return null;
    out.push(Math.round(mm * 1e5) / 1e5);
  }
  return out;
}

/** worded is a value with its unit: a share of length as per cent, else mm to the µm. */
export function worded(f: Found, x: number): string {
  return f.unit === "share" ? `${(100 * x).toFixed(2)}\u00a0%` : `${Number(x.toFixed(3))}\u00a0mm`;
}

/** surely is the interval in words; empty for a step of a ladder. */
export function surely(f: Found): string {
  if (!f.degrees_of_freedom) return "";
  return `in 95 of 100 cases ${worded(f, f.value.low)} to ${worded(f, f.value.high)}`;
}
