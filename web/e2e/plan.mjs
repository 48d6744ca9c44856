// The paths of what is decided for the table and the days: boxes, calendar, shopping.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { job, path, w, within } from "./path.mjs";
import { settled } from "./workshop.mjs";

await path("deals the pieces to the guests, and again when one cannot eat milk", async (page) => {
  await page.goto(new URL("/#/box", w.address).href);
  await settled(page, "box");
  await page.getByText("who cannot eat everything").click();
  await page.getByRole("button", { name: "Bexhild" }).click();
  await page.getByRole("heading", { name: /Bexhild.*no milk/ }).waitFor();
  const row = (name) => page.getByRole("row", { name: new RegExp(`^${name}`) });
  assert.match(await row("Bexhild").innerText(), /three crests/);
  await page.getByText("everybody", { exact: true }).click();
  assert.match(await row("Thessamy").innerText(), /pears and bee/);
  await page.getByRole("button", { name: "Thessamy" }).click();
  await page.getByRole("textbox", { name: "cannot eat" }).fill("milk");
  await page.getByRole("textbox", { name: "cannot eat" }).blur();
  await page.getByRole("heading", { name: /Thessamy.*no milk/ }).waitFor({ timeout: 60_000 });
  assert.match(await row("Thessamy").innerText(), /three crests/);
  assert.match(await readFile(join(w.folder, "guests.csv"), "utf8"), /^Thessamy,1,milk,,$/m);
  await page.getByRole("textbox", { name: "cannot eat" }).fill("");
  await page.getByRole("textbox", { name: "cannot eat" }).blur();
  await page.getByRole("heading", { name: "Thessamy", exact: true }).waitFor({ timeout: 60_000 });
});

await path("counts the days back, and plans anew when it happened late", async (page) => {
  await page.goto(new URL("/#/calendar", w.address).href);
  await settled(page, "calendar");
  await page.locator("figure svg").first().waitFor({ timeout: 60_000 });
  // The same in words: every task of the drawing stands below on its day.
  const drawn = await page.locator("figure button").count();
  assert.ok(drawn > 30, `${drawn} tasks`);
  const was = await page.locator("h1").innerText();
  await page.locator("#n-calendar-wednesday").fill("evening");
  await page.locator("#n-calendar-wednesday").press("Tab");
  await page.getByText("hours such as 18:30-21:30").waitFor();
  await page.locator("#n-calendar-wednesday").fill("19:00-22:00");
  await page.locator("#n-calendar-wednesday").press("Tab");
  await within("Wednesday in the file", async () => /wednesday\s*=\s*\["19:00-22:00"\]/.test(await job()));
  await page.locator("h1").click();
  await page.keyboard.press("Control+z");
  await within("the old Wednesday", async () => /wednesday\s*=\s*\[\]/.test(await job()));
  // The order went out now: the calendar goes on from here.
  await page.locator(".task", { hasText: "Order what is missing" }).getByRole("button", { name: "It is done" }).click();
  await within("a plan from now on", async () => /done|late/.test(await page.locator("h1").innerText()));
  assert.notEqual(await page.locator("h1").innerText(), was);
  await page.locator("figure button", { hasText: "✓ order what is missing" }).waitFor();
});

await path("lists what to buy, takes a price and ticks", async (page) => {
  await page.goto(new URL("/#/shopping", w.address).href);
  await settled(page, "shopping");
  const row = page.locator("li", { hasText: "Lemon juice" });
  await row.getByRole("button", { name: "What does it cost?" }).click();
  await row.getByLabel("price").fill("1.90");
  await row.getByLabel("for", { exact: true }).fill("200");
  await row.getByRole("button", { name: "Keep the price" }).click();
  await within("the price in the file", async () => /what\s*=\s*"lemon juice"/.test(await job()));
  await within("its cost", async () => /1\.90/.test(await row.innerText()));
  await page.getByLabel("Gift boxes", { exact: true }).check();
  assert.match(await page.locator("h1").innerText(), /of/);
  await page.reload();
  await settled(page, "shopping");
  assert.ok(await page.getByLabel("Gift boxes", { exact: true }).isChecked(), "the tick is kept");
});
