// What happens at the bench while rubber is poured. Every tap is an entry of the record,
// so that a reload, a shut lid and another device change nothing; only instants are
// kept, never ticks.
import type { PlanCup, PlanRubber, PlanWeighed } from "../../api";
import { job } from "../../job.svelte";
import { newId, record } from "../../record.svelte";
import * as server from "../../server";
import { type CupHappened, cupTimer, type Happened, happened, padsTimer } from "./happened";

const nothing: Happened = { cups: new Map(), codes: [], all: [] };

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

  cup(number: number): CupHappened {
    return this.now.cups.get(number) ?? { ids: {} };
  }

  private get at() {
    return new Date().toISOString();
  }

  private get rubber() {
    return job.values?.silicone.name || job.values?.silicone.class || "rubber";
  }

  /** weigh keeps what stood on the scale. */
  weighed(cup: PlanCup, part: "a" | "b", massG: number, plannedG: number) {
    return record.keep({
      weighings: [
        {
          at: this.at,
          cup: cup.number,
          what: `part ${part.toUpperCase()}`,
          mass_g: massG,
          planned_g: plannedG,
          silicone: this.rubber,
        },
      ],
    });
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
        .filter((f) => !first.includes(f.tray))
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
    const now = new Date();
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
      .map(([n, c]) => ({ cup: n, part_a_g: c.a ?? 0, part_b_g: c.b ?? 0 }))
      .filter((c) => c.part_a_g > 0 || c.part_b_g > 0);
    this.late = setTimeout(() => void this.send(cups), 120);
  }

  private async send(cups: { cup: number; part_a_g: number; part_b_g: number }[]) {
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
