// What happens at the bench while rubber is poured. Every tap is an entry of the record,
// so that a reload, a shut lid and another device change nothing; only instants are
// kept, never ticks.
import type { PlanCup, PlanRubber, PlanWeighed, WeighedRequest } from "../../api";
import { clock } from "../../clock.svelte";
import { job } from "../../job.svelte";
import { newId, record } from "../../record.svelte";
import * as server from "../../server";
import { type CupHappened, cupTimer, type Happened, happened, padsTimer } from "./happened";

const nothing: Happened = { cups: new Map(), codes: [], pours: new Map(), all: [] };

class Bench {
  /** What the weighed masses change; null: nothing weighed, or not yet known. */
  change = $state.raw<PlanWeighed | null>(null);
  /** Why the last weighed mass was refused. */
  wrong = $state("");
  private late: ReturnType<typeof setTimeout> | undefined;
  private asked = 0;

  private trays = $derived(job.tray?.trays.map((t) => t.number) ?? []);
  now = $derived(record.all && this.trays.length ? happened(record.all, this.trays) : nothing);
  begun = $derived(this.now.cups.size > 0);

  private planned = $derived(job.tray?.plan.pour.cups ?? []);
  /** Cups that were mixed beyond the plan, and the one that is about to be. */
  more = $derived(
    [...this.now.cups]
      .filter(([n, c]) => n > this.planned.length && c.tray)
      .map(([number, c]) => ({ number, tray: c.tray! }))
      .sort((a, b) => a.number - b.number),
  );
  /** Where the next one goes, until something of it stands on the scale. */
  next = $state(0);

  /** cup is what happened to a cup. A clock that went back is made up for at once. */
  cup(number: number): CupHappened {
    const c = this.now.cups.get(number) ?? { ids: {} };
    const back = Math.min(0, clock.jump?.ms ?? 0);
    return back && c.began && !c.poured ? { ...c, began: c.began + back } : c;
  }

  private get at() {
    return new Date(clock.at()).toISOString();
  }

  private get rubber() {
    return job.values?.silicone.name || job.values?.silicone.class || "rubber";
  }

  /** weighed keeps what stood on the scale; tray is that of a cup beyond the plan. */
  async weighed(cup: PlanCup, part: "a" | "b", massG: number, plannedG: number, tray = 0) {
    const { at } = this;
    const begun = tray ? this.now.pours.get(tray) : undefined;
    const pour = tray ? (begun ?? newId()) : undefined;
    const code = job.tray?.plan.revision ?? "";
    const kept = await record.keep({
      ...(pour && !begun ? { pours: [{ id: pour, at, tray, code, silicone: this.rubber }] } : {}),
      weighings: [
        {
          at,
          cup: cup.number,
          what: `part ${part.toUpperCase()}`,
          mass_g: massG,
          planned_g: plannedG,
          silicone: this.rubber,
          ...(pour ? { pour } : {}),
        },
      ],
    });
    if (kept && tray) this.next = 0;
    return kept;
  }

  /** setRight makes up for a clock that was set: what runs began as much earlier or later. */
  async setRight() {
    const { jump } = clock;
    if (!jump) return;
    const runs = [...this.now.cups.values()].filter((c) => c.began && !c.poured).map((c) => c.ids.began);
    if (this.now.pads) runs.push(this.now.pads.id);
    const timers = (record.all?.timers ?? []).filter(
      (t) => runs.includes(t.id) && (jump.ms < 0 || Date.parse(t.at) < jump.at),
    );
    // The record writes nothing while its clock is behind the last entry, until it is told.
    if (jump.ms < 0 && !(await record.keep({ clocks: [{ was_at: new Date(jump.at - jump.ms).toISOString() }] })))
      return;
    const kept = await record.keep({
      timers: timers.map((t) => ({
        at: new Date(Date.parse(t.at) + jump.ms).toISOString(),
        name: t.name,
        minutes: t.minutes,
      })),
      withdrawals: timers.map((t) => ({ id: newId(), entry: t.id ?? "", why: "the clock was set" })),
    });
    if (kept) clock.answered();
  }

  /** begin says that a cup is being stirred; the pour of a tray begins with its first cup. */
  begin(cup: PlanCup, revision: string) {
    const at = this.at;
    const silicone = this.rubber;
    const first = (job.tray?.plan.pour.cups ?? [])
      .filter((c) => c.number < cup.number)
      .flatMap((c) => c.fills.map((f) => f.tray));
    return record.keep({
      timers: [{ at, name: cupTimer(cup.number), minutes: cup.wet_until_min }],
      pours: cup.fills
        .filter((f) => !first.includes(f.tray) && !this.now.pours.has(f.tray))
        .map((f) => ({ at, tray: f.tray, code: revision, silicone })),
    });
  }

  poured(cup: PlanCup) {
    const timer = this.cup(cup.number).ids.began;
    if (timer) return record.keep({ timer_ends: [{ at: this.at, timer, planned_min: cup.ready_min + cup.pour_min }] });
    return Promise.resolve(false);
  }

  padsMixed(minutes: number) {
    return record.keep({ timers: [{ at: this.at, name: padsTimer, minutes }] });
  }

  /** judge keeps the outcome of one combination of the cure test, with a photo if there is one. */
  async judge(
    t: PlanRubber["cure_test"][number],
    outcome: "liquid" | "gummy" | "tacky skin" | "clean",
    photo: File | null,
  ) {
    const now = new Date(clock.at());
    const two = (n: number) => String(n).padStart(2, "0");
    const kept = photo ? await record.photo(photo, `cure test, pad ${t.code}: ${outcome}`) : null;
    if (photo && !kept) return false;
    const { resin, treatment, coating, silicone } = t;
    return record.keep({
      cure_tests: [
        {
          day: `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`,
          resin,
          treatment,
          coating,
          silicone,
          outcome,
          ...(kept?.id ? { photo: kept.id } : {}),
        },
      ],
    });
  }

  /** demoulded ends this pour: every tray's mould is off its master. */
  demoulded(revision: string) {
    const at = this.at;
    return record.keep({ moulds: this.trays.map((tray) => ({ at, name: `tray ${tray}`, tray, code: revision })) });
  }

  /** back strikes out what one entry said. */
  back(id: string | undefined) {
    return id ? record.strike(id, "tapped by mistake") : Promise.resolve(false);
  }

  /** clear strikes out all of this pour: it was given up. */
  clear() {
    return record.keep({
      withdrawals: this.now.all.filter(Boolean).map((entry) => ({ id: newId(), entry, why: "the pour was given up" })),
    });
  }

  /** ask finds out what the weighed masses change, a moment after the last of them. */
  ask() {
    clearTimeout(this.late);
    const cups = [...this.now.cups]
      .map(([n, c]) => ({
        cup: n,
        part_a_g: c.a ?? 0,
        part_b_g: c.b ?? 0,
        ...(n > this.planned.length && c.tray ? { tray: c.tray } : {}),
      }))
      .filter((c) => c.part_a_g > 0 || c.part_b_g > 0);
    this.late = setTimeout(() => void this.send(cups), 120);
  }

  private async send(cups: WeighedRequest["cups"]) {
    const mine = ++this.asked;
    try {
      const got = cups.length ? await server.weighed({ cups }) : null;
      if (mine !== this.asked) return;
      this.change = got;
      this.wrong = "";
    } catch (e) {
      if (mine !== this.asked) return;
      if (e instanceof server.Refused && e.status === 409) {
        this.late = setTimeout(() => void this.send(cups), 300); // the plan was changing; what stands stays until then
        return;
      }
      this.change = null;
      const say = (m: { found: string; allowed?: string; do?: string }) =>
        [m.found, m.allowed && `allowed: ${m.allowed}`, m.do].filter(Boolean).join("; ");
      this.wrong = e instanceof server.Refused ? e.mistakes.map(say).join(". ") : "The workshop does not answer.";
    }
  }
}

export const bench = new Bench();
