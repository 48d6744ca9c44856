/** What the two sets of rules call the groups of allergens; in the United States five of the fourteen are none. */
const eu: Record<string, string> = {
  gluten: "cereals containing gluten",
  soya: "soybeans",
  sulphites: "sulphur dioxide and sulphites",
};
const us: Record<string, string> = {
  gluten: "wheat",
  crustaceans: "crustacean shellfish",
  soya: "soybeans",
  nuts: "tree nuts",
  celery: "",
  mustard: "",
  sulphites: "",
  lupin: "",
  molluscs: "",
};

/** called names groups as the rules do. */
export function called(keys: string[], rules: string): string[] {
  const names = rules === "US" ? us : eu;
  return keys.map((k) => names[k] ?? k).filter((s) => s !== "");
}
