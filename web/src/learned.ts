// How a measured time is told.
import type { PlanLearned } from "./api";
import { duration } from "./unit";

/** fine words minutes, with seconds where they are few. */
function fine(seconds: number): string {
  return seconds < 600
    ? seconds < 90
      ? `${Math.round(seconds)}\u00a0s`
      : `${Math.round(seconds / 6) / 10}\u00a0min`
    : duration(seconds / 60);
}

/** each says what was measured, against what was planned, from how many, and whether the plan takes it. */
export function each(l: PlanLearned): string {
  const f = l.factor.likely;
  const share = `${Math.round(Math.abs(f - 1) * 100)}\u00a0%`;
  const than =
    Math.abs(f - 1) < 0.005
      ? "as long as reckoned"
      : f > 1
        ? `${share} longer than reckoned`
        : `${share} shorter than reckoned`;
  const what =
    l.each_s.likely > 0 && l.per
      ? `${fine(l.each_s.likely)} for each ${l.per} (${fine(l.each_s.low)} to ${fine(l.each_s.high)}), where ${fine(l.each_s.likely / f)} were planned`
      : than;
  const why = l.why ? (l.used ? `; ${l.why}` : `. Not taken: ${l.why}`) : "";
  return `${what}, from ${l.from}${why}.`;
}
