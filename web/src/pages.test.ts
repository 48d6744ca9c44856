import { readdirSync } from "node:fs";
import { expect, it } from "vitest";
import { pageOf, pages } from "./pages";

it("knows the page of a key", () => {
  expect(pageOf("piece[2].edge_mm (Ysoline)")).toBe("pieces");
  expect(pageOf("silicone.cure")).toBe("pour");
  expect(pageOf("mould.sag_mm")).toBe("pour");
  expect(pageOf("cure_test.pad_mm")).toBe("pour");
  expect(pageOf("printer.layer_mm")).toBe("plates");
});
it("has a folder for each page, and none for what is no page but the beginning", () => {
  expect(new Set(readdirSync("src/stages"))).toEqual(new Set([...pages, "begin"]));
});
