// What lies beside the job file, and how more comes there.
import type { JobFile } from "../../api";
import { job } from "../../job.svelte";
import * as server from "../../server";

class Beside {
  all = $state.raw<JobFile[]>([]);
  refused = $state("");
  private asked = "";

  async want() {
    const version = job.state?.version ?? "";
    if (this.asked === version) return;
    this.asked = version;
    this.all = (await server.files()).files;
  }

  /** put uploads a file; null and a reason when it is refused. */
  async put(file: File): Promise<JobFile | null> {
    this.refused = "";
    try {
      const got = await server.put(file);
      this.asked = "";
      await this.want();
      job.said = `${got.name} lies beside the job now${got.words ? `: ${got.words}` : ""}`;
      return got;
    } catch (e) {
      this.refused =
        e instanceof server.Refused
          ? e.mistakes
              .map((m) => `${m.found}${m.allowed ? `; allowed: ${m.allowed}` : ""}${m.do ? `; try: ${m.do}` : ""}`)
              .join(". ")
          : `${file.name} did not arrive`;
      job.said = this.refused;
      return null;
    }
  }
}

export const files = new Beside();
