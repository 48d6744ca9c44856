import { describe, expect, it } from "vitest";
import type { PlanTask } from "../../api";
import { at, byDay, dayMs, dayName, dayOf, inHand, must, open, rest } from "./days";

const task = (name: string, from: string, after: string[] = [], state = ""): PlanTask => ({
  task: name,
  from,
  to: from,
  hands_until: from,
  home: false,
  after,
  needs: [],
  critical: false,
  slack_h: 0,
  margin: false,
  state,
});

describe("days", () => {
  it("knows days and their names", () => {
    const ms = at("2026-12-05T18:30");
    expect(dayOf(ms)).toBe(Date.UTC(2026, 11, 5));
    expect(dayName(ms)).toBe("Saturday 5\u00a0December");
    expect(rest(ms)).toBe(true);
    expect(rest(ms + 2 * dayMs)).toBe(false);
  });
  it("gathers by day what is still to do", () => {
    const days = byDay([
      task("a", "2026-12-05T18:30", [], "done"),
      task("b", "2026-12-05T19:00"),
      task("c", "2026-12-05T20:00"),
      task("d", "2026-12-07T19:00"),
    ]);
    expect(days.map((d) => d.tasks.map((t) => t.task))).toEqual([["b", "c"], ["d"]]);
  });
  it("tells what could be begun and what must be", () => {
    const tasks = [
      task("a", "2026-12-01T18:30", [], "done"),
      task("b", "2026-12-05T19:00", ["a"]),
      task("c", "2026-12-06T20:00", ["b"]),
    ];
    expect(open(tasks).map((t) => t.task)).toEqual(["b"]);
    expect(must(tasks, Date.UTC(2026, 11, 5)).map((t) => t.task)).toEqual(["b"]);
  });
  it("words what is in hand", () => {
    expect([0.2, 5.4, 50].map(inHand)).toEqual(["none", "5\u00a0h", "2\u00a0days"]);
  });
});
