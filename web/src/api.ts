// Made from internal/workshop/api.go and the job file's rules. After a change there:
// UPDATE=1 go test ./internal/workshop

/** The routes, as the server has them. */
export const routes = [
  "GET /api/rules", // -> Rules: every key of the job file, for forms
  "GET /api/state", // -> State
  "POST /api/edit", // EditRequest -> State; 409 with State when its version is stale, 422 with Refusal when an edit cannot be made: nothing is saved then
  "POST /api/undo", // StepRequest -> State; 409 with State when its version is stale
  "POST /api/redo", // StepRequest -> State; 409 with State when its version is stale
  "POST /api/settle", // SettleRequest -> State: ends a clash of the page with a text editor
  "GET /api/files", // -> Files: what lies beside the job file and can be used
  "GET /api/files/{name}", // -> the file's bytes
  "PUT /api/files/{name}", // bytes -> JobFile; 413 too large, 422 not readable as what its name says
  "GET /api/fonts", // -> Fonts: the built-in ones
  "GET /api/piece/{design}", // ?row=K&detail=coarse|fine -> octets: PieceHead and its blocks; design from 1, row from 1
  "GET /api/forecast/{design}", // ?row=K -> octets: ForecastHead and its blocks, a piece as it will come out; design from 1, row from 1
  "GET /api/chill/{design}", // ?row=K -> Chilling: one design in the fridge, in cubes of 1 mm; design from 1, row from 1
  "GET /api/above/{design}", // ?row=K&mm=S -> image/png: the piece from above, in the middle of a square of S mm, clear around it
  "GET /api/tray", // -> Tray: all trays laid out from coarse pieces, with the plan's numbers
  "POST /api/weighed", // WeighedRequest -> flow.PlanWeighed: what really weighed masses change; 422 when a number cannot be meant
  "GET /api/item/{item}", // -> octets: ItemHead and its blocks, the surface of Tray.items[item] (from 0)
  "POST /api/build", // BuildRequest -> BuildState: starts a build; 409 while one runs
  "DELETE /api/build", // -> BuildState: stops it; earlier results stay as they were
  "GET /api/plan", // -> BuiltPlan: the last build; 404 before the first
  "GET /api/plate/{plate}/layer/{image}", // -> image/png: layer k of plate n as the printer's mask shows it, both from 1 (/api/plate/2/layer/17.png); 404 unless the build is current
  "GET /api/plate/{plate}/layers.zip", // -> application/zip: all layers of plate n with their index; 404 unless the build is current
  "GET /api/again/{parts}", // -> Again: the plates that print just these parts (3,7), of the same revision; 404 unless the build is current
  "GET /api/again/{parts}/{file}", // -> model/3mf: plate k of those, from 1 (/api/again/3,7/1.3mf)
  "GET /api/out/{path...}", // -> a file of the last build, byte for byte as it lies in its folder
  "GET /api/coupons", // -> CouponSet: the test parts of the job as it stands
  "GET /api/coupons/{name}", // -> one of their files
  "POST /api/coupons/read", // CouponRequest -> CouponAnswer: what readings mean; nothing is saved. To keep them add a table to coupon by POST /api/edit
  "GET /api/events", // -> text/event-stream: event state (StateEvent), event build (BuildState)
  "GET /api/begin", // -> Beginnings: the starting sets and what the four questions allow
  "POST /api/begin", // BeginRequest -> State: makes the first job of an empty folder; 409 when there is a job
  "POST /api/pair", // PairRequest -> Paired, and the cookie of a session: a tablet on the home network
  "GET /api/calendar", // -> CalendarNow: the work over the days as it stands at this moment
  "GET /api/record", // -> Recorded: what really happened
  "POST /api/record", // Entries -> Recorded: writes them, all or none; what is answered is on the disk, and a repeated id is written once
  "POST /api/record/photo", // ?name=N&words=W, bytes -> Photo: kept beside the job file
  "GET /api/record/photo/{photo}", // -> the photo with that id
  "GET /api/record/difference/{revision}", // ?piece=N -> image/png: how much that revision changed the piece's heights, seen from above
  "GET /api/trace", // ?asked=LOT-OR-RECEIVER -> Trace
  "GET /api/verify", // ?code=C -> Verdict
  "POST /api/verify", // ?name=N, bytes -> Verdict; nothing is kept
  "GET /open", // ?token=T -> the page, and the cookie of a session
  "GET /", // -> the page and its files
] as const;

export interface Refusal {
  /** At least one. */
  mistakes: Mistake[];
}

export interface Rules {
  rules: Rule[];
  /** Names of the classes to start from, by the key that takes them: printer.class, resin.class, silicone.class, chocolate.*.kind, filling.*.recipe. */
  classes: Record<string, string[]>;
}

export interface State {
  /** There is a job; else the page shows the beginning and all below is empty. */
  begun: boolean;
  /** Of the job file's text; edits name the version they were made on. */
  version: string;
  /** Name of the folder that the job lies in. */
  folder: string;
  /** Name of the job file. */
  file: string;
  /** The choices by the job file's keys, defaults filled in; optional keys that are not given are left out; null when there are none to show yet. */
  values: JobChoices | null;
  /** The name list. */
  rows: Row[];
  /** Keys that stand at a default or at a class's value. */
  assumed: Assumed[];
  /** Of the last coarse computation and of the forecasts that are known, in the order of the stages. */
  findings: Remark[];
  /** Of all that pieces and trays depend on, the text and the files that it names: shapes are to be fetched anew when it changes. */
  inputs: string;
  /** The inputs that the findings and stages belong to. */
  sketched: string;
  /** Why the text on the disk cannot be used, or why it gives no shape; the values above are then the last good ones. */
  mistakes: Mistake[];
  /** Steps back that can be taken. */
  undo: number;
  /** Steps forward that can be taken. */
  redo: number;
  /** Edits of the page that are not in the file; null: none. */
  clash: Clash | null;
  build: BuildState;
  /** The line of stages, in the order of the work. */
  stages: Stage[];
  /** Open to the home network; null: this machine only. */
  home: Home | null;
}

export interface EditRequest {
  version: string;
  /** 1 to 200. */
  edits: Edit[];
}

export interface StepRequest {
  version: string;
}

export interface SettleRequest {
  version: string;
  /** Mine puts the clash's edits on top of their text; theirs drops them. */
  take: "mine" | "theirs";
}

export interface StateEvent {
  version: string;
  /** An edit from a page, a change by a text editor, new findings and stages, new files, a tablet, something in the record that changes the plan, or that does not. */
  by: "page" | "editor" | "sketch" | "files" | "home" | "record" | "told";
}

export interface Files {
  /** By name. */
  files: JobFile[];
}

export interface Fonts {
  names: string[];
}

export interface PieceHead {
  version: string;
  /** From 1. */
  design: number;
  /** Row of the name list, from 1; 0 for a piece without names. */
  row: number;
  /** As the sheets call it. */
  name: string;
  detail: "coarse" | "fine";
  /** At which it was computed. */
  pitch_mm: number;
  /** As the plan has them, at this pitch. */
  numbers: PlanPiece;
  /** Height of the body without raised art. */
  body_mm: number;
  /** Wanted thickness; 0 for a solid piece. */
  shell_mm: number;
  /** Thickness of the cap; 0 for a solid piece. */
  cap_mm: number;
  /** Factor that weight_g put on the sizes; 1 without it. */
  scale: number;
  shell_g: Range;
  filling_g: Range;
  cap_g: Range;
  /** Kind of its chocolate: dark, milk, white. */
  kind: string;
  /** Of this piece. */
  findings: Finding[];
  heights: Grid;
  /** Null for a solid piece. */
  filling: Grid | null;
  /** Points of each ring in the block rings. */
  rings: number[];
  blocks: Block[];
}

export interface ForecastHead {
  version: string;
  /** From 1. */
  design: number;
  /** Row of the name list, from 1; 0 for a piece without names. */
  row: number;
  /** As the sheets call it. */
  name: string;
  /** At which it was computed. */
  pitch_mm: number;
  /** As the plan has it. */
  forecast: PlanForecast;
  /** Of imported meshes. */
  undercuts: PlanUndercut[];
  /** Of the forecast. */
  findings: Remark[];
  /** Thickness of a layer. */
  layer_mm: number;
  /** Thickness of the sealer; 0 without. */
  coat_mm: number;
  /** Width of a terrace that is seen as a step. */
  visible_step_mm: number;
  /** Rule for the lean of walls. */
  least_draft_deg: number;
  /** Most that is missing: all but a hundredth of what differs lies above it. */
  lowest_mm: number;
  /** Most that is too much, in the same way. */
  highest_mm: number;
  heights: Grid;
  difference: Grid;
  blocks: Block[];
}

export interface Chilling {
  version: string;
  /** From 1. */
  design: number;
  /** Times, courses and changes, in cubes of 1 mm. */
  setting: PlanSetting;
  /** Of each course, in its order. */
  cuts: ChillCut[];
  findings: Finding[];
}

export interface Tray {
  version: string;
  /** Numbers of all stages, coarse; without plates' files. */
  plan: Plan;
  /** Each different piece as the master has it. */
  items: Item[];
  trays: OneTray[];
  /** In the order of plan.plates. */
  plates: OnePlate[];
}

export interface ItemHead {
  name: string;
  shape: string;
  blocks: Block[];
}

export interface BuildRequest {
  version: string;
  /** Of the sheets. */
  paper: "A4" | "Letter";
}

export interface BuildState {
  /** Grows with every change, over restarts too: of two states the one with the larger count is newer, whichever came first. */
  count: number;
  running: boolean;
  /** Piece, master, plate or sheet while it runs. */
  stage: string;
  /** Parts of the stage. */
  done: number;
  total: number;
  /** Of the last build: stopped by the person, refused by a finding that says stop, failed with mistakes. */
  outcome: "" | "built" | "stopped" | "refused" | "failed";
  /** When refused: why. */
  findings: Finding[];
  /** When failed: why; when built: why the record does not know of it. */
  mistakes: Mistake[];
  /** Of the results in the folder; empty: none. */
  revision: string;
  /** Those results are of the job as it is now. */
  current: boolean;
}

export interface BuiltPlan {
  plan: Plan;
  /** It is of the job as it is now. */
  current: boolean;
  /** Everything that was written, by name. */
  files: OutFile[];
}

export interface Again {
  /** Without file and digest, like those of a sketch. */
  plates: PlanPlate[];
}

export interface Beginnings {
  /** Three starting sets. */
  sets: Set[];
  /** Answers to: what art?. */
  art: string[];
  /** Answers to: which printer?. */
  printers: string[];
}

export interface WeighedRequest {
  cups: WeighedCup[];
}

export interface PlanWeighed {
  /** What has to be known, in sentences. */
  words: string[];
  /** Each cup: as weighed, or as it is to be weighed now; those mixed beyond the plan come last. */
  cups: PlanJudged[];
  /** Further cups that are needed. */
  extra: PlanJudged[];
  /** How high the rubber comes, without the further cups. */
  trays: PlanReached[];
  /** Part A of all cups, weighed and to come. */
  total_a_g: number;
  /** Part B likewise. */
  total_b_g: number;
  /** To the level of every tray, over the density. */
  missing_g: Range;
  /** Finds no room in the frames. */
  over_g: number;
}

export interface CouponSet {
  /** Foot, size, detail, chocolate. */
  kinds: CouponKind[];
  /** To print. */
  plates: CouponFile[];
  /** Of the cure test. */
  pads: CouponPad[];
  /** Name of the PDF that says what to measure. */
  sheet: string;
}

export interface CouponRequest {
  kind: "foot" | "size" | "detail" | "chocolate";
  /** In mm, each place by its name. */
  readings_mm: Record<string, number[]>;
}

export interface CouponAnswer {
  learned: Learned;
  /** What would become of the job with them. */
  takes: Measured[];
}

export interface BeginRequest {
  /** A set's name; empty: from the answers. */
  set: string;
  /** For whom or what: 1 to 80 characters; empty with a set: the set's own. */
  title: string;
  /** The day on which they must be ready. */
  needed: string;
  /** One of Beginnings.art; empty with a set. */
  art: string;
  /** One of Beginnings.printers. */
  printer: string;
  /** How many boxes or guests: 1 to 2000. */
  boxes: number;
  /** Of the guests, may be empty. */
  names: string[];
}

export interface PairRequest {
  code: string;
}

export interface Paired {
  paired: boolean;
}

export interface CalendarNow {
  /** Of the job's text. */
  version: string;
  /** By the clock on the wall: 2026-12-05T18:30. */
  now: string;
  /** The day of it. */
  today: string;
  calendar: PlanCalendar;
  /** About the calendar at this moment. */
  findings: Finding[];
}

export interface Recorded extends Entries {
  /** Each standing mould with what it has been through. */
  mould_states: MouldState[];
  /** Stock that is left. */
  at_home: AtHome[];
  /** The newest last. */
  backups: Backup[];
  /** Code of the job as it is now. */
  now: string;
  /** Pieces whose heights a revision changed, by its id: there is a map of the difference. */
  changed: Record<string, string[]>;
  /** Revisions with more pieces than are compared. */
  cut: string[];
  /** How many pieces of a revision are compared. */
  heights_kept: number;
  /** Parts of the present revision that were printed and can be used. */
  good: string[];
  yields: Yields;
}

export interface Entries {
  /** Struck out. */
  withdrawals: Withdrawal[];
  /** The clock was said to be right. */
  clocks: Clock[];
  photos: Photo[];
  revisions: Revision[];
  /** Of revisions. */
  files: File[];
  /** Of pieces whose heights were new. */
  heights: Heights[];
  /** Of revisions. */
  plates: Plate[];
  /** Parts as they lie on them. */
  laids: Laid[];
  prints: Print[];
  /** Of prints. */
  parts: Part[];
  cure_tests: CureTest[];
  pours: Pour[];
  /** Of pours, or of anything else. */
  weighings: Weighing[];
  moulds: Mould[];
  mould_uses: MouldUse[];
  /** What came into the house. */
  stocks: Stock[];
  /** And what was taken of it. */
  stock_moves: StockMove[];
  /** Of the kitchen. */
  batches: Batch[];
  /** What went into them. */
  batch_lots: BatchLot[];
  /** What was lost of them. */
  losses: Loss[];
  boxes: Box[];
  /** Of boxes. */
  contents: Content[];
  /** Of the person's own, for the checklist before a print. */
  points: Point[];
  /** Points that once cost a print. */
  point_costs: PointCost[];
  /** Plates released for printing. */
  releases: Release[];
  timers: Timer[];
  timer_ends: TimerEnd[];
  /** Of the calendar, begun or done. */
  tasks: Task[];
  /** How long steps of the work took. */
  tooks: Took[];
}

export interface JobChoices {
  /** What the job is called. */
  title: string;
  /** The day on which the gifts must be ready. */
  needed: string;
  /** How many boxes or guests. */
  boxes: number;
  /** Real times in the record correct the plan, once there are three of a kind; plan.json says which under learned. A cure is only ever lengthened. */
  learn: boolean;
  /** Distance of the samples of every relief; without it half the printer's pixel. */
  pitch_mm?: number;
  /** The resin printer. */
  printer: Printer;
  /** The printing resin and its exposure. */
  resin: Resin;
  /** The mould rubber, as its data sheet has it. */
  silicone: Silicone;
  /** The chocolates, each under a name of yours. */
  chocolate: Record<string, Chocolate>;
  /** The fillings, each under a name of yours. */
  filling?: Record<string, Filling>;
  /** Ingredients of your own, or in place of the program's; what is missing to 100 % is ash and what is not known. */
  ingredient?: Record<string, Own>;
  /** Rules of thumb by which art and walls are judged before anything is printed. */
  forecast: ForecastChoices;
  /** How pieces are shelled. */
  shell: CavityChoices;
  /** Losses and habits of the kitchen. */
  kitchen: KitchenChoices;
  /** Mould rules. */
  master: MasterChoices;
  /** How parts are put on build plates. */
  plate: PlateChoices;
  /** How the rubber is mixed and poured. */
  pour: PourChoices;
  /** How the cured mould is handled. */
  mould: MouldChoices;
  /** Which combinations the cure test tries. */
  cure_test: TestChoices;
  /** What stands on the bench, and the room. */
  bench: Bench;
  /** The sizes in which the rubber is sold. */
  kit?: Kit[];
  /** Your free hours, and how long things take. */
  calendar: CalendarChoices;
  /** What is used up beside the materials. */
  shopping: ShoppingChoices;
  /** What things cost where you buy them. */
  price?: Price[];
  /** What was measured on printed coupons; it takes the place of assumed values. */
  coupon?: Reading[];
  /** The box that each guest gets; with it the counts of the pieces may be left out. */
  box?: Format;
  /** What the boxes' labels say, and the sheets they are printed on. */
  label?: Label;
  /** The list for personalised pieces. */
  names?: Names;
  /** The designs, in the order of the sheets. */
  piece: PieceChoices[];
}

export interface Trace {
  asked: string;
  /** What was asked about. */
  what: "box" | "batch" | "lot" | "receiver" | "nothing";
  /** Boxes that hold any of it. */
  boxes: TraceBox[];
  /** Batches on the way. */
  batches: TraceBatch[];
  /** Bought lots in them. */
  lots: TraceLot[];
}

export interface Verdict {
  kind: "current" | "older" | "other job" | "damaged" | "misread" | "unknown";
  /** What it is, in a sentence. */
  words: string;
  /** What to do. */
  do?: string;
  /** Of the revision that it belongs to. */
  code?: string;
  /** Older: what has changed since. */
  changes: string[];
  /** Misread: what it may have been, the likeliest first. */
  perhaps: string[];
  /** Older: parts of it that are the same in the present revision, but for the engraved code. */
  same: string[];
  /** Older: parts of it that have changed since, where that is known. */
  other: string[];
}

export interface Mistake {
  /** Name of the file it is in. */
  file?: string;
  /** From 1. */
  line?: number;
  /** From 1, in characters. */
  column?: number;
  /** Key in the job file, such as piece[2].art[1].depth_mm. */
  key?: string;
  /** What is wrong. */
  found: string;
  /** What would be right. */
  allowed?: string;
  /** What to do about it. */
  do?: string;
}

export interface Rule {
  /** Its path; [] stands for an item of a list, * for a name of the person's: piece[].art[].depth_mm, filling.*.density_g_ml. */
  key: string;
  /** What its value is: whole a whole number, yes true or false, range a number or low-likely-high, texts a list of text, sizes a list of numbers, rows a list of tables with keys of the person's, numbers a table of names with a number each, readings one with a list of numbers each. */
  kind: "text" | "number" | "whole" | "yes" | "date" | "range" | "texts" | "sizes" | "rows" | "numbers" | "readings";
  /** Mm, m, g, ml, deg, s, min, h, C, g/ml, g/min, N/mm, MPa, Pa, hPa, Pa s, %, or empty. */
  unit: string;
  /** Smallest value, or null. */
  min: number | null;
  /** Largest value, or null. */
  max: number | null;
  /** The allowed words; empty: any. */
  enum: string[];
  /** Taken when the key is missing, as the job file writes it; empty: none. */
  default: string;
  /** May be missing without a default. */
  optional: boolean;
  /** Taken from the table's class when the key is missing. */
  class: boolean;
  /** One line that explains it. */
  doc: string;
}

export interface Row {
  /** What tells the piece apart. */
  label: string;
  /** Every column. */
  vars: Record<string, string>;
}

export interface Assumed {
  /** Key in the job file. */
  key: string;
  /** The value that was taken. */
  value: string;
  /** Where it comes from. */
  source: string;
}

export interface Remark extends Finding {
  stage: "pieces" | "master" | "plates" | "pour" | "kitchen" | "box" | "calendar" | "shopping";
  /** The key of the job file to change; empty when it is about no single one. */
  key: string;
  /** The name that it is about; empty: all. */
  row: string;
}

export interface Clash {
  /** Mine: what the page would do to their text. */
  edits: Edit[];
  /** Theirs: keys whose values the text editor changed, up to 50. */
  keys: string[];
}

export interface Stage {
  stage: "pieces" | "master" | "plates" | "pour" | "kitchen" | "box" | "calendar" | "shopping" | "record";
  /** Such as 4 designs, 29 pieces; empty while it is not known. */
  words: string;
  /** Worst of its findings, or empty. */
  worst: "" | "note" | "care" | "stop";
}

export interface Home {
  /** What to type on the tablet. */
  addresses: string[];
  /** To type there after that; only shown on this machine, else empty. */
  code: string;
  /** Sessions paired so far. */
  tablets: number;
}

export interface Edit {
  /** Set a key to value; unset: take its line out; copy, remove or move item key (piece[2]); add value as a new item behind the last of list key (piece, piece[2].art) or as a table (filling.NAME). */
  do: "set" | "unset" | "copy" | "remove" | "move" | "add";
  /** Piece[2].draft_deg, piece[2], piece, piece[2].art. */
  key: string;
  /** Text, number, true or false, day (2027-03-14), {low, likely, high}, list of text; for add an object of keys, with art as a list of such objects. */
  value?: unknown;
  /** Move: the place it shall have, from 1. */
  to?: number;
}

export interface JobFile {
  name: string;
  /** By its ending. */
  kind: "vector" | "picture" | "mesh" | "font" | "names";
  bytes: number;
  /** The job names it. */
  used: boolean;
  /** After an upload: what is in it, such as 1200 x 800 pixels; else empty. */
  words: string;
}

export interface PlanPiece extends PlanForecast {
  /** The design's name, with its row for a named piece. */
  name: string;
  /** Chocolates wanted. */
  count: number;
  /** Places on the master. */
  cavities: number;
  /** Times the mould is filled for them. */
  rounds: number;
  /** Chocolate of the shell. */
  chocolate: string;
  /** Filling; none for a solid piece. */
  filling?: string;
  /** Size at the back. */
  width_mm: number;
  /** Size at the back. */
  depth_mm: number;
  /** Highest point. */
  height_mm: number;
  /** Outside shape. */
  volume_mm3: number;
  /** Mass if it were all chocolate. */
  solid_mass_g: Range;
  /** Mass as filled. */
  mass_g: Range;
  /** Chocolate of the shell. */
  shell_volume_mm3: number;
  /** Room for filling. */
  filling_volume_mm3: number;
  /** Chocolate of the cap. */
  cap_volume_mm3: number;
  /** Thinnest shell found; 0 for a solid piece. */
  thinnest_shell_mm: number;
  /** Where that is: x, y from the middle. */
  thinnest_shell_at_mm?: number[];
  /** Smallest lean from vertical of a wall. */
  min_draft_deg: number;
  /** What the top views of imported meshes fill. */
  undercut_volume_mm3: number;
  /** Each imported mesh that has hollows under it. */
  undercuts: PlanUndercut[];
}

export interface Range {
  low: number;
  likely: number;
  high: number;
}

export interface Finding {
  severity: "stop" | "care" | "note";
  where: string;
  what: string;
  do: string;
  /** Where on the piece; missing for what has no place. */
  at?: Place;
  /** The change that mends it; missing where none is mechanical. */
  remedy?: Remedy;
}

export interface Grid {
  w: number;
  h: number;
  pitch_mm: number;
  x0_mm: number;
  y0_mm: number;
  /** Value of the number 0. */
  low_mm: number;
  /** Value of one step. */
  step_mm: number;
}

export interface Block {
  name: string;
  type: "float32" | "uint16" | "uint32";
  /** Offset in bytes from the start of the answer. */
  at: number;
  /** Numbers, not bytes. */
  count: number;
}

export interface PlanForecast {
  /** Each connected piece of the art and the holes in it. */
  marks: PlanMark[];
  /** Smaller marks that are not listed. */
  marks_more: number;
  /** Narrowest raised stroke at half the art's depth; 0 without art. */
  narrowest_ridge_mm: number;
  /** Narrowest gap, hole or sunk stroke there; 0 without. */
  narrowest_groove_mm: number;
  /** Narrowest strokes and gaps at five depths of the art: a tenth, a quarter, half, three quarters and nine tenths. */
  widths: PlanWidth[];
  /** Height of the tallest letter with which all letters and their holes would survive; of all marks where the art is no text; 0 without art. */
  smallest_text_mm: number;
  /** Hollows where poured rubber or chocolate may shut air in, largest first. */
  air_pockets: PlanPocket[];
  /** Share of the wall area that leans less than forecast.least_draft_deg. */
  below_draft_share: number;
  /** What the surface will look like. */
  finish: PlanFinish;
  /** Size of the chocolate against the drawn one, from the spread of both shrinkages. */
  size_share: Range;
}

export interface PlanUndercut {
  /** File. */
  mesh: string;
  /** Which art of the piece it is, from 1; 0 for the body. */
  art: number;
  /** How far the hollow reaches in under the mesh. */
  depth_mm: number;
  /** Of the hollow at its highest. */
  height_mm: number;
  /** Of all hollows of this mesh, filled. */
  volume_mm3: number;
  /** Its innermost place, from the middle of the piece. */
  x_mm: number;
  /** Its innermost place. */
  y_mm: number;
  /** Of the rubber around it, as a share of length: its depth over half the piece's width (common practice, no source). */
  stretch: number;
  /** Lowest elongation at break divided by mould.stretch_safety. */
  stretch_allowed: number;
  /** The rubber would let go of it. */
  lets_go: boolean;
}

export interface PlanSetting {
  /** The design. */
  name: string;
  /** Lean of its walls from level; all but a twentieth of the surface is less steep. */
  wall_deg: number;
  /** Shell that stays on such walls after draining; none for a solid piece. */
  shell_stays_mm?: Range | null;
  /** How long the mould hangs upside down for it. */
  drain_s?: Range | null;
  /** Likely number of coats for the wanted shell. */
  coats?: number;
  /** Chilling until the shell bears filling. */
  shell_set_min?: Range | null;
  /** Chilling until the capped piece can be released. */
  cap_set_min?: Range | null;
  /** Chilling until a solid piece can be released. */
  solid_set_min?: Range | null;
  /** What would stay if the chocolate had no yield value, until it sets: the least. */
  without_yield_mm?: Range | null;
  /** Temperatures while it chills; not in a sketch. */
  course?: PlanCourse[];
  /** The place that sets last: x, y from the middle, height above the back. */
  last_to_set_mm?: number[];
  /** Warmest filling that leaves the shell whole. */
  filling_max_c?: number;
  /** What a difference does to the likely time. */
  changes?: PlanChange[];
}

export interface ChillCut {
  stage: "shell" | "cap" | "solid";
  w: number;
  h: number;
  cell_mm: number;
  /** Middle of the first cube. */
  x0_mm: number;
  /** Of the cut. */
  y_mm: number;
  air_c: number;
  /** Of the air where there is no matter. */
  temp_c: number[];
  /** When the chocolate in the cube was set; -1: none. */
  set_min: number[];
  /** A letter for each cube: . air, r rubber, s shell, c cap, f filling. */
  matter: string;
}

export interface Plan extends PlanPrinting {
  /** Title of the job. */
  title: string;
  /** The day on which the gifts must be ready. */
  needed: string;
  /** Short code of these inputs: Crockford base 32, the last symbol is the check symbol. */
  revision: string;
  /** SHA-256 of the inputs, of which the revision is the short form. */
  digest: string;
  /** Program version that made the plan. */
  version: string;
  /** Every value that was not entered, with its source. */
  assumed: Assumed[];
  /** What coupons gave, and whether it took the place of an assumed value. */
  measured: Measured[];
  /** Remarks about the work, in the order of the stages. */
  findings: Finding[];
  /** Times of which the record has real ones, and whether they have corrected the plan; learn = false in the job file leaves all as they are reckoned. */
  learned?: PlanLearned[];
  /** Each different chocolate; a row of the name list is one. */
  pieces: PlanPiece[];
  /** Each tray. */
  masters: PlanMaster[];
  /** Each build plate to print. */
  plates: PlanPlate[];
  /** The parts that were asked for; then the plan ends with their plates. */
  only?: number[];
  /** Rubber to mix for all trays. */
  silicone: PlanSilicone;
  /** The cure test, the cups, the times, the kits. */
  pour: PlanRubber;
  /** The cured mould. */
  mould: PlanMould;
  /** All chocolates together. */
  chocolate: PlanChocolate;
  /** Each chocolate. */
  chocolates: PlanKind[];
  /** All fillings together, with losses. */
  filling_mass_g: number;
  /** Each filling. */
  fillings: PlanFilling[];
  /** Tempering, chilling, keeping, and the work at the bench. */
  kitchen: PlanKitchen;
  /** The box, its cells, and how well the pieces could be dealt. */
  box: PlanBoxing;
  /** Each box: whose, what lies in it, its label. */
  boxes: PlanBox[];
  /** The work over the days, counted back from the day needed. */
  calendar: PlanCalendar;
  /** What to buy and what it costs. */
  shopping: PlanShopping;
}

export interface Item {
  /** What [[master.place]] calls it. */
  name: string;
  /** From 1. */
  design: number;
  /** From 1; 0 without names. */
  row: number;
  height_mm: number;
  /** Outline with its fillet, around its centre, in mm. */
  rings: (([number, number])[])[];
  /** Changes when its surface does: GET /api/item then gives a new one. */
  shape: string;
}

export interface OneTray {
  number: number;
  /** Inside of the frame, left to right. */
  width_mm: number;
  /** Inside of the frame, front to back. */
  depth_mm: number;
  /** Thickness of the base, below z = 0. */
  base_mm: number;
  /** Highest point. */
  high_mm: number;
  /** Level of the rubber. */
  rubber_mm: number;
  /** Top of the frame, from the underside of the base. */
  frame_mm: number;
  /** Thickness of the frame's panels. */
  panel_mm: number;
  /** The frame is printed; else boards of one's own. */
  printed: boolean;
  placed: Placed[];
  tiles: Tile[];
  /** The narrowest gap of each kind. */
  measures: Measure[];
}

export interface OnePlate {
  /** From 1, as in plan.plates. */
  number: number;
  /** Of the whole plate. */
  width_mm: number;
  /** Of the whole plate. */
  depth_mm: number;
  /** Kept free along each edge. */
  margin_mm: number;
  parts: PlatePart[];
}

export interface OutFile {
  /** With forward slashes. */
  name: string;
  bytes: number;
}

export interface PlanPlate extends PlanExposure {
  /** 3MF, relative to the output folder. */
  file: string;
  /** Of that file. */
  sha256: string;
  /** The same as STL, when asked for. */
  stl?: string;
  /** Its layer images, when asked for. */
  layers_file?: string;
  /** Names of the parts on it. */
  parts: string[];
  /** Their numbers, from 1: build --only prints them again. */
  part_numbers: number[];
  /** Layers of the print. */
  layers: number;
  /** Time of the print. */
  print_time_min: Range;
  /** Resin, losses included. */
  resin_ml: number;
  /** Tallest part. */
  height_mm: number;
  /** Share of the plate covered by the parts' outlines. */
  used_share: number;
}

export interface Set {
  name: string;
  title: string;
  /** What is in it, in a sentence. */
  words: string;
}

export interface WeighedCup {
  /** Its number. */
  cup: number;
  part_a_g: number;
  part_b_g: number;
  /** Where a cup beyond the plan goes; 0 for those of the plan. */
  tray?: number;
}

export interface PlanJudged {
  /** Its number. */
  cup: number;
  /** Of a cup that was mixed beyond the plan; else 0. */
  tray: number;
  verdict: "not weighed" | "one part is weighed" | "the ratio is right" | "too little A" | "too little B";
  mass_g: number;
  /** As weighed; what to weigh where it is not. */
  part_a_g: number;
  /** Likewise. */
  part_b_g: number;
  /** A : B against the data sheet; above 0 there is too little B. */
  ratio_off_share: number;
  /** By what share the scale's steps may be wrong about that. */
  doubt_share: number;
  /** Brings the ratio right, before it is stirred. */
  add_a_g: number;
  /** Likewise. */
  add_b_g: number;
  /** After mixing began: the latest moment to begin to pour this mass. */
  last_pour_min: number;
  /** The trays that it goes into. */
  fills: PlanFill[];
  /** The same in a sentence; empty: as planned. */
  words: string;
}

export interface PlanReached {
  /** Tray number. */
  tray: number;
  /** Over its base. */
  level_mm: number;
  /** That was planned. */
  want_mm: number;
  /** What is missing. */
  short_g: number;
}

export interface CouponKind {
  kind: "foot" | "size" | "detail" | "chocolate";
  spots: Spot[];
  /** To fill the chocolate coupon's cup; else 0. */
  rubber_g: number;
  /** From above. */
  drawings: CouponShape[];
}

export interface CouponFile {
  /** Name to ask for under /api/coupons. */
  file: string;
  parts: string[];
  /** What to fill the vat with. */
  resin: string;
  /** Likely, with the exposure of the job's resin. */
  time_min: number;
  resin_ml: number;
}

export interface CouponPad {
  /** Stands on it in relief. */
  code: string;
  resin: string;
  treatment: string;
  coating: string;
}

export interface Learned {
  kind: string;
  date: string;
  values: Found[];
  /** Each place's readings against the values. */
  rows: Residual[];
  /** One that says stop: the readings contradict themselves, and there are no values. */
  findings: Finding[];
}

export interface Measured extends Found {
  /** Foot, size, detail or chocolate. */
  coupon: string;
  /** When it was measured. */
  date: string;
  /** It took the place of an assumed value. */
  used: boolean;
  /** Why it did not. */
  why?: string;
}

export interface PlanCalendar {
  /** The first task begins no later; empty: no calendar can be made, see findings. */
  start_by: string;
  /** The last task ends. */
  ready_by: string;
  /** When the boxes must be ready. */
  needed: string;
  /** The latest start if everything goes quickly and nothing fails; empty: not computed. */
  start_by_if_quick: string;
  /** The latest start if hands too take their longest; empty: not computed, or something then fits into no free hours. */
  start_by_if_slow: string;
  /** From the first task to the moment needed. */
  span_h: number;
  /** Proved: no plan with these durations and hours spans less. */
  bound_h: number;
  /** Share by which the span is above that bound. */
  gap: number;
  /** Of your own work, margins included. */
  hands_h: number;
  /** By how much the day needed is missed; 0: it is met. */
  late_h: number;
  /** Planned anew from the present moment, since time is short or work has begun. */
  from_now: boolean;
  /** The margins for what may fail had to be given up. */
  no_margin: boolean;
  /** Each task, in order of beginning. */
  tasks: PlanTask[];
  /** What would gain time, the most first. */
  changes: PlanGain[];
  /** Your free hours while it lasts. */
  free_hours: PlanFreeSpan[];
}

export interface MouldState extends Mould {
  /** How often it was filled. */
  casts: number;
  put_away: boolean;
}

export interface AtHome extends Stock {
  /** In its unit. */
  left: number;
  /** What took of it, the latest last: plate 2, 120 ml. */
  by: string[];
  /** A batch of one's own kitchen, not bought. */
  made: boolean;
}

export interface Backup {
  name: string;
  at: string;
  size: number;
}

export interface Yields {
  /** Chocolates, by the piece. */
  by_design: Yield[];
  /** Printed parts, by the plate. */
  by_plate: Yield[];
  /** Printed parts, by where they lay on the plate. */
  by_place: Yield[];
}

export interface Withdrawal extends Head {
  /** Id of what is struck out. */
  entry: string;
  /** What was wrong with it. */
  why?: string;
}

export interface Clock extends Head {
  /** What the last entry's clock had said. */
  was_at: string;
}

export interface Photo extends Head {
  sha256: string;
  /** Its name in the folder of photos. */
  file: string;
  bytes: number;
  width_px: number;
  height_px: number;
  /** What it shows. */
  words?: string;
}

export interface Revision extends Head {
  /** When it was built. */
  at: string;
  /** Short code, with its check symbol. */
  code: string;
  /** SHA-256 of the inputs. */
  digest: string;
  /** Version that built it. */
  program: string;
  title: string;
  /** The job file. */
  job_text?: string;
  /** Id of the revision before it. */
  before?: string;
  /** What changed against that one, a line each. */
  changes?: string;
  /** Of its name list, a line each. */
  names?: string;
  /** SHA-256 of the inputs that shape what is printed. */
  shape?: string;
}

export interface File extends Head {
  revision: string;
  /** It was made of it, or made it. */
  role: "input" | "made";
  name: string;
  sha256: string;
  bytes?: number;
  /** What it is, so far as changes are told by it, a line each. */
  facts?: string;
}

export interface Heights extends Head {
  /** The first that had these heights. */
  revision: string;
  /** As the plan calls it. */
  piece: string;
  /** Of what follows. */
  sha256: string;
  /** Distance of its samples. */
  pitch_mm: number;
  /** Height of one step of grey. */
  step_mm: number;
  /** Of the first sample, from the piece's middle. */
  x0_mm: number;
  y0_mm: number;
  /** 16-bit grey, in base 64; 0 is outside the piece. */
  png?: string;
}

export interface Plate extends Head {
  revision: string;
  /** From 1. */
  number: number;
  /** How long the plan said, uncorrected. */
  planned_min?: number;
  resin_ml?: number;
}

export interface Laid extends Head {
  revision: string;
  /** Its number. */
  plate: number;
  /** Of the part, as the plan names it. */
  name: string;
  /** Where it lies on the plate: front left, middle, back right. */
  place: string;
  /** SHA-256 of what is printed of it, the engraved code apart. */
  shape: string;
}

export interface Print extends Head {
  /** When it was begun. */
  at: string;
  /** Number of the plate, from 1; missing: some parts of several. */
  plate?: number;
  /** Id of the revision, where the record has it. */
  revision?: string;
  /** Its short code. */
  code?: string;
  /** How long it took; missing: not known. */
  minutes?: number;
  /** How long the plan said, uncorrected. */
  planned_min?: number;
  /** Resin that it took. */
  resin_ml?: number;
  /** What it was printed with. */
  resin?: string;
  note?: string;
}

export interface Part extends Head {
  print: string;
  /** As the plan names it on its plate. */
  name: string;
  /** Flawed: usable, with a flaw; failed: not usable. */
  outcome: "good" | "flawed" | "failed";
  /** Where it is flawed, or failed. */
  place?: string;
  why?: string;
  photo?: string;
}

export interface CureTest extends Head {
  /** When it was judged. */
  day: string;
  resin: string;
  /** Washing and post-cure, with times and temperatures. */
  treatment: string;
  /** None among them. */
  coating: string;
  silicone: string;
  outcome: "liquid" | "gummy" | "tacky skin" | "clean";
  note?: string;
  photo?: string;
}

export interface Pour extends Head {
  /** When mixing began. */
  at: string;
  /** Number of the tray, from 1. */
  tray: number;
  /** Of the revision. */
  code?: string;
  /** The rubber. */
  silicone: string;
  /** Of the rubber. */
  lot?: string;
  /** Of the room; missing: not measured. */
  room_c?: number;
  note?: string;
}

export interface Weighing extends Head {
  at: string;
  pour?: string;
  /** Number of the cup, from 1. */
  cup?: number;
  /** Part A, part B, or what else was weighed. */
  what: string;
  mass_g: number;
  /** What the plan asked for. */
  planned_g?: number;
  /** The rubber, of its parts A and B. */
  silicone?: string;
}

export interface Mould extends Head {
  /** When it was demoulded. */
  at: string;
  name: string;
  /** Of the master, from 1. */
  tray?: number;
  /** Of the revision, as it stands on the mould. */
  code?: string;
  pour?: string;
  note?: string;
}

export interface MouldUse extends Head {
  at: string;
  mould: string;
  what: "cast" | "care" | "wear" | "put away";
  /** How often it was filled. */
  casts?: number;
  /** Where it is worn. */
  place?: string;
  note?: string;
  photo?: string;
}

export interface Stock extends Head {
  /** When. */
  at: string;
  /** As the shopping list calls it. */
  what: string;
  amount: number;
  unit: "g" | "ml" | "piece" | "pair";
  /** As its package has it. */
  lot?: string;
  /** The day on which it was opened. */
  opened?: string;
  keeps_until?: string;
  note?: string;
}

export interface StockMove extends Head {
  at: string;
  stock: string;
  /** In its unit; less than 0: taken. */
  amount: number;
  /** It was opened on that day. */
  opened?: string;
  why?: string;
  /** Id of the print, pour or batch that took it. */
  about?: string;
}

export interface Batch extends Head {
  at: string;
  /** The batch's own, as it is written on it. */
  lot: string;
  /** The filling, or the piece. */
  what: string;
  /** Good ones, or mass. */
  made: number;
  unit: "g" | "piece";
  mould?: string;
  note?: string;
  /** Of a filling. */
  keeps_until?: string;
}

export interface BatchLot extends Head {
  batch: string;
  /** The chocolate or ingredient. */
  what: string;
  lot: string;
  mass_g?: number;
  /** What is at home of it, which is drawn down. */
  stock?: string;
}

export interface Loss extends Head {
  batch: string;
  what: string;
  amount: number;
  unit: "g" | "piece";
  why?: string;
}

export interface Box extends Head {
  at: string;
  /** As its label has it. */
  lot: string;
  receiver?: string;
  note?: string;
}

export interface Content extends Head {
  box: string;
  batch: string;
  /** The piece. */
  what: string;
  count: number;
}

export interface Point extends Head {
  words: string;
}

export interface PointCost extends Head {
  at: string;
  /** The point. */
  words: string;
  /** What happened. */
  why?: string;
  /** The print that it cost. */
  print?: string;
}

export interface Release extends Head {
  at: string;
  /** Number of the plate, from 1. */
  plate: number;
  /** Of the revision. */
  code?: string;
  /** Of the plate's file. */
  sha256?: string;
  /** The points that were ticked, a line each. */
  points?: string;
}

export interface Timer extends Head {
  /** When it was started. */
  at: string;
  name: string;
  minutes: number;
  pour?: string;
}

export interface TimerEnd extends Head {
  at: string;
  timer: string;
  /** Of a cup: from the first stir until it was poured, as the plan had it. */
  planned_min?: number;
}

export interface Task extends Head {
  /** Its name in the calendar. */
  name: string;
  /** When it was begun. */
  from_at: string;
  /** When it was done; missing: it is being done. */
  to_at?: string;
  /** It must be done again. */
  failed?: boolean;
}

export interface Took extends Head {
  /** When it was done. */
  at: string;
  /** What was done. */
  step: "wash" | "assemble" | "coat" | "pour" | "cure" | "demould" | "clean" | "filling" | "temper" | "shells" | "fill" | "cap" | "release" | "chill shells" | "chill caps" | "chill" | "box";
  minutes: number;
  /** Of how many plates, parts, trays, moulds, fillings, pieces or boxes; missing: of one. */
  count?: number;
  /** How long the plan said, uncorrected; of pours, cures and chilling. */
  planned_min?: number;
  /** Id of the pour or batch. */
  about?: string;
  note?: string;
}

export interface Printer {
  /** The kind of printer whose values are taken where yours are missing. */
  class: string;
  /** Build plate, left to right. */
  plate_width_mm: number;
  /** Build plate, front to back. */
  plate_depth_mm: number;
  /** Largest height of a print. */
  plate_height_mm: number;
  /** Side of one pixel of the mask. */
  pixel_mm: number;
  /** Thickness of a layer. */
  layer_mm: number;
  /** Kept free along each edge of the plate. */
  margin_mm: number;
  /** Lift, return and rest between two layers. */
  lift_s: Range;
}

export interface Resin {
  /** What stands on the bottle; cure tests are told apart by it. */
  name?: string;
  /** The kind of resin whose values are taken where yours are missing. */
  class: string;
  /** Density of the cured resin. */
  density_g_ml: Range;
  /** Linear shrinkage of a cured part, as a fraction: 0.005 is 0.5 %. */
  shrinkage: Range;
  /** Exposure of a layer. */
  exposure_s: number;
  /** Exposure of a bottom layer. */
  bottom_exposure_s: number;
  /** Number of bottom layers. */
  bottom_layers: number;
  /** How far the first layers bulge on each side (elephant's foot). */
  foot_mm: Range;
  /** Height over which that bulge fades. */
  foot_height_mm: number;
  /** How far light bleeds past the mask: an outline comes out larger by this on each side; below 0 smaller. */
  bleed_mm: Range;
  /** By how much longer a print comes out along the plate's width than along its depth, as a share of length: 0.001 is 0.1 %; below 0 shorter. */
  longer_x: Range;
  /** How much further light bleeds past the mask along the plate's width than along its depth, on each side; below 0 less. */
  bleed_more_x_mm: Range;
  /** Resin lost on the plate, in the vat and in washing, as a share of the parts. */
  loss_share: number;
}

export interface Silicone {
  /** What stands on the tin; cure tests are told apart by it. */
  name?: string;
  /** The kind of rubber whose values are taken where your data sheet's are missing. */
  class: string;
  /** Addition (platinum) or condensation (tin) cure; only addition cure belongs near food. */
  cure: "addition" | "condensation";
  /** Parts of A. */
  ratio_a: number;
  /** Parts of B to that. */
  ratio_b: number;
  /** Whether the ratio is meant by mass or by volume. */
  ratio_by: "mass" | "volume";
  /** Density of the mixed rubber. */
  density_g_ml: Range;
  /** Density of part A. */
  density_a_g_ml: number;
  /** Density of part B. */
  density_b_g_ml: number;
  /** Viscosity just after mixing. */
  viscosity_pa_s: Range;
  /** Working time at the sheet's temperature. */
  working_time_min: Range;
  /** Time to demoulding at the sheet's temperature. */
  cure_h: Range;
  /** Temperature for which the data sheet gives its times. */
  sheet_c: number;
  /** A second temperature for which the data sheet gives times; without one, times are taken to halve for every 10 °C. */
  second_sheet_c?: number;
  /** Working time at second_sheet_c. */
  second_working_time_min?: number;
  /** Time to demoulding at second_sheet_c. */
  second_cure_h?: number;
  /** Hardness, Shore A. */
  shore_a: Range;
  /** Elongation at break. */
  elongation_pct: Range;
  /** Tear strength, die B. */
  tear_n_mm: Range;
  /** Tensile strength. */
  tensile_mpa: Range;
  /** Linear shrinkage of the cured rubber, as a fraction: 0.001 is 0.1 %. */
  shrinkage: Range;
  /** Post-cure that the data sheet asks for before food. */
  post_cure_h: number;
  /** Temperature of that post-cure. */
  post_cure_c: number;
  /** The declaration of compliance as your data sheet words it; empty means none is known. */
  food_contact?: string;
}

export interface Chocolate {
  /** Dark, milk or white: the kind whose values are taken where yours are missing. */
  kind: string;
  /** Density when set. */
  density_g_ml: Range;
  /** Density when molten. */
  liquid_density_g_ml: Range;
  /** Fat, by mass. */
  fat_pct: Range;
  /** Casson yield value at 40 °C. */
  yield_pa: Range;
  /** Casson plastic viscosity at 40 °C. */
  viscosity_pa_s: Range;
  /** What your package declares. */
  allergens?: string[];
  /** What it is made of, the most first, word for word as your package has it: labels and allergies rest on it. */
  ingredients: string[];
}

export interface Filling {
  /** Density; common practice, no source. */
  density_g_ml: Range;
  /** What is in it that someone may have to avoid, beside what its ingredients bring. */
  allergens?: string[];
  /** A recipe that comes with the program; without it and without ingredients its keeping is not estimated. */
  recipe?: string;
  /** Your own recipe: g of each ingredient, by its name in the program's list or under [ingredient]; any amount, it is scaled. */
  ingredients_g?: Record<string, number>;
  /** The same in per cent, which must add up to 100. */
  ingredients_pct?: Record<string, number>;
  /** Water of the finished filling, where cooking drives some off. */
  water_pct?: number;
}

export interface Own {
  /** Water. */
  water_pct?: number;
  /** Sugar as in the sugar bowl. */
  sucrose_pct?: number;
  /** Glucose (dextrose). */
  glucose_pct?: number;
  /** Fructose. */
  fructose_pct?: number;
  /** Milk sugar. */
  lactose_pct?: number;
  /** Solids of glucose syrup. */
  syrup_solids_pct?: number;
  /** Sorbitol. */
  sorbitol_pct?: number;
  /** Fat. */
  fat_pct?: number;
  /** Whether that fat is oil at room temperature, as that of nuts. */
  liquid_fat?: boolean;
  /** Protein. */
  protein_pct?: number;
  /** Fibre. */
  fibre_pct?: number;
  /** Other carbohydrate. */
  starch_pct?: number;
  /** Salt. */
  salt_pct?: number;
  /** Acids. */
  acid_pct?: number;
  /** Alcohol, by mass. */
  alcohol_pct?: number;
  /** What the package declares. */
  allergens?: string[];
}

export interface ForecastChoices {
  /** How far light spreads in the resin beyond its pixel, as the standard deviation of a blur (common practice, no source). */
  light_spread_mm: number;
  /** Share of a full exposure from which resin cures; below a half strokes come out wider (common practice, no source). */
  light_share: number;
  /** Thickness of a sealer on the print; 0 without one. */
  coat_mm: number;
  /** How chocolate is brought into the art: only poured, poured and tapped, or a first coat brushed in. */
  fill: "pour" | "tap" | "brush";
  /** What tapping leaves of the chocolate's yield value (common practice, no source). */
  tap_yield_share: number;
  /** Pressure of a brush (common practice, no source). */
  brush_pa: number;
  /** Narrowest raised stroke that leaves the mould whole (common practice: 0.5-0.8 mm). */
  least_chocolate_mm: number;
  /** How many times as high as wide a raised stroke may be (common practice: 1, at most 1.5). */
  chocolate_depth_ratio: number;
  /** Narrowest fin of rubber, a groove of the chocolate (common practice, no source). */
  least_rubber_mm: number;
  /** How many times as high as wide a fin of rubber may be (common practice, no source). */
  rubber_depth_ratio: number;
  /** Lowest text of which the tallest letter is still read; 0: its strokes alone decide, until a coupon has told. */
  least_letter_mm: number;
  /** Narrowest wall of printed resin that survives washing (common practice, no source). */
  least_resin_mm: number;
  /** How many times as high as wide a wall of resin may be (common practice, no source). */
  resin_depth_ratio: number;
  /** Lean of walls from vertical below which the piece holds on to its mould (common practice: 5-10, at least 3; rubber can be peeled off less). */
  least_draft_deg: number;
  /** Chocolate that must stay under sunk art (common practice: a shell's thickness, no source). */
  least_floor_mm: number;
  /** Width of a terrace that an eye sees as a step (one minute of arc at 30 cm is 0.09 mm). */
  visible_step_mm: number;
  /** Width of a hollow below which a poured liquid may shut air in (common practice, no source). */
  pocket_mm: number;
}

export interface CavityChoices {
  /** Shell, measured square to the surface. */
  thickness_mm: number;
  /** The cap that closes the back. */
  cap_mm: number;
  /** Share of a piece that filling should have; below it one hardly tastes it (common practice, no source). */
  least_filling_share: number;
}

export interface KitchenChoices {
  /** Chocolate melted for shells and caps, as a multiple of what stays in them: a cavity is filled to the brim and tipped out again (common practice, no source). */
  bowl_factor: number;
  /** Share of the melted chocolate that stays on tools and bowls (common practice, no source). */
  chocolate_loss_share: number;
  /** Share of the filling made that stays in bags and bowls (common practice, no source). */
  filling_loss_share: number;
  /** Share of the pieces that break or come out with faults; the rounds are counted with it (common practice, no source). */
  piece_loss_share: number;
  /** The kitchen's temperature. */
  room_c: number;
  /** The fridge's temperature. */
  fridge_c: Range;
  /** Whether a fan moves the fridge's air. */
  fridge_air: "still" | "fan";
  /** The mould when chocolate goes in; without it the room's temperature. */
  mould_c?: number;
  /** A filling when it goes in (common practice: at most 28). */
  filling_c: number;
  /** Board under the mould; 0: it stands on the grid. */
  board_mm: number;
  /** What is done where less chocolate stays on a wall than is wanted: draw it up with a spatula, or let it set and coat once more. */
  thin_walls: "spatula" | "coat";
  /** Fridge shelf, left to right. */
  shelf_width_mm: number;
  /** Fridge shelf, front to back. */
  shelf_depth_mm: number;
  /** Shelves that are free. */
  shelves: number;
  /** People at the bench. */
  hands: number;
  /** Moulds cast from each tray. */
  mould_copies: number;
  /** Days from making until the last piece is eaten, which every filling must outlive. */
  keep_days: number;
}

export interface MasterChoices {
  /** Rows and columns of one cell size per row, or packed close. */
  layout: "grid" | "packed";
  /** Tiles: pieces grow out of the base; loose: every piece is printed alone and sits on a numbered peg. */
  build: "tiles" | "loose";
  /** Largest tray, left to right. */
  width_mm: number;
  /** Largest tray, front to back. */
  depth_mm: number;
  /** Rubber between two cavities (common practice: 6-10 mm). */
  gap_mm: number;
  /** Rubber between the outer cavities and the frame (common practice: 8-15 mm). */
  margin_mm: number;
  /** Thickness of the base. */
  base_mm: number;
  /** Radius where a piece meets the base, so that the rubber has no thin edge. */
  fillet_mm: number;
  /** Rubber over the highest point (common practice: 8-10 mm). */
  rubber_over_mm: number;
  /** Keyed panels printed with the master, or your own boards around it. */
  frame: "printed" | "own boards";
  /** Frame above the rubber's level. */
  freeboard_mm: number;
  /** Thickness of a frame panel. */
  panel_mm: number;
  /** Fillet where the frame meets the base. */
  frame_fillet_mm: number;
  /** Gap in keys, pegs and joints, each side. */
  key_clearance_mm: number;
  /** Depth of codes and numbers on the underside. */
  engrave_mm: number;
  /** Height of the pegs of loose pieces. */
  peg_mm: number;
  /** Wall that is left when thick bodies are hollowed from below, at least 1.5; 0: solid. */
  hollow_mm: number;
  /** Width of the channels through which a hollow drains (common practice: 2 mm or more). */
  drain_mm: number;
  /** Greatest distance between mesh and relief. */
  tolerance_mm: number;
  /** Pieces put by hand; the others are laid out around them. */
  place?: Placement[];
}

export interface PlateChoices {
  /** Room between two parts on a plate. */
  gap_mm: number;
  /** A cup that is closed while it is printed is told of from this area on (common practice, no source). */
  suction_mm2: number;
  /** A layer that is larger than the one before by more than this share of the largest layer is told of (common practice, no source). */
  jump_share: number;
  /** Also write every plate as STL, which knows neither units nor names. */
  stl: boolean;
}

export interface PourChoices {
  /** Share of the mixed rubber that stays as a film in cups and on spatulas (common practice, no source: 0.03-0.06). */
  left_in_cup: number;
  /** Rubber that stays in the brush of each tray's first coat; 0 without one (common practice, no source). */
  left_in_brush_g: number;
  /** Bought beyond what is needed, as a share of it (common practice, no source). */
  reserve_share: number;
  /** Rubber poured in a minute, in a thin stream (common practice, no source). */
  pour_g_min: number;
  /** Mixing, with scraping and the second cup (common practice, no source). */
  mix_min: number;
  /** Under vacuum, when there is one (makers' tips: about 5 min at most). */
  degas_min: number;
  /** What is done to the print before the rubber, with times and temperatures; the cure test must be of the same. */
  treatment: string;
  /** The coating on the print, or none. */
  coating: string;
}

export interface MouldChoices {
  /** Radius to which the mould is bent back when it is peeled off (common practice, no source). */
  peel_radius_mm: number;
  /** By what factor the stretch stays below the elongation at break (common practice, no source: 10-15 % of it, a factor of 7-10). */
  stretch_safety: number;
  /** How far a filled mould may sag between two supports before a shell cracks or a filling runs (common practice, no source). */
  sag_mm: number;
  /** Thickness of the boards of a frame of your own. */
  board_mm: number;
  /** Bending modulus of those boards: chipboard at least 1600 (EN 312 type P2, from memory), plywood up to 4000 and more (from memory). */
  board_mpa: Range;
  /** Gap under those boards before it is sealed (from memory, no source at hand). */
  board_gap_mm: Range;
  /** Deepest undercut that you added to the master by hand; the program's own pieces have none. */
  undercut_mm: number;
}

export interface TestChoices {
  /** Further resins to test. */
  resins?: string[];
  /** Further ways to wash and post-cure, each with its times and temperatures. */
  treatments?: string[];
  /** Further coatings to test; none is always tested. */
  coatings?: string[];
  /** Side of a pad. */
  pad_mm: number;
  /** Rubber on a pad; inhibition reaches about half a millimetre deep, so the body above it shows what the rubber itself does. */
  rubber_mm: Range;
}

export interface Bench {
  /** Temperature of room, rubber and master. */
  room_c: Range;
  /** Height above the sea; thin air limits what a vacuum gauge can show. */
  altitude_m: number;
  /** What the chamber's gauge shows below the air around (1 inHg = 33.86 hPa, 1 kPa = 10 hPa); 0: no vacuum. */
  vacuum_hpa: number;
  /** Share of the stirred mix that is air (makers' tips of three to five times the volume at 29 inHg say 0.06-0.13). */
  air_share: Range;
  /** Step of the scale. */
  scale_g: number;
  /** By what share the ratio may be off (common practice, no source). */
  ratio_tolerance: number;
  /** Volumes of the mixing cups that also fit the chamber, to the brim: one number, or a list. */
  cup_ml: number[];
  /** The most that one mixes evenly by hand (common practice, no source). */
  hand_g: number;
}

export interface Kit {
  /** What the kit is called on the shopping list. */
  name: string;
  /** A and B together. */
  mass_g: number;
  /** Price of one, in your money; at most two decimals count. */
  price: number;
  /** How long an opened kit keeps, as its data sheet says (6 months: common practice, no source). */
  opened_months: number;
}

export interface CalendarChoices {
  /** Free hours of that weekday, such as 18:30-21:30; an empty list is no work. */
  monday: string[];
  /** The same for Tuesday. */
  tuesday: string[];
  /** The same for Wednesday. */
  wednesday: string[];
  /** The same for Thursday. */
  thursday: string[];
  /** The same for Friday. */
  friday: string[];
  /** The same for Saturday. */
  saturday: string[];
  /** The same for Sunday. */
  sunday: string[];
  /** Days that differ from their weekday: days off, days taken off work. */
  day?: FreeDay[];
  /** Time of the day needed by which the boxes must be ready. */
  needed_by: string;
  /** An IANA time zone such as Europe/Dublin, for calendar.ics; without it times float, and every calendar shows them as its own. */
  time_zone?: string;
  /** People who share these free hours. */
  people: number;
  /** Resin printers that can work side by side. */
  printers: number;
  /** Vacuum chambers. */
  chambers: number;
  /** Ovens for the post-cure. */
  ovens: number;
  /** Margin: cure tests that may fail and be made again with another treatment or a coating. */
  failed_tests: number;
  /** Margin: prints that may fail and be made again. */
  failed_prints: number;
  /** Margin: pours that may fail to cure and be poured again. */
  failed_cures: number;
  /** The longest that one works at a stretch; what takes longer is divided where it can be. */
  session_h: number;
  /** The oven may run while nobody is at home; without it a post-cure lies in free hours. */
  oven_alone: boolean;
  /** Days from the day needed until the last piece is eaten, which every filling must outlive. */
  eaten_days: number;
  /** Days from an order to its arrival (common practice, no source). */
  delivery_days: Range;
  /** The same by express (common practice, no source). */
  express_days: number;
  /** Taking off the last plate, looking at vat and resin, starting the next print (common practice, no source). */
  set_up_min: Range;
  /** Washing, drying and looking over what was on one plate (common practice, no source). */
  wash_min: Range;
  /** Post-cure of one plate's parts under the lamp, and drying; nobody need stand by (common practice, no source). */
  lamp_min: Range;
  /** Assembly of the master, for each printed part (common practice, no source). */
  assemble_part_min: Range;
  /** Coating one tray, where pour.coating asks for it (common practice, no source). */
  coat_min: Range;
  /** Until the coating is dry through (common practice, no source; its tin says). */
  coat_dry_h: Range;
  /** Levelling the tray, laying out cups, cleaning up after a pour (common practice, no source). */
  pour_set_up_min: Range;
  /** Demoulding and trimming one mould (common practice, no source). */
  demould_min: Range;
  /** Washing and drying one mould before food (common practice, no source). */
  clean_mould_min: Range;
  /** Making one filling (common practice, no source). */
  filling_min: Range;
  /** Melting, tempering and laying out, for each session in the kitchen (common practice, no source). */
  temper_min: Range;
  /** Rest of the finished pieces before they are boxed (common practice, no source). */
  rest_h: Range;
  /** Filling, labelling and closing one box (common practice, no source). */
  box_min: Range;
  /** Tasks of your own: [[calendar.task]]. */
  task?: OwnTask[];
}

export interface ShoppingChoices {
  /** What stands behind amounts of money, such as EUR. */
  currency?: string;
  /** Pairs of gloves used for each plate and each pour (common practice, no source). */
  glove_pairs: number;
  /** Washing liquid used up for each plate (common practice, no source). */
  wash_ml: number;
  /** Coating for each tray, where pour.coating asks for one (common practice, no source). */
  coating_ml: number;
}

export interface Price {
  /** Its name on the shopping list, or part of it: dark chocolate, cream, box. */
  what: string;
  /** Of one pack. */
  price: number;
  /** How much is in a pack, in its unit. */
  pack: number;
  /** Of the pack's amount. */
  unit: "g" | "kg" | "ml" | "l" | "piece" | "pair";
  /** Where. */
  shop?: string;
}

export interface Reading {
  /** Which coupon was measured. */
  kind: "foot" | "size" | "detail" | "chocolate";
  /** The day; of one kind the newest counts. */
  date: string;
  /** The resin it was printed with; readings of another resin than the job's are not used. */
  resin?: string;
  /** What was measured, each place by its name on the sheet: X40 = [39.86, 39.88]. */
  readings_mm: Record<string, number[]>;
}

export interface Format {
  /** Rows of cells. */
  rows: number;
  /** Cells in a row. */
  columns: number;
  /** Inside of a cell, left to right. */
  cell_width_mm: number;
  /** Inside of a cell, front to back. */
  cell_depth_mm: number;
  /** From the floor of a cell to the lid. */
  cell_height_mm: number;
  /** Between two cells. */
  wall_mm: number;
  /** An SVG of your own insert in its true size: each closed shape that stands apart is a cell; rows, columns and cell sizes then do not count. */
  file?: string;
  /** Room for fingers on two opposite sides of a piece (common practice, no source). */
  finger_mm: number;
  /** Room on every side of a piece and above it (common practice, no source). */
  clear_mm: number;
}

export interface Label {
  /** Wording: EU after Regulation (EU) 1169/2011, US after FALCPA 2004 and the FASTER Act; whoever sells answers to the local law. */
  rules: "EU" | "US";
  /** What the food is called. */
  food: string;
  /** Who made it and where; without it there is room to write. */
  maker?: string;
  /** The day on which the fillings are made; without it the day on which the calendar has the first filling made, or the day before needed. */
  made?: string;
  /** Without it L and the day made. */
  lot?: string;
  /** Allergens that are about in the kitchen beside those of this job. */
  also_in_kitchen?: string[];
  /** The sheet of labels; own takes the measures below. */
  sheet: "2 x 4 on A4" | "2 x 7 on A4" | "3 x 7 on A4" | "2 x 5 on Letter" | "3 x 10 on Letter" | "own";
  /** Own sheet: its paper. */
  paper: "A4" | "Letter";
  /** Own sheet: rows of labels. */
  rows?: number;
  /** Own sheet: labels in a row. */
  columns?: number;
  /** Own sheet: a label, left to right. */
  width_mm?: number;
  /** Own sheet: a label, top to bottom. */
  height_mm?: number;
  /** Own sheet: left edge of the paper to the first label. */
  left_mm?: number;
  /** Own sheet: upper edge of the paper to the first label. */
  top_mm?: number;
  /** Own sheet: between two labels side by side. */
  gap_x_mm?: number;
  /** Own sheet: between two labels one below the other. */
  gap_y_mm?: number;
  /** Labels of the first sheet that are gone already. */
  used: number;
}

export interface Names {
  /** A UTF-8 CSV with a header line; each column is a variable. */
  file?: string;
  /** The names themselves; the variable is {name}. */
  list?: string[];
  /** Rows with any keys: [[names.row]]. */
  row?: (Record<string, string>)[];
}

export interface PieceChoices {
  /** What the piece is called on every sheet. */
  name: string;
  /** Chocolates wanted; for a piece with names, of each name. */
  count: number;
  /** Places on the master; for a piece with names, of each name; without it as many as chocolates are wanted, at most 12 for a piece without names and 1 for each name. */
  cavities?: number;
  /** One piece for each row of the name list. */
  names: boolean;
  /** Which [chocolate.…] makes the shell. */
  chocolate: string;
  /** Which [filling.…] goes inside; without it the piece is solid. */
  filling?: string;
  /** Shape of the footprint: file takes an SVG's outline, text the outline of the piece's own first text, mesh a whole imported body. */
  outline: "round" | "oval" | "rectangle" | "rounded rectangle" | "polygon" | "heart" | "file" | "text" | "mesh";
  /** The SVG of the outline, or the mesh. */
  file?: string;
  /** Mesh: the direction that looks up out of the mould. */
  up: "x" | "-x" | "y" | "-y" | "z" | "-z";
  /** Mesh: turned counter-clockwise seen from above. */
  turn_deg: number;
  /** Size at the back, left to right. */
  width_mm: number;
  /** Size at the back, front to back; without it the outline keeps its proportions. */
  depth_mm?: number;
  /** Corner radius of a rounded rectangle or polygon. */
  corner_mm: number;
  /** Corners of a polygon. */
  corners: number;
  /** Outline text: how far the footprint stands around the letters. */
  margin_mm: number;
  /** Height of the body without raised art. */
  height_mm: number;
  /** Finished weight; the sizes are scaled together until the piece weighs this. */
  weight_g?: number;
  /** Lean of the sides from vertical. */
  draft_deg: number;
  /** Radius of the upper edge. */
  edge_mm: number;
  /** Flat; cushioned swells from the rim to a plateau; domed is round all over. */
  top: "flat" | "cushioned" | "domed";
  /** How much a cushioned or domed top rises above its rim; the height includes it. */
  rise_mm: number;
  /** What stands on the top. */
  art?: ArtworkChoices[];
}

export interface TraceBox {
  lot: string;
  receiver: string;
  at: string;
  /** 2 crest of batch K7. */
  holds: string[];
}

export interface TraceBatch {
  lot: string;
  what: string;
  at: string;
  /** Lots that went in: dark chocolate L12. */
  from: string[];
}

export interface TraceLot {
  lot: string;
  what: string;
}

export interface Place {
  /** Name of the piece, with its row for a named one. */
  piece: string;
  /** To the right of its middle. */
  x_mm: number;
  /** Away from you. */
  y_mm: number;
}

export interface Remedy {
  /** Key in the job file, such as piece[2].art[1].depth_mm. */
  key: string;
  /** What to write there, as the job file has it: 0.6; empty: take the key out. */
  value: string;
}

export interface PlanMark {
  /** Its letter and word, or what it is and its number in its drawing: second l of Ottilie, hole of the e of Ottilie, stroke 3 of crest.svg. */
  mark: string;
  /** The same in a letter or a number, for a picture. */
  label: string;
  /** Raised, sunk or hole. */
  kind: string;
  /** Which art of the piece it belongs to, from 1; 0 when that is not known. */
  art: number;
  /** Survives, merges, fills or breaks. */
  fate: string;
  /** What it is that does so: printer, resin, rubber or chocolate. */
  cause?: string;
  /** Least height with which it would survive, at the same depth. */
  size_needed_mm: number;
  /** Its height as drawn. */
  height_mm: number;
  /** Its width as drawn. */
  width_mm: number;
  /** How far it stands above or under the body. */
  depth_mm: number;
  /** Width of its narrow strokes: a tenth of its middle line is narrower, tips that taper left out. */
  narrow_mm: number;
  /** Narrowest gap to a neighbour. */
  gap_mm?: number;
  /** Nowhere as wide as the finest dot that the printer draws: a sliver that nobody will miss. */
  speck?: boolean;
  /** Its flanks lean more than 45 degrees from vertical: nothing that could break off or close; it need only print and be entered. */
  soft?: boolean;
  /** Its widest place, from the middle of the piece. */
  x_mm: number;
  /** Its widest place, from the middle of the piece. */
  y_mm: number;
}

export interface PlanWidth {
  /** Above the body; negative under it, in sunk art. */
  depth_mm: number;
  /** Narrowest stroke of chocolate there; 0 without. */
  ridge_mm: number;
  /** Narrowest gap, hole or sunk stroke, a fin of the rubber; 0 without. */
  groove_mm: number;
  /** Height of the art to that width; 0 without. */
  ridge_ratio: number;
  /** Depth of the art to that width; 0 without. */
  groove_ratio: number;
  /** The stroke as chocolate: holds, too fine or too deep by the rules of [forecast]; empty without. */
  chocolate: string;
  /** The stroke as a wall of printed resin. */
  resin: string;
  /** The gap as a fin of rubber. */
  rubber: string;
}

export interface PlanPocket {
  /** Rubber: on the master; chocolate: in the mould. */
  liquid: string;
  /** Its widest place, from the middle of the piece as seen from above. */
  x_mm: number;
  /** Its widest place. */
  y_mm: number;
  /** Under the lowest place of its rim. */
  depth_mm: number;
  /** Of the largest disc that fits at half its depth. */
  width_mm: number;
  /** Air in it, if none left. */
  volume_mm3: number;
  /** Narrow: brush this first. */
  brush_first: boolean;
}

export interface PlanFinish {
  /** Level, or steps under the coat. */
  glossy_share: number;
  /** Layer steps too close to be told apart. */
  satin_share: number;
  /** Layer steps that show. */
  stepped_share: number;
  /** Highest step that shows, square to the surface. */
  step_mm: number;
  /** Layer with which hardly any would show; 0 when none does. */
  hide_layer_mm: number;
  /** Coat that would level them; 0 when none shows. */
  hide_coat_mm: number;
}

export interface PlanCourse {
  /** What chills. */
  stage: "shell" | "cap" | "solid";
  /** Minutes in the fridge. */
  min: number[];
  /** Warmest place of the chocolate. */
  warmest_c: number[];
  /** Mean of the chocolate. */
  mean_c: number[];
  /** Coolest place of the chocolate. */
  coolest_c: number[];
  /** Mean of the rubber. */
  rubber_c: number[];
  /** Mean of the filling; the chocolate's where there is none. */
  filling_c: number[];
  /** Crystallised share where there is least. */
  least_set: number[];
  /** When the last place is set. */
  set_min: number;
}

export interface PlanChange {
  /** The difference. */
  what: string;
  /** Shell, cap or solid. */
  stage: string;
  /** Likely time with it. */
  set_min: number;
  /** Without it, computed as finely. */
  was_min: number;
}

export interface PlanPrinting {
  /** Minutes: all plates together. */
  plate_time_min: Range;
  /** Minutes: no arrangement of these parts takes less, by their areas and heights. */
  plate_time_bound_min: Range;
  /** Minutes: every part printed alone. */
  plate_time_apart_min: Range;
}

export interface PlanLearned {
  /** Wash, box, chill shells. */
  step: string;
  /** In words: print times. */
  what: string;
  /** Key in the job file of what was planned. */
  key?: string;
  /** In the record. */
  times: number;
  /** By which the plan's own reckoning was multiplied, or would be. */
  factor: Range;
  /** Seconds for each one, as measured; 0 where only the share is known. */
  each_s: Range;
  /** Of what. */
  per?: string;
  /** The plan takes it. */
  used: boolean;
  /** What it is learned from. */
  from: string;
  /** Why the plan does not take it, or not as it stands. */
  why?: string;
}

export interface PlanMaster {
  /** Tray number. */
  tray: number;
  /** Printed parts of its base. */
  tiles: number;
  /** Cavities. */
  pieces: number;
  /** Inside of the frame. */
  width_mm: number;
  /** Inside of the frame. */
  depth_mm: number;
  /** Base and highest piece. */
  height_mm: number;
  /** Frame above the underside of the base. */
  frame_height_mm: number;
  /** Level of the rubber above the base. */
  rubber_level_mm: number;
  /** Base and pieces as printed. */
  solid_volume_mm3: number;
  /** Left out of that by hollows and their drains. */
  hollow_volume_mm3?: number;
  /** Rubber in the frame. */
  rubber_volume_mm3: number;
}

export interface PlanSilicone {
  /** Rubber in the frames. */
  volume_mm3: number;
  /** To mix, with what stays in the cups. */
  mass_g: Range;
  /** Of that, part A, for the likely mass. */
  part_a_g: number;
  /** Of that, part B, for the likely mass. */
  part_b_g: number;
  /** Each tray's pour. */
  trays: PlanPour[];
}

export interface PlanRubber {
  /** A cure test of exactly this combination came out clean. */
  released: boolean;
  /** Why it is released or not. */
  why: string;
  /** The combinations to test; the job's own is the first. */
  cure_test: PlanCureTest[];
  /** Rubber to mix for the pads. */
  pads_mass_g: number;
  /** Of that, part A. */
  pads_part_a_g: number;
  /** Of that, part B. */
  pads_part_b_g: number;
  /** When to judge a pad. */
  pads_look_h: Range;
  /** Why then. */
  pads_look_why: string;
  /** What keeps rubber from setting, with remedies. */
  inhibitors: PlanInhibitor[];
  /** The rubber's declaration, as its data sheet words it. */
  food_contact?: string;
  /** An addition cure rubber whose data sheet declares food contact. */
  food_declared: boolean;
  /** The food-contact check in plain words. */
  food_check: string[];
  /** Post-cure before food, as the data sheet asks; 0: none. */
  post_cure_h: number;
  /** At this temperature. */
  post_cure_c: number;
  /** Temperature that the times are for. */
  room_c: Range;
  /** Working time at the room's temperature. */
  working_time_min: Range;
  /** The rule that brought it there. */
  working_time_by: string;
  /** Time to demoulding at the room's temperature. */
  cure_h: Range;
  /** The rule that brought it there. */
  cure_by: string;
  /** Not before: the longest cure. */
  demould_h: number;
  /** After the last pour: cured, post-cured, cooled and washed. */
  first_food_h: Range;
  /** Factor by which the viscosity has grown at the end of the working time. */
  thickening: Range;
  /** Volumes that the mix takes under vacuum; 1 without. */
  rise: Range;
  /** The least mass whose ratio stays within tolerance on this scale. */
  smallest_batch_g: number;
  /** The most that one cup can be. */
  largest_batch_g: number;
  /** What bounds it. */
  largest_batch_by: string;
  /** Each batch, in order. */
  cups: PlanCup[];
  /** How often one must wait until the rubber is firm, and one more. */
  stages: number;
  /** After a pour: the next one may follow once it is firm, or else while it is wet. */
  firm_from_h: Range;
  /** After a pour: so long the next one bonds to it, if it is clean and free of release. */
  bond_until_h: number;
  /** The smallest bubble that rises out before the rubber sets, by diameter; smaller ones stay. */
  smallest_bubble_out_mm: Range;
  /** How far bubbles of some sizes rise. */
  bubbles: PlanRises[];
  /** Hollows of the master to brush with rubber before it is poured. */
  brush_first: PlanSpot[];
  /** The same without degassing. */
  smallest_bubble_out_of_frame_mm: Range;
  /** To have: for the frames at the densest, the pads and the reserve. */
  buy_g: number;
  /** Rubber that is at home, what keeps least long first. */
  home: PlanHome[];
  /** Of it, what is still good on the day needed. */
  home_g: number;
  /** And what is not: it is not counted on. */
  home_spoilt_g: number;
  /** To buy at least: what is to have less what is at home. */
  short_g: number;
  /** Kits to buy at the least price, for what is not at home. */
  kits: PlanKit[];
  /** All kits together. */
  kits_price: number;
  /** Left of what is at home and bought when frames and pads are poured; 0 when neither is known. */
  leftover_g: Range;
  /** How long what is left of the kits keeps once opened; each tin at home has its own day. */
  leftover_months: number;
}

export interface PlanMould {
  /** When it is peeled off, as a share of length; the tray that is stretched most. */
  stretch: Range;
  /** Lowest elongation at break divided by the safety factor. */
  stretch_allowed: number;
  /** How often a mould will be filled before it is put away. */
  casts: Range;
  /** Of how many moulds of your own that were put away the record speaks for it. */
  casts_from: number;
  /** Each tray's mould. */
  trays: PlanMouldTray[];
}

export interface PlanChocolate {
  /** Stays in the shells; solid pieces included. */
  shell_mass_g: number;
  /** Stays in the caps. */
  cap_mass_g: number;
  /** To melt, with what goes back to the bowl. */
  melt_mass_g: number;
}

export interface PlanKind {
  /** Its name in the job file. */
  name: string;
  /** Stays in the shells. */
  shell_mass_g: Range;
  /** Stays in the caps. */
  cap_mass_g: Range;
  /** To melt. */
  melt_mass_g: Range;
}

export interface PlanFilling {
  /** Its name in the job file. */
  name: string;
  /** To make, losses included. */
  mass_g: Range;
}

export interface PlanKitchen {
  /** Each chocolate to temper. */
  chocolate: PlanBowl[];
  /** Each design: what stays on its walls, how long it chills; of a design with names, its first name. */
  pieces: PlanSetting[];
  /** Each filling: recipe, water activity, keeping. */
  fillings: PlanKeeping[];
  /** The most rounds of any mould, losses included. */
  rounds: number;
  /** Each mould at the bench. */
  moulds: string[];
  /** The timeline, in order of beginning. */
  evening: PlanStep[];
  /** From the first step to the last; likely times. */
  evening_min: number;
  /** Whether one more mould of each tray pays. */
  second_mould: PlanSecond;
}

export interface PlanBoxing {
  /** Around all cells, left to right. */
  width_mm: number;
  /** Around all cells, front to back. */
  depth_mm: number;
  /** From the floor of a cell to the lid. */
  height_mm: number;
  /** As one reads, from the back. */
  cells: PlanCellAt[];
  /** Boxes to fill. */
  boxes: number;
  /** Cells that nothing could be put into. */
  empty_cells: number;
  /** Pieces that somebody would rather not have. */
  disliked: number;
  /** Pairs of equal pieces in one box, over all boxes. */
  equal_pairs: number;
  /** Pairs of neighbouring cells with equal pieces, over all boxes. */
  alike_beside: number;
  /** How far empty cells, disliked pieces, equal pairs and unevenness lie above what is proved to be the least, in this order; all 0: it cannot be done better. */
  gap: number[];
  /** Pieces made beyond what the boxes hold. */
  spare: PlanSpare[];
  /** Allergens that are about in the kitchen. */
  in_kitchen: string[];
  /** Wording of the labels: a word of label.rules. */
  rules: string;
  /** What stands before the date on a label. */
  best_before_words: string;
  /** What the food is called. */
  food: string;
  /** Who made it; empty: room to write. */
  maker: string;
  /** Sheet of labels. */
  sheet: Sheet;
}

export interface PlanBox {
  /** Whose it is. */
  person: string;
  /** The person, with the number of the box where there are several. */
  name: string;
  /** What the person cannot eat. */
  needs: string[];
  /** What lies in each cell, in the order of box.cells. */
  cells: PlanCell[];
  /** What is in it, by Regulation (EU) 1169/2011, Annex II. */
  allergens: string[];
  /** What else is about in the kitchen. */
  may_contain: string[];
  /** The same as the label has it. */
  may_contain_words: string[];
  /** In falling order by mass, allergens stressed. */
  ingredients: Run[];
  /** The statement that lists allergens apart, where the rules want one. */
  contains: string[];
  /** Chocolates and fillings whose ingredients are not known. */
  missing: string[];
  /** Nothing of an animal is in it. */
  vegan: boolean;
  /** Nothing with alcohol is in it. */
  alcohol_free: boolean;
  /** Net mass to print, whole grams, rounded down. */
  net_g: number;
  /** The same as the label has it. */
  net_words: string;
  /** Mass of its pieces. */
  mass_g: Range;
  /** Day on which the fillings are made. */
  made: string;
  /** From the filling that keeps shortest, the low end of its days; missing where nothing is known. */
  best_before?: string | null;
  /** What keeps shortest. */
  shortest: string;
  /** How to keep it. */
  storage: string;
  /** Lot. */
  lot: string;
  /** The label as plain text; the code on it holds the same. */
  facts: string;
}

export interface PlanShopping {
  /** Behind amounts of money; may be empty. */
  currency: string;
  /** Each thing, by group. */
  lines: PlanPurchase[];
  /** To pay for whole packs, of all lines whose price is known. */
  total: number;
  /** Of that, what is used up. */
  used: number;
  /** Total divided by the boxes. */
  per_box: number;
  /** Total divided by the chocolates. */
  per_piece: number;
  /** What one print that fails costs. */
  failed_print: PlanLoss;
  /** What one pour that fails to cure costs. */
  failed_pour: PlanLoss;
  /** Lines whose price is not known: the sums lack them. */
  no_price: string[];
  /** Where the money goes, the most first. */
  groups: PlanGroup[];
}

export interface Placed {
  /** Index into items. */
  item: number;
  /** On its tray, as one reads. */
  number: number;
  /** Which of its piece's cavities: number in [[master.place]]. */
  cavity: number;
  x_mm: number;
  y_mm: number;
  turn_deg: number;
  /** Stands in [[master.place]]. */
  by_hand: boolean;
}

export interface Tile {
  number: number;
  ring: ([number, number])[];
  /** Indices into placed. */
  placed: number[];
}

export interface Measure {
  what: "between pieces" | "to the frame";
  from: [number, number];
  to: [number, number];
  mm: number;
  /** What the mould rules ask for. */
  want_mm: number;
}

export interface PlatePart {
  name: string;
  /** From 1: the number that makes a plate of chosen parts (build --only). */
  part: number;
  /** Its outline where it lies, in mm. */
  rings: (([number, number])[])[];
  /** Maps the part's own x, y to the plate's: a x + c y + e, b x + d y + f. */
  at: [number, number, number, number, number, number];
}

export interface PlanExposure {
  /** Largest area of a layer. */
  exposed_area_max_mm2?: number;
  /** Area of each layer, from the build plate up. */
  exposed_area_mm2?: number[];
  /** Cups that are closed while they are printed. */
  suction?: PlanSuction[];
}

export interface PlanFill {
  /** Tray number. */
  tray: number;
  /** Of what was mixed. */
  mass_g: number;
  /** Level over its base, reached with it. */
  level_mm: number;
}

export interface Spot {
  /** As it stands in the job file: X40, H200, LINE. */
  name: string;
  /** What it would measure if the print were perfect; 0 for a ladder. */
  drawn_mm: number;
  /** What to measure or to look at. */
  what: string;
  /** Of a ladder: the sizes in mm that can be read. */
  steps: number[];
}

export interface CouponShape {
  name: string;
  width_mm: number;
  depth_mm: number;
  /** Closed lines in mm; the first is the outline. */
  rings: (([number, number])[])[];
}

export interface Found {
  /** Of the job file that it can stand for; empty when it is only told. */
  key: string;
  /** In words: shrinkage in x. */
  what: string;
  /** Of value and standard error: mm, or share of length. */
  unit: "mm" | "share";
  /** Likely with its 95 % interval; of a ladder the step and the next finer one. */
  value: Range;
  /** Standard error; 0 for a ladder. */
  std_err: number;
  /** Behind it; 0 for a ladder. */
  degrees_of_freedom: number;
}

export interface Residual {
  name: string;
  /** As drawn; of the foot coupon the height of the teeth. */
  drawn_mm: number;
  /** Of its readings. */
  mean_mm: number;
  /** Of readings. */
  count: number;
  /** By the values found. */
  fit_mm: number;
}

export interface PlanTask {
  /** Its name. */
  task: string;
  /** Begins. */
  from: string;
  /** Ends. */
  to: string;
  /** Until then it needs hands; after that it runs by itself. */
  hands_until: string;
  /** Somebody must be at home until it ends. */
  home: boolean;
  /** What it waits for. */
  after: string[];
  /** What it occupies: printer, vacuum chamber, bench, oven, fridge shelf. */
  needs: string[];
  /** It decides the day: what delays it delays the end. */
  critical: boolean;
  /** How much sooner it could begin: so much is in hand. */
  slack_h: number;
  /** Only if something fails. */
  margin: boolean;
  /** Done, doing, or empty. */
  state: string;
}

export interface PlanGain {
  /** The change. */
  what: string;
  /** The latest start is so much later; when the day is missed, one is ready so much sooner. */
  gain_h: number;
  /** The latest start with it. */
  start_by: string;
  /** The last task ends with it. */
  ready_by: string;
}

export interface PlanFreeSpan {
  from: string;
  to: string;
}

export interface Yield {
  of: string;
  /** Flawed ones among them. */
  good: number;
  tried: number;
}

export interface Head {
  /** The entry's own name; given by who writes it, or made. */
  id?: string;
  /** Its number in the order of writing, from 1. */
  seq?: number;
  /** When it was written. */
  written_at?: string;
  /** Of the program that wrote it. */
  version?: string;
  /** Why it was struck out; missing: it stands. */
  struck?: string;
}

export interface Placement {
  /** Name of the piece, with its row for a named one. */
  piece: string;
  /** Which of its cavities. */
  number: number;
  /** Tray number. */
  tray: number;
  /** Centre from the tray's left edge. */
  x_mm: number;
  /** Centre from the tray's front edge. */
  y_mm: number;
  /** Turned counter-clockwise. */
  turn_deg: number;
}

export interface FreeDay {
  /** The day. */
  date: string;
  /** Its free hours; empty: a day off. */
  free: string[];
}

export interface OwnTask {
  /** What it is called in the calendar. */
  name: string;
  /** Minutes of your own work. */
  hands_min: Range;
  /** Hours that follow in which nobody need be there. */
  alone_h: Range;
  /** Tasks that must be done before it, by their names in the calendar. */
  after?: string[];
  /** Tasks that wait for it. */
  before?: string[];
}

export interface ArtworkChoices {
  /** The words; a line break starts a new line; {name} is replaced from the name list. */
  text?: string;
  /** An SVG, PNG, JPEG, WebP, TIFF, STL, OBJ, PLY or 3MF beside the job file. */
  file?: string;
  /** How the file becomes shape: a bitmap as tone (brightness to height), lines (traced) or depth (already a depth map); auto takes vector for SVG, tone for bitmaps, mesh for meshes. */
  as: "auto" | "vector" | "tone" | "lines" | "depth" | "mesh";
  /** A built-in font's name, or a TTF/OTF file beside the job file. */
  font: string;
  /** How several lines stand to each other. */
  align: "left" | "centre" | "right";
  /** Distance of lines, in font sizes. */
  line_spacing: number;
  /** Extra space between letters, in font sizes. */
  tracking: number;
  /** Bends the baseline to a circle of this radius about x_mm, y_mm; positive runs over the top, negative under the bottom. */
  arc_radius_mm?: number;
  /** The art is scaled to fit this width; bent words are measured before they are bent. */
  width_mm?: number;
  /** The art is scaled to fit this height; with a width, the smaller scale wins. */
  height_mm?: number;
  /** Centre of the art, or of the circle of bent words, from the centre of the piece, to the right. */
  x_mm: number;
  /** The same, away from you. */
  y_mm: number;
  /** Turned counter-clockwise. */
  turn_deg: number;
  /** Raised above the top or sunk into it. */
  side: "raised" | "sunk";
  /** How far it is raised or sunk. */
  depth_mm: number;
  /** Cross-section of a stroke: flat top, ridge, or rounded. */
  profile: "flat" | "vee" | "round";
  /** Lean of the art's own walls from vertical. */
  draft_deg: number;
  /** Tone: bends brightness to height; above 1 deepens the darks. */
  gamma: number;
  /** Tone: how much small differences are strengthened against large ones, from 0 to 1. */
  local_contrast: number;
  /** Tone: finest wave kept; never finer than the printer and the chocolate can carry. */
  smooth_mm: number;
  /** Tone, depth, lines: dark is high instead of bright. */
  invert: boolean;
  /** Lines: brightness at which the outline runs. */
  threshold: number;
  /** Mesh: the direction that looks up out of the chocolate. */
  up: "x" | "-x" | "y" | "-y" | "z" | "-z";
}

export interface PlanPour {
  /** Tray number. */
  tray: number;
  /** To mix for it. */
  mass_g: Range;
  /** Part A, for the likely mass. */
  part_a_g: number;
  /** Part B, for the likely mass. */
  part_b_g: number;
}

export interface PlanCureTest {
  /** Stands on its pad in relief. */
  code: string;
  /** Printing resin. */
  resin: string;
  /** Washing and post-cure. */
  treatment: string;
  /** Coating, or none. */
  coating: string;
  /** Rubber. */
  silicone: string;
  /** Liquid, gummy, tacky skin or clean; empty: not tested. */
  outcome: string;
  /** When it was judged. */
  date?: string;
}

export interface PlanInhibitor {
  /** What inhibits. */
  what: string;
  /** The usual remedy. */
  remedy: string;
  /** Where that is from. */
  source: string;
}

export interface PlanCup {
  /** From 1. */
  number: number;
  /** To mix. */
  mass_g: number;
  /** Part A, on the scale's steps. */
  part_a_g: number;
  /** Part B, on the scale's steps. */
  part_b_g: number;
  /** The same by volume, where the data sheet's ratio is meant so. */
  part_a_ml?: number;
  /** Likewise. */
  part_b_ml?: number;
  /** Part A of this cup and all before it. */
  total_a_g: number;
  /** Part B of this cup and all before it. */
  total_b_g: number;
  /** By what share the ratio can be off on this scale. */
  ratio_off_share: number;
  /** Least volume of the cup, with room to stir or to rise. */
  room_ml: number;
  /** The smallest cup of the bench that has it. */
  cup_ml: number;
  /** From 1: cups of one stage are mixed and poured one after the other. */
  stage: number;
  /** Begin to mix, after the stage began. */
  begin_min: number;
  /** Level over the base of the tray that it ends in. */
  level_mm: number;
  /** The trays that it goes into. */
  fills: PlanFill[];
  /** Mixed and degassed. */
  ready_min: number;
  /** How long pouring takes. */
  pour_min: number;
  /** The latest moment to begin to pour. */
  last_pour_min: number;
  /** Until then the next cup flows into it. */
  wet_until_min: number;
}

export interface PlanRises {
  /** At the pressure of the room. */
  diameter_mm: number;
  /** After the pour. */
  in_frame_mm: Range;
  /** In the cup under vacuum; 0 without. */
  in_chamber_mm: Range;
}

export interface PlanSpot {
  /** Tray number. */
  tray: number;
  /** Number of the place on it. */
  place: number;
  /** What stands there. */
  piece: string;
  /** From the tray's left. */
  x_mm: number;
  /** From its front. */
  y_mm: number;
  /** Of the largest disc that fits at half its depth. */
  diameter_mm: number;
  /** How deep it is. */
  depth_mm: number;
}

export interface PlanHome {
  /** As the record calls it. */
  what: string;
  /** As its tin has it. */
  lot?: string;
  /** A and B together. */
  mass_g: number;
  /** Of it, what the plan counts on. */
  used_g: number;
  /** Of it, what is left over when frames and pads are poured. */
  left_g: number;
  /** The last day on which it is good; missing: not known. */
  until?: string;
  /** No longer good on the day needed. */
  spoilt: boolean;
  /** How long it is good. */
  words: string;
}

export interface PlanKit {
  /** Of the kit. */
  name: string;
  /** To buy. */
  count: number;
  /** Of one. */
  mass_g: number;
  /** Of one. */
  price: number;
}

export interface PlanMouldTray {
  /** Tray number. */
  tray: number;
  /** Of the cured mould. */
  mass_g: Range;
  /** Rubber under the deepest cavity. */
  floor_mm: number;
  /** Of the rubber, from its hardness. */
  modulus_mpa: Range;
  /** That the filled mould bridges before it sags more than allowed. */
  span_mm: Range;
  /** Keep a board under it when it is filled. */
  needs_board: boolean;
  /** Of the liquid rubber at the frame's foot. */
  side_pressure_pa: number;
  /** On the longest side of the frame. */
  side_push_n: number;
  /** Rubber that an unsealed frame lets out while it flows. */
  leak_g: Range;
  /** Of the frame's longest panel, an upper bound. */
  bulge_mm: Range;
  /** When it is peeled off, as a share of length. */
  stretch: Range;
  /** What stretches it. */
  stretch_why: string;
}

export interface PlanBowl {
  /** Its name in the job file. */
  name: string;
  /** To melt. */
  melt_g: Range;
  /** To stir in solid; melt and seed together are what to buy. */
  seed_g: Range;
  /** To buy. */
  buy_g: Range;
  /** Left in the bowl at the end, for another day. */
  return_g: Range;
  /** In the bowl when a round begins, of which return_g comes back. */
  round_g: Range;
  /** Melt to. */
  melt_c: Range;
  /** Without seed: cool to. */
  cool_c: Range;
  /** Work at. */
  work_c: Range;
  /** How long the bowl stays in its working band in the room. */
  workable_min: Range;
  /** How long it may stand before it has to be tempered anew. */
  thick_min: Range;
}

export interface PlanKeeping {
  /** Its name in the job file. */
  name: string;
  /** To weigh, the most first, losses and boiling down included. */
  ingredients: PlanAmount[];
  /** How one of the program's recipes is made. */
  method?: string;
  /** Estimate, no measurement; 0 to 1. */
  water_activity?: Range | null;
  /** Days of its class, from the high end of the water activity. */
  keeping_days?: Range | null;
  /** Class of keeping. */
  keeping_class?: string;
  /** Why. */
  keeping_basis?: string;
  /** How to keep it. */
  storage?: string;
  /** Whether the low end of its days reaches kitchen.keep_days. */
  outlives_day?: boolean | null;
  /** Declared and from its ingredients. */
  allergens: string[];
  /** From its ingredients. */
  density_g_ml?: Range | null;
  /** In 100 g, Regulation (EU) 1169/2011. */
  energy_kj?: number;
  /** In 100 g. */
  energy_kcal?: number;
  /** Of the finished filling. */
  water_pct?: number;
  /** Of the finished filling. */
  alcohol_pct?: number;
  /** What the estimate of the water activity does not know. */
  doubts?: string[];
  /** Fat that wanders, alcohol, what must be chilled. */
  warnings?: string[];
  /** To make, losses included. */
  mass_g?: Range | null;
  /** In 100 g of the finished filling. */
  nutrients?: PlanNutrients | null;
  /** Each method's water activity. */
  methods?: PlanMethod[];
  /** It goes through a bag from here on: low when fresh, high when it has stood; an estimate. */
  pipes_from_c?: Range | null;
  /** Warmest that all shells bear which it goes into. */
  safe_c?: number;
  /** Whether it goes through a bag at a temperature that its shells bear. */
  pipes?: boolean | null;
  /** The recipe as written. */
  written_g?: Record<string, number>;
  /** Of water, to which it is cooked down. */
  cooked_pct?: number;
  /** Changes that just reach the next class. */
  suggestions?: PlanSuggestion[];
}

export interface PlanStep {
  /** Which mould; empty: a bowl. */
  mould?: string;
  /** Which chocolate is tempered or warmed; empty: a mould. */
  bowl?: string;
  /** Of the mould, from 1. */
  round?: number;
  /** What is done. */
  what: string;
  /** Whether it takes a person; otherwise the fridge. */
  hands: boolean;
  /** From the beginning of the evening. */
  start_min: number;
  /** From the beginning of the evening. */
  end_min: number;
}

export interface PlanSecond {
  /** Of one evening like this. */
  saves_min: number;
  /** That it takes. */
  rubber_g: number;
  /** Of that rubber at the price of the cheapest kit; 0: no kits are entered. */
  price: number;
  /** Work to cast it (common practice, no source). */
  hands_min: number;
  /** From the pour until it may hold chocolate. */
  wait_h: Range;
  /** So many evenings save the work that it takes; 0: it wears out before. */
  evenings: number;
  /** In words. */
  verdict: string;
}

export interface PlanCellAt {
  /** Its middle. */
  x_mm: number;
  /** Its middle. */
  y_mm: number;
  /** Left to right. */
  width_mm: number;
  /** Front to back. */
  depth_mm: number;
  /** Its outline, x and y of each point in turn, where it is of one's own drawing. */
  ring_mm?: number[];
}

export interface PlanSpare {
  /** Name of the piece. */
  piece: string;
  /** So many. */
  count: number;
}

export interface Sheet {
  /** A4 or Letter. */
  paper: string;
  /** Rows of labels. */
  rows: number;
  /** Labels in a row. */
  columns: number;
  /** A label, left to right. */
  width_mm: number;
  /** A label, top to bottom. */
  height_mm: number;
  /** Edge of the paper to the first label. */
  left_mm: number;
  /** Edge of the paper to the first label. */
  top_mm: number;
  /** Between two labels side by side. */
  gap_x_mm: number;
  /** Between two labels one below the other. */
  gap_y_mm: number;
  /** Labels of the first sheet that are gone already. */
  used: number;
}

export interface PlanCell {
  /** Name of the piece; empty: nothing. */
  piece: string;
  /** From 1; 0 for an empty cell. */
  design: number;
  /** Row of the name list, from 1; 0 without names. */
  row: number;
  /** Counter-clockwise, so that it fits. */
  turn_deg: number;
}

export interface Run {
  /** The words. */
  text: string;
  /** Stressed, since it names an allergen. */
  bold?: boolean;
}

export interface PlanPurchase {
  /** What it is called. */
  what: string;
  /** Print, mould, chocolate, filling or box. */
  group: string;
  /** How much is needed, in unit. */
  need: number;
  /** G, ml, piece or pair. */
  unit: string;
  /** Of it, what was used up for this job already. */
  done?: number;
  /** Already at home and still good. */
  home: number;
  /** Still to buy. */
  buy: number;
  /** Packs to buy; 0 where no pack is known. */
  packs: number;
  /** How much is in one, in unit; 0: not known. */
  pack: number;
  /** As its price has it: 1 kg. */
  pack_as?: string;
  /** Of one pack; missing: not known. */
  price?: number | null;
  /** Of all packs; missing: not known. */
  cost?: number | null;
  /** Of the cost, what is used up. */
  used: number;
  /** What it is for. */
  for: string[];
  /** How the amount was found. */
  why: string;
  /** Where. */
  shop?: string;
  /** At home but no longer good by the day needed. */
  spoilt?: number;
}

export interface PlanLoss {
  /** The smallest one. */
  low: number;
  /** The average one. */
  likely: number;
  /** The largest one. */
  high: number;
  /** What is lost with the largest. */
  what: string[];
  /** A price is missing: it costs more than this. */
  no_price: boolean;
}

export interface PlanGroup {
  group: string;
  cost: number;
}

export interface PlanSuction {
  /** Seen from above. */
  area_mm2: number;
  /** Height at which it begins. */
  from_mm: number;
  /** Height at which it ends. */
  to_mm: number;
  /** A place in it, from the plate's left edge. */
  x_mm: number;
  /** From the plate's front edge. */
  y_mm: number;
  /** A roof closes over it, so that it keeps liquid resin. */
  trapped: boolean;
}

export interface PlanAmount {
  /** Ingredient. */
  name: string;
  /** To weigh. */
  mass_g: number;
}

export interface PlanNutrients {
  fat_g: number;
  saturated_g: number;
  /** Without fibre. */
  carbohydrate_g: number;
  sugars_g: number;
  fibre_g: number;
  protein_g: number;
  salt_g: number;
  /** Where the compositions are from. */
  source: string;
}

export interface PlanMethod {
  name: string;
  activity: number;
}

export interface PlanSuggestion {
  /** What is changed, and for which class. */
  words: string;
  /** The changed recipe, as written. */
  recipe_g: Record<string, number>;
  /** Of the changed recipe, where it is cooked down. */
  water_pct?: number;
}
