// One clock for every timer on the page: the workshop's, so that a tablet whose own clock
// is off shows the same. It ticks only while something looks at it, and remembers when it
// was set while a timer ran.
import { jumped, type Look, offBy } from "./jump";

/** A time at which the clock did not run as time does. */
export interface Jump {
  /** What the clock says after it. */
  at: number;
  /** By how much it went ahead of time; below 0: it went back. */
  ms: number;
}

const keySeen = "mouldwright.clock.seen";
const keyJump = "mouldwright.clock.jump";

class Clock {
  now = $state(Date.now());
  /** The last jump that nobody has answered. */
  jump = $state.raw<Jump | null>(null);
  private behind = 0; // of the workshop's clock, ms
  private users = 0;
  private tick: ReturnType<typeof setInterval> | undefined;
  private was: (Look & { at: number }) | null = null;

  constructor() {
    try {
      this.jump = JSON.parse(localStorage.getItem(keyJump) ?? "null") as Jump | null;
    } catch {
      this.jump = null;
    }
  }

  /** at is the present instant by the workshop's clock, ms. */
  at() {
    return Date.now() + this.behind;
  }

  /** heard takes the instant that stands in the head of an answer. */
  heard(head: string | null, sent: number, got: number) {
    const at = Date.parse(head ?? "");
    if (!Number.isNaN(at)) this.behind = offBy(at, sent, got);
  }

  /** watch keeps the clock going for as long as an effect lives: $effect(() => clock.watch()). */
  watch(): () => void {
    const look = () => this.look();
    if (this.users++ === 0) {
      this.again();
      this.tick = setInterval(look, 500);
      document.addEventListener("visibilitychange", look);
    }
    this.now = this.at();
    return () => {
      if (--this.users > 0) return;
      clearInterval(this.tick);
      document.removeEventListener("visibilitychange", look);
      this.was = null;
    };
  }

  /** again compares with what the clock said when it was last looked at, before a reload too. */
  private again() {
    const seen = Number(localStorage.getItem(keySeen)) || 0;
    const ms = this.at() - seen;
    if (seen && ms < 0) this.say(jumped({ wall: seen, own: 0 }, { wall: seen + ms, own: 0 }));
    this.was = this.seen();
  }

  private seen() {
    return { wall: Date.now(), own: performance.now(), at: this.at() };
  }

  private look() {
    const was = this.was;
    this.was = this.seen();
    if (was && jumped(was, this.was)) void this.ask(was);
    this.now = this.at();
    localStorage.setItem(keySeen, String(this.now));
  }

  /** ask finds out whether the workshop's clock jumped as well: only that one counts. */
  private async ask(was: Look & { at: number }) {
    const sent = Date.now();
    try {
      const r = await fetch("/api/state", { method: "HEAD", cache: "no-store" });
      this.heard(r.headers.get("Date"), sent, Date.now());
    } catch {
      // The workshop does not answer: this device's clock is all there is.
    }
    this.was = this.seen();
    this.now = this.was.at;
    this.say(jumped({ wall: was.at, own: was.own }, { wall: this.was.at, own: this.was.own }));
  }

  private say(ms: number) {
    if (!ms) return;
    // Steps of one direction add up; a step back tells more than a sleep before it.
    const before = this.jump && this.jump.ms < 0 === ms < 0 ? this.jump.ms : 0;
    this.keep({ at: this.at(), ms: before + ms });
  }

  /** answered forgets the jump. */
  answered() {
    this.keep(null);
  }

  private keep(j: Jump | null) {
    this.jump = j;
    if (j) localStorage.setItem(keyJump, JSON.stringify(j));
    else localStorage.removeItem(keyJump);
  }
}

export const clock = new Clock();
