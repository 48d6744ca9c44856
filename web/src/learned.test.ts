import { expect, test } from "vitest";
import type { PlanLearned } from "./api";
import { each } from "./learned";

const r = (low: number, likely: number, high: number) => ({ low, likely, high });
const one = (more: Partial<PlanLearned>): PlanLearned => ({
  step: "box",
  what: "filling a box",
  times: 3,
  factor: r(1, 2, 3),
  each_s: r(0, 0, 0),
  used: true,
  from: "3 times in the record",
  ...more,
});

test("a time for each thing stands beside what was planned", () => {
  expect(each(one({ each_s: r(300, 360, 420), per: "box" }))).toBe(
    "6\u00a0min for each box (5\u00a0min to 7\u00a0min), where 3\u00a0min were planned, from 3 times in the record.",
  );
  expect(each(one({ each_s: r(8, 12.4, 20), per: "piece", factor: r(1, 1, 1) }))).toContain("12\u00a0s for each piece");
});

test("a share says longer or shorter, and why it is not taken", () => {
  expect(each(one({ factor: r(1, 1.1, 1.2) }))).toBe("10\u00a0% longer than reckoned, from 3 times in the record.");
  expect(each(one({ factor: r(0.7, 0.8, 1), used: false, why: "3 are the least" }))).toBe(
    "20\u00a0% shorter than reckoned, from 3 times in the record. Not taken: 3 are the least.",
  );
});
