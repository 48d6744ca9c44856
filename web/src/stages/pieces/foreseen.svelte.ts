// What the forecasts of the pieces said that were looked at, for the list of remarks.
import type { ForecastHead, Remark } from "../../api";

class Foreseen {
  private heads = $state.raw<ForecastHead[]>([]);
  private version = "";

  /** keep remembers a forecast; those of an older version of the job are dropped. */
  keep(head: ForecastHead) {
    const rest =
      head.version === this.version ? this.heads.filter((h) => h.design !== head.design || h.row !== head.row) : [];
    this.version = head.version;
    this.heads = [...rest, head].sort((a, b) => a.design - b.design || a.row - b.row);
  }

  /** findings of the version that is in place, without what others have said already. */
  findings(version: string | undefined, said: Remark[]): Remark[] {
    const known = new Set(said.map((f) => f.where + f.what));
    return this.heads
      .filter((h) => h.version === version)
      .flatMap((h) => h.findings)
      .filter((f) => !known.has(f.where + f.what) && known.add(f.where + f.what));
  }
}

export const foreseen = new Foreseen();
