import { fireEvent, render, screen } from "@testing-library/svelte";
import { beforeEach, expect, it, vi } from "vitest";
import type { EditRequest, Rule, State } from "../api";
import { job } from "../job.svelte";
import { settings } from "../settings.svelte";
import Measure from "./Measure.svelte";

const rule: Rule = {
  key: "piece[].width_mm",
  kind: "number",
  unit: "mm",
  min: 4,
  max: 300,
  enum: [],
  default: "36",
  optional: false,
  class: false,
  doc: "size at the back",
};
const state = (width: number) =>
  ({
    begun: true,
    version: `v${width}`,
    values: { piece: [{ width_mm: width }] },
    assumed: [],
    findings: [],
    mistakes: [],
    build: job.build,
  }) as unknown as State;

let sent: EditRequest[] = [];
beforeEach(() => {
  sent = [];
  settings.system = "metric";
  job.rules = new Map([[rule.key, rule]]);
  job.take(state(38.1));
  vi.stubGlobal("fetch", (_: string, q: RequestInit) => {
    const edit = JSON.parse(String(q.body)) as EditRequest;
    sent.push(edit);
    return Response.json(state(Number(edit.edits[0]?.value)));
  });
});
const field = () => screen.getByRole<HTMLInputElement>("textbox", { name: "wide" });
const show = () => render(Measure, { key: "piece[1].width_mm", from: 15, to: 60 });

it("shows the value and keeps what is typed", async () => {
  show();
  expect(field().value).toBe("38.1");
  await fireEvent.input(field(), { target: { value: "40,5 mm" } });
  await fireEvent.keyDown(field(), { key: "Enter" });
  await vi.waitFor(() => expect(job.state?.version).toBe("v40.5"));
  expect(sent).toEqual([{ version: "v38.1", edits: [{ do: "set", key: "piece[1].width_mm", value: 40.5 }] }]);
});

it("refuses what the job file does not allow, and says what it does", async () => {
  show();
  await fireEvent.input(field(), { target: { value: "999" } });
  await fireEvent.keyDown(field(), { key: "Enter" });
  expect((await screen.findByRole("alert")).textContent).toContain("4 to 300 mm");
  expect(sent).toEqual([]);
});

it("reads and writes inches where they are wished", async () => {
  settings.system = "us";
  show();
  expect(field().value).toBe("1.5");
  await fireEvent.input(field(), { target: { value: "2" } });
  await fireEvent.keyDown(field(), { key: "Enter" });
  await vi.waitFor(() => expect(sent[0]?.edits[0]?.value).toBe(50.8));
});
