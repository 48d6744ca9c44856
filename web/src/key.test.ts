import { expect, it } from "vitest";
import type { JobChoices } from "./api";
import { general, named, read, steps, tail } from "./key";

it("parts a key", () => {
  expect(steps("piece[2].art[1].depth_mm")).toEqual(["piece", 1, "art", 0, "depth_mm"]);
  expect(steps('filling."pear caramel".density_g_ml')).toEqual(["filling", "pear caramel", "density_g_ml"]);
});
it("reads a value", () => {
  const v = { piece: [{ name: "a" }, { art: [{ depth_mm: 0.7 }] }] } as unknown as JobChoices;
  expect(read(v, "piece[2].art[1].depth_mm")).toBe(0.7);
  expect(read(v, "piece[3].art[1].depth_mm")).toBeUndefined();
  expect(read(null, "piece")).toBeUndefined();
});
it("finds the rule's key", () => {
  expect(general("piece[2].art[1].depth_mm")).toBe("piece[].art[].depth_mm");
  expect(general('filling."pear caramel".allergens')).toBe("filling.*.allergens");
  expect(general("master.gap_mm")).toBe("master.gap_mm");
});
it("quotes a name where it must", () => {
  expect(named("dark")).toBe("dark");
  expect(named("pear caramel")).toBe('"pear caramel"');
  expect(steps(`filling.${named('a "b" c')}`)).toEqual(["filling", 'a "b" c']);
});
it("knows the last name", () => {
  expect(tail("piece[1].height_mm")).toBe("height_mm");
});
