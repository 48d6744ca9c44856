// The job as the page knows it: the server's state, the edits on their way to it,
// and what came of them. One edit is on its way at a time; while it travels, newer
// values of the same key replace each other, so that a dragged slider never queues.
import type { BuildState, Edit, Mistake, Rules, State, StateEvent, Tray } from "./api";
import { general, type RuleBook, read } from "./key";
import { labelOf } from "./labels";
import { record } from "./record.svelte";
import * as server from "./server";

const idle: BuildState = {
  count: 0,
  running: false,
  stage: "",
  done: 0,
  total: 0,
  outcome: "",
  findings: [],
  mistakes: [],
  revision: "",
  current: false,
};

class Job {
  state = $state.raw<State | null>(null);
  rules = $state.raw<RuleBook>(new Map());
  classes = $state.raw<Rules["classes"]>({});
  fonts = $state.raw<string[]>([]);
  tray = $state.raw<Tray | null>(null);
  trayLate = $state(false);
  build = $state.raw<BuildState>(idle);
  /** Values that were changed here and are not yet in the state. */
  echo = $state.raw<Record<string, unknown>>({});
  /** Why the last edit was refused. */
  refused = $state.raw<Mistake[]>([]);
  /** What a screen reader is told. */
  said = $state("");
  lost = $state(false);
  shut = $state(false);
  saving = $state(false);
  /** Counts changes of the files beside the job file. */
  filesSeen = $state(0);

  private waiting: Edit[] = [];
  private flushing: Promise<void> | null = null;
  private trayAbort: AbortController | null = null;
  private trayVersion = "";

  values = $derived(this.state?.values ?? null);
  assumed = $derived(new Map((this.state?.assumed ?? []).map((a) => [a.key, a])));
  findings = $derived(this.state?.findings ?? []);
  mistakes = $derived(this.state?.mistakes ?? []);

  async open() {
    try {
      const [rules, state] = await Promise.all([server.rules(), server.state()]);
      this.rules = new Map(rules.rules.map((r) => [r.key, r]));
      this.classes = rules.classes;
      this.take(state);
      this.listen();
      this.fonts = (await server.fonts()).names;
    } catch (e) {
      if (e instanceof server.Refused && (e.status === 401 || e.status === 403)) this.shut = true;
      else this.lost = true;
    }
  }

  private listen() {
    const events = new EventSource("/api/events");
    events.addEventListener("state", (e) => {
      const got = JSON.parse((e as MessageEvent<string>).data) as StateEvent;
      if (got.by === "files" || got.by === "record") this.filesSeen++;
      if (got.by === "record" || got.by === "told") record.renew();
      if (got.by === "page" && got.version === this.state?.version) return;
      void this.refresh();
    });
    events.addEventListener("build", (e) => {
      this.takeBuild(JSON.parse((e as MessageEvent<string>).data) as BuildState);
    });
    events.addEventListener("open", () => {
      if (this.lost) {
        this.build = { ...this.build, count: 0 }; // a workshop started anew counts anew
        void this.refresh();
      }
      this.lost = false;
    });
    events.addEventListener("error", () => {
      this.lost = true;
    });
  }

  async refresh() {
    try {
      const s = await server.state();
      if (!this.flushing) this.take(s);
    } catch {
      // the event stream tells when the server is back
    }
  }

  take(s: State) {
    this.state = s;
    this.takeBuild(s.build);
    if (this.waiting.length === 0) this.echo = {};
  }

  /** takeBuild drops a state that was overtaken: answers and events come by different ways. */
  private takeBuild(b: BuildState) {
    if (b.count >= this.build.count) this.build = b;
  }

  /** value is what stands at a key now, with edits that are still on their way. */
  value(key: string): unknown {
    return key in this.echo ? this.echo[key] : read(this.values, key);
  }

  rule(key: string) {
    return this.rules.get(general(key));
  }

  /** label names a key in words. */
  label = (key: string) => labelOf(key, this.values);

  set(key: string, value: unknown) {
    this.waiting = this.waiting.filter((e) => !(e.do === "set" && e.key === key));
    this.waiting.push({ do: "set", key, value });
    this.echo = { ...this.echo, [key]: value };
    return this.flush();
  }

  unset(key: string) {
    return this.edit([{ do: "unset", key }], `${this.label(key)}: as usual again`);
  }

  edit(edits: Edit[], said = "") {
    this.waiting.push(...edits);
    if (said) this.said = said;
    return this.flush();
  }

  private flush(): Promise<void> {
    this.flushing ??= this.send().finally(() => {
      this.flushing = null;
    });
    return this.flushing;
  }

  private async send() {
    this.saving = true;
    while (this.waiting.length > 0 && this.state) {
      const edits = this.waiting;
      this.waiting = [];
      try {
        this.take(await server.edit({ version: this.state.version, edits }));
        this.refused = [];
      } catch (e) {
        this.echo = {};
        if (e instanceof server.Stale) this.take(e.state);
        else if (e instanceof server.Refused) this.refused = e.mistakes;
        else this.lost = true;
        if (this.refused[0]) this.said = `${this.label(this.refused[0].key ?? "")}: ${this.refused[0].found}`;
      }
    }
    this.saving = false;
  }

  /** step goes back or forward; keys pressed fast take their steps one behind the other. */
  step(which: "undo" | "redo") {
    this.stepping = this.stepping.then(() => this.stepOnce(which));
    return this.stepping;
  }

  private stepping = Promise.resolve();

  private async stepOnce(which: "undo" | "redo") {
    await this.flushing;
    const s = this.state;
    if (!s || s[which] === 0) return;
    try {
      this.take(await (which === "undo" ? server.undo : server.redo)({ version: s.version }));
      this.said = which === "undo" ? "One step back" : "One step forward";
      this.refused = [];
    } catch (e) {
      if (e instanceof server.Stale) this.take(e.state);
      else if (e instanceof server.Refused) this.refused = e.mistakes;
    }
  }

  async settle(take: "mine" | "theirs") {
    if (this.state) this.take(await server.settle({ version: this.state.version, take }));
  }

  /** wantTray brings the trays of the present version; an older request is given up. */
  async wantTray() {
    const version = `${this.state?.version} ${this.filesSeen}`;
    if (!this.state?.begun || this.trayVersion === version) return;
    this.trayVersion = version;
    this.trayAbort?.abort();
    this.trayAbort = new AbortController();
    this.trayLate = true;
    try {
      this.tray = await server.tray(this.trayAbort.signal);
      this.trayLate = false;
    } catch (e) {
      if (e instanceof DOMException && e.name === "AbortError") return;
      this.trayVersion = "";
      if (e instanceof server.Refused && e.status === 409) {
        setTimeout(() => void this.wantTray(), 300); // the job changed while it was laid out
        return;
      }
      this.trayLate = false;
    }
  }

  async makeAll(paper: "A4" | "Letter") {
    if (!this.state) return;
    await this.flushing;
    try {
      this.takeBuild(await server.build({ version: this.state.version, paper }));
    } catch (e) {
      if (e instanceof server.Stale) this.take(e.state);
      else if (e instanceof server.Refused) this.refused = e.mistakes;
    }
  }

  async stopAll() {
    this.takeBuild(await server.stopBuild());
  }
}

export const job = new Job();
