// Moments of the calendar as a clock on the wall shows them, 2026-12-05T18:30, and the
// days that they lie on. Reckoned as if in UTC, so that no day is longer than another.
import type { PlanTask } from "../../api";
import { months } from "../../words";

export const dayMs = 86_400_000;

/** at is a moment in milliseconds; NaN for an empty one. */
export const at = (wall: string) => Date.parse(`${wall}:00Z`);

/** dayOf is the midnight before a moment. */
export const dayOf = (ms: number) => Math.floor(ms / dayMs) * dayMs;

const names = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];

/** dayName words a day: Saturday 5 December. */
export function dayName(ms: number): string {
  const d = new Date(ms);
  return `${names[d.getUTCDay()]} ${d.getUTCDate()}\u00a0${months[d.getUTCMonth()]}`;
}

/** shortDay words it on little room: Sat 5 Dec. */
export function shortDay(ms: number): string {
  const d = new Date(ms);
  return `${names[d.getUTCDay()]!.slice(0, 3)} ${d.getUTCDate()} ${months[d.getUTCMonth()]!.slice(0, 3)}`;
}

export const weekday = (ms: number) => new Date(ms).getUTCDay();
export const dayNumber = (ms: number) => new Date(ms).getUTCDate();
export const monthName = (ms: number) => months[new Date(ms).getUTCMonth()]!;

/** hour words the time of a moment: 18:30. */
export const hour = (wall: string) => wall.slice(11, 16);

/** rest is a day on which most people are free. */
export const rest = (ms: number) => weekday(ms) === 0 || weekday(ms) === 6;

export interface OneDay {
  ms: number;
  /** Begun on it by hand, in order. */
  tasks: PlanTask[];
}

/** byDay gathers what is still to do by the days on which it is begun. */
export function byDay(tasks: PlanTask[]): OneDay[] {
  const out: OneDay[] = [];
  for (const t of tasks) {
    if (t.state !== "") continue;
    const ms = dayOf(at(t.from));
    const last = out.at(-1);
    if (last?.ms === ms) last.tasks.push(t);
    else out.push({ ms, tasks: [t] });
  }
  return out;
}

/** open are tasks that could be begun now: all that they wait for is done. */
export function open(tasks: PlanTask[]): PlanTask[] {
  const waits = new Set(tasks.filter((t) => t.state !== "done").map((t) => t.task));
  return tasks.filter((t) => t.state === "" && !t.margin && !t.after.some((a) => waits.has(a)));
}

/** must are tasks whose latest day is today or past. */
export function must(tasks: PlanTask[], today: number): PlanTask[] {
  return tasks.filter((t) => t.state === "" && dayOf(at(t.from)) <= today);
}

/** inHand words hours: under half an hour is none. */
export function inHand(h: number): string {
  if (h < 0.5) return "none";
  if (h < 36) return `${Math.round(h)}\u00a0h`;
  return `${Math.round(h / 24)}\u00a0days`;
}
