// The last build's plan and files, fetched when they are looked at.
import type { BuiltPlan } from "./api";
import { job } from "./job.svelte";
import * as server from "./server";

class Built {
  plan = $state.raw<BuiltPlan | null>(null);
  private of = "";

  /** want brings the plan of the revision that stands in the folder. */
  async want() {
    const { revision, current } = job.build;
    const of = `${revision} ${current}`;
    if (!revision) {
      this.plan = null;
      this.of = "";
      return;
    }
    if (this.of === of) return;
    this.of = of;
    try {
      this.plan = await server.plan();
    } catch {
      this.plan = null;
      this.of = "";
    }
  }
}

export const built = new Built();
