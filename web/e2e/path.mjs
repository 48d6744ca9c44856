// What every path of run.mjs stands on: a workshop on a copy of the example and an empty one,
// a browser, and words for what a path looks at.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { browser, watch, workshop } from "./workshop.mjs";

/** w is a workshop on a copy of the example, empty one whose job is still to be begun. */
export const w = await workshop("orchard");
export const empty = await workshop();
const b = await browser();
/** only is what the name of a path must hold to be walked. */
export const only = process.argv[2];
let failed = 0;

/** path runs one path on a page of its own. */
export async function path(name, run, at = w) {
  if (only && !name.includes(only)) return;
  const context = await b.newContext({ viewport: { width: 1440, height: 900 }, acceptDownloads: true });
  const page = await context.newPage();
  const wrong = watch(page);
  const began = Date.now();
  try {
    await page.goto(at.address);
    await run(page, context);
    assert.deepEqual(wrong, []);
    console.log(`good  ${name}  ${((Date.now() - began) / 1000).toFixed(1)} s`);
  } catch (e) {
    failed++;
    console.error(`BAD   ${name}\n      ${e.message.replaceAll("\n", "\n      ")}`);
  }
  await context.close();
}

const figure = (page, what) => page.locator(".figure", { hasText: what }).locator(".number").first();
export const number = async (page, what) => Number.parseFloat(await figure(page, what).innerText());
export const width = (page, k = 1) => page.locator(`#n-piece-${k}-width-mm`);
export const job = () => readFile(w.file, "utf8");
export const within = async (what, test, ms = 20_000) => {
  const end = Date.now() + ms;
  while (true) {
    const got = await test();
    if (got) return got;
    if (Date.now() > end) throw new Error(`not within ${ms / 1000} s: ${what}`);
    await new Promise((r) => setTimeout(r, 50));
  }
};

/** done closes everything and tells how many paths are bad. */
export async function done() {
  await b.close();
  await w.close();
  await empty.close();
  if (failed) {
    console.error(`${failed} paths are bad`);
    process.exitCode = 1;
  }
}
