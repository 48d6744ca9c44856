// What the job file's keys are called on the page, in the trade's words.
import type { JobChoices } from "./api";
import { general, read, steps, tail } from "./key";

/** Labels by the rule's key, else by its last name. */
const byRule: Record<string, string> = {
  "master.width_mm": "tray, at most wide",
  "master.depth_mm": "tray, at most deep",
  "master.margin_mm": "rubber to the frame",
  "master.gap_mm": "rubber between cavities",
  "master.frame": "frame",
  "piece[].art[].width_mm": "art wide",
  "piece[].art[].height_mm": "art high",
  "piece[].art[].depth_mm": "stands out",
  "piece[].art[].draft_deg": "lean of its walls",
  "piece[].art[].x_mm": "to the right",
  "piece[].art[].y_mm": "away from you",
  "piece[].art[].turn_deg": "turned",
  "piece[].margin_mm": "around the letters",
  "plate.gap_mm": "room between parts",
  "shell.thickness_mm": "shell",
  "shell.cap_mm": "cap",
};

const byName: Record<string, string> = {
  width_mm: "wide",
  depth_mm: "deep",
  height_mm: "high",
  weight_g: "weight",
  draft_deg: "lean of the sides",
  edge_mm: "rounded edge",
  rise_mm: "rise of the top",
  top: "top",
  outline: "outline",
  corner_mm: "corners rounded",
  corners: "number of corners",
  count: "how many",
  cavities: "places in the mould",
  names: "one for each name",
  chocolate: "chocolate",
  filling: "filling",
  text: "words",
  font: "letters",
  file: "drawing",
  as: "taken as",
  side: "stands",
  profile: "stroke",
  align: "lines stand",
  line_spacing: "distance of lines",
  tracking: "space between letters",
  arc_radius_mm: "bent to a circle of",
  gamma: "deepen the darks",
  local_contrast: "small differences",
  smooth_mm: "finest wave kept",
  invert: "dark is high",
  threshold: "outline at brightness",
  up: "looks up along",
  turn_deg: "turned",
  layout: "order",
  build: "pieces",
  base_mm: "base",
  fillet_mm: "fillet at the foot",
  rubber_over_mm: "rubber over the highest point",
  freeboard_mm: "frame above the rubber",
  panel_mm: "frame panels",
  frame_fillet_mm: "fillet at the frame",
  key_clearance_mm: "gap in keys and pegs",
  engrave_mm: "codes engraved",
  peg_mm: "pegs",
  tolerance_mm: "mesh to relief",
  plate_width_mm: "build plate wide",
  plate_depth_mm: "build plate deep",
  plate_height_mm: "prints up to",
  pixel_mm: "pixel",
  layer_mm: "layer",
  margin_mm: "margin",
  lift_s: "lift and rest",
  class: "kind",
  density_g_ml: "density",
  shrinkage: "shrinkage",
  exposure_s: "exposure",
  bottom_exposure_s: "exposure of bottom layers",
  bottom_layers: "bottom layers",
  foot_mm: "first layers bulge",
  foot_height_mm: "bulge fades over",
  loss_share: "resin lost",
  stl: "also as STL",
  cure: "cure",
  ratio_a: "parts of A",
  ratio_b: "parts of B",
  ratio_by: "ratio by",
  density_a_g_ml: "density of A",
  density_b_g_ml: "density of B",
  viscosity_pa_s: "viscosity",
  working_time_min: "working time",
  cure_h: "time to demoulding",
  sheet_c: "at",
  shore_a: "hardness, Shore A",
  elongation_pct: "elongation at break",
  tear_n_mm: "tear strength",
  tensile_mpa: "tensile strength",
  post_cure_h: "post-cure",
  post_cure_c: "post-cure at",
  food_contact: "food contact, as the sheet words it",
  left_in_cup: "stays in the cups",
  bowl_factor: "melt, as a multiple",
  chocolate_loss_share: "chocolate lost",
  filling_loss_share: "filling lost",
  kind: "kind",
  allergens: "allergens",
  title: "for",
  needed: "needed on",
  boxes: "boxes",
  pitch_mm: "samples every",
  name: "name",
};

/** short is a key's label beside its number. */
export const short = (key: string) => byRule[general(key)] ?? byName[tail(key)] ?? tail(key).replaceAll("_", " ");

/** labelOf names a key wherever it stands: crest, rounded edge. */
export function labelOf(key: string, values: JobChoices | null): string {
  const s = steps(key);
  let of = "";
  if (s[0] === "piece" && typeof s[1] === "number") {
    of = String(read(values, `piece[${s[1] + 1}].name`) ?? `piece ${s[1] + 1}`);
    if (s[2] === "art" && typeof s[3] === "number" && s.length > 4) of += `, art ${s[3] + 1}`;
  } else if ((s[0] === "chocolate" || s[0] === "filling") && s.length > 2) of = String(s[1]);
  if (s.length === 2 && of) return of;
  const label = short(key);
  return of ? `${of}, ${label}` : label;
}

/** The words that an allowed value is called by, where the job file's own are too short. */
const valueWords: Record<string, string> = {
  "piece[].outline file": "from a drawing",
  "piece[].outline text": "around its letters",
  "piece[].outline mesh": "a whole body",
  "piece[].art[].as auto": "what it is",
  "piece[].art[].as tone": "tone: bright is high",
  "piece[].art[].as lines": "traced outline",
  "piece[].art[].as depth": "depth map",
  "piece[].art[].profile vee": "a ridge",
  "piece[].art[].profile round": "rounded",
  "piece[].art[].profile flat": "flat",
  "master.layout grid": "in rows",
  "master.layout packed": "packed close",
  "master.build tiles": "grow out of the base",
  "master.build loose": "loose, on pegs",
};

/** wordOf is how an allowed value reads on the page. */
export const wordOf = (key: string, value: string) => valueWords[`${general(key)} ${value}`] ?? value;
