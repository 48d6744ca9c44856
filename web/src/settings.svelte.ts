// What a person prefers on this device: kept here, not in the job.
import { type System, type Words, words } from "./unit";

export type Light = "auto" | "paper" | "night";
export type Paper = "A4" | "Letter";

const kept = (key: string, otherwise: string) => {
  try {
    return localStorage.getItem(`mouldwright.${key}`) ?? otherwise;
  } catch {
    return otherwise; // storage may be shut off
  }
};

class Settings {
  system = $state<System>(kept("system", "metric") === "us" ? "us" : "metric");
  light = $state<Light>(kept("light", "auto") as Light);
  bench = $state(kept("bench", "no") === "yes");
  paper = $state<Paper>(kept("paper", "A4") === "Letter" ? "Letter" : "A4");
  night = $state(false);

  words: Words = $derived(words(this.system));

  keep(key: string, value: string) {
    try {
      localStorage.setItem(`mouldwright.${key}`, value);
    } catch {
      // storage may be shut off
    }
  }
}

export const settings = new Settings();

/** applySettings writes the choices onto the page; call it in an effect. */
export function applySettings() {
  const dark = matchMedia("(prefers-color-scheme: dark)");
  settings.night = settings.light === "night" || (settings.light === "auto" && dark.matches);
  const root = document.documentElement;
  root.dataset.light = settings.night ? "night" : "paper";
  root.dataset.hands = settings.bench ? "bench" : "table";
  root.dataset.paper = settings.paper;
  settings.keep("system", settings.system);
  settings.keep("light", settings.light);
  settings.keep("bench", settings.bench ? "yes" : "no");
  settings.keep("paper", settings.paper);
}
