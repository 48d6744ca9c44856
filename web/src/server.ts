// Talks to the workshop's server. Every call may be refused: a Refused carries the
// server's mistakes, a Stale the state that came before ours.
import type {
  Again,
  Beginnings,
  BeginRequest,
  BuildRequest,
  BuildState,
  BuiltPlan,
  CalendarNow,
  Chilling,
  CouponAnswer,
  CouponRequest,
  CouponSet,
  EditRequest,
  Entries,
  Files,
  Fonts,
  ForecastHead,
  ItemHead,
  JobFile,
  Mistake,
  Paired,
  Photo,
  PieceHead,
  PlanWeighed,
  Recorded,
  Refusal,
  Rules,
  SettleRequest,
  State,
  StepRequest,
  Trace,
  Tray,
  Verdict,
  WeighedRequest,
} from "./api";
import { clock } from "./clock.svelte";
import { type Octets, octets } from "./octets";

export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly mistakes: Mistake[],
  ) {
    super(mistakes.map((m) => m.found).join("; ") || `refused (${status})`);
  }
}

export class Stale extends Error {
  constructor(readonly state: State) {
    super("the job changed meanwhile");
  }
}

async function refusal(r: Response): Promise<Refused> {
  try {
    const body = (await r.json()) as Refusal;
    if (Array.isArray(body.mistakes)) return new Refused(r.status, body.mistakes);
  } catch {
    // No JSON: the status alone must do.
  }
  return new Refused(r.status, [{ found: `the workshop answered with ${r.status}` }]);
}

async function json<T>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<T> {
  const sent = Date.now();
  const r = await fetch(path, {
    method,
    signal: signal ?? null,
    ...(body === undefined ? {} : { headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) }),
  });
  clock.heard(r.headers.get("Date"), sent, Date.now());
  if (r.ok) return (await r.json()) as T;
  if (r.status === 409) {
    const copy = r.clone();
    const state = (await copy.json().catch(() => null)) as State | null;
    if (state && "version" in state) throw new Stale(state);
  }
  throw await refusal(r);
}

async function block<Head extends { blocks: PieceHead["blocks"] }>(
  path: string,
  signal?: AbortSignal,
): Promise<Octets<Head>> {
  const r = await fetch(path, { signal: signal ?? null });
  if (!r.ok) throw await refusal(r);
  return octets<Head>(await r.arrayBuffer());
}

export const rules = () => json<Rules>("GET", "/api/rules");
export const state = () => json<State>("GET", "/api/state");
export const edit = (q: EditRequest) => json<State>("POST", "/api/edit", q);
export const undo = (q: StepRequest) => json<State>("POST", "/api/undo", q);
export const redo = (q: StepRequest) => json<State>("POST", "/api/redo", q);
export const settle = (q: SettleRequest) => json<State>("POST", "/api/settle", q);
export const files = () => json<Files>("GET", "/api/files");
export const fonts = () => json<Fonts>("GET", "/api/fonts");
export const tray = (signal?: AbortSignal) => json<Tray>("GET", "/api/tray", undefined, signal);
export const weighed = (q: WeighedRequest) => json<PlanWeighed>("POST", "/api/weighed", q);
export const build = (q: BuildRequest) => json<BuildState>("POST", "/api/build", q);
export const stopBuild = () => json<BuildState>("DELETE", "/api/build");
export const plan = () => json<BuiltPlan>("GET", "/api/plan");
export const beginnings = () => json<Beginnings>("GET", "/api/begin");
export const begin = (q: BeginRequest) => json<State>("POST", "/api/begin", q);
export const pair = (code: string) => json<Paired>("POST", "/api/pair", { code });

export const calendar = () => json<CalendarNow>("GET", "/api/calendar");
export const record = () => json<Recorded>("GET", "/api/record");
export const keep = (q: Partial<Entries>) => json<Recorded>("POST", "/api/record", q);
export const trace = (asked: string) => json<Trace>("GET", `/api/trace?${new URLSearchParams({ asked })}`);
export const verifyCode = (code: string) => json<Verdict>("GET", `/api/verify?${new URLSearchParams({ code })}`);
/** verifyFile asks what a file is; nothing of it is kept. */
export async function verifyFile(file: File): Promise<Verdict> {
  const r = await fetch(`/api/verify?${new URLSearchParams({ name: file.name })}`, { method: "POST", body: file });
  if (!r.ok) throw await refusal(r);
  return (await r.json()) as Verdict;
}
/** photo is the address of a kept photo. */
export const photo = (id: string) => `/api/record/photo/${encodeURIComponent(id)}`;

/** keepPhoto keeps a photo beside the job file. */
export async function keepPhoto(file: File, words: string): Promise<Photo> {
  const r = await fetch(`/api/record/photo?${new URLSearchParams({ name: file.name, words })}`, {
    method: "POST",
    body: file,
  });
  if (!r.ok) throw await refusal(r);
  return (await r.json()) as Photo;
}

export const piece = (design: number, row: number, detail: "coarse" | "fine", signal?: AbortSignal) =>
  block<PieceHead>(`/api/piece/${design}?detail=${detail}${row > 0 ? `&row=${row}` : ""}`, signal);
export const chill = (design: number, signal?: AbortSignal) =>
  json<Chilling>("GET", `/api/chill/${design}`, undefined, signal);
export const forecast = (design: number, row: number, signal?: AbortSignal) =>
  block<ForecastHead>(`/api/forecast/${design}${row > 0 ? `?row=${row}` : ""}`, signal);
export const item = (index: number, signal?: AbortSignal) => block<ItemHead>(`/api/item/${index}`, signal);

/** again is the plates that print these parts (3,7), of the same revision. */
export const again = (parts: string, signal?: AbortSignal) =>
  json<Again>("GET", `/api/again/${parts}`, undefined, signal);
export const layers = (plate: number) => `/api/plate/${plate}/layers.zip`;
export const againFile = (parts: string, plate: number) => `/api/again/${parts}/${plate}.3mf`;
/** out is the address of a file of the last build. */
export const out = (name: string) => `/api/out/${name.split("/").map(encodeURIComponent).join("/")}`;
/** beside is the address of a file beside the job file. */
export const beside = (name: string) => `/api/files/${encodeURIComponent(name)}`;

/** put lays a file beside the job file. */
export async function put(file: File): Promise<JobFile> {
  const r = await fetch(beside(file.name), { method: "PUT", body: file });
  if (!r.ok) throw await refusal(r);
  return (await r.json()) as JobFile;
}

export const coupons = () => json<CouponSet>("GET", "/api/coupons");
export const readCoupon = (q: CouponRequest) => json<CouponAnswer>("POST", "/api/coupons/read", q);
/** coupon is where a file of the coupons can be taken. */
export const coupon = (name: string) => `/api/coupons/${encodeURIComponent(name)}`;
