// What happened: batches, boxes, traces, times, and what is at home.
import { execFile } from "node:child_process";
import { promisify } from "node:util";
import { path, w, within } from "./path.mjs";
import { settled } from "./workshop.mjs";

await path("keeps what happened, traces it, and knows the right file", async (page, context) => {
  await page.goto(new URL("/#/record", w.address).href);
  await settled(page, "record");
  const ask = async (question) => page.locator("summary", { hasText: question }).click();
  await ask("What was made in the kitchen?");
  await page.getByLabel("batch, as written on it").fill("K7");
  await page.getByLabel("of", { exact: true }).first().fill("bee");
  await page.getByLabel("good ones, or mass").fill("12");
  await page.getByLabel(/what went in/).fill("dark chocolate L12 500\ncream C9");
  await page.getByRole("button", { name: "Keep the batch" }).click();
  await page.getByText("Kept: batch K7").first().waitFor();
  await ask("What was boxed?");
  await page.getByLabel("box, as on its label").fill("B1");
  await page.getByLabel("for", { exact: true }).fill("Ysoline");
  await page.getByLabel("bee of K7").fill("2");
  await page.getByRole("button", { name: "Keep the box" }).click();
  await page.getByText("Kept: box B1").first().waitFor();
  await page.getByLabel("A box, a batch, a lot, or a name").fill("c9");
  await page.getByRole("button", { name: "Trace it" }).click();
  await page.getByRole("cell", { name: "Ysoline" }).waitFor();
  // Another window, and the command line, lose nothing of each other.
  const other = await context.newPage();
  await other.goto(new URL("/#/record", w.address).href);
  await settled(other, "record");
  const program = process.env.MOULDWRIGHT ?? new URL("../../mouldwright", import.meta.url).pathname;
  await promisify(execFile)(program, ["record", "add", "point", w.file, "words=the window is shut"]);
  await promisify(execFile)(program, ["record", "add", "mould", w.file, "name=first mould"]);
  for (const p of [page, other]) await p.getByText("first mould: filled 0 times").waitFor();
  await page.getByLabel(/The code on the part/).fill("0000001");
  await page.getByRole("button", { name: "Look it up" }).click();
  await page.getByText("Misread.").waitFor();
});

await path("learns from real times, and draws down what is at home", async (page) => {
  await page.goto(new URL("/#/kitchen", w.address).href);
  await settled(page, "kitchen");
  const place = page.locator("section.place");
  await place.getByLabel("how long it took").selectOption({ label: "making fillings" });
  for (const minutes of ["70", "80", "75"]) {
    await place.getByLabel("minutes").fill(minutes);
    await place.getByRole("button", { name: "Keep this time" }).click();
    await within("the time is kept", async () => (await place.getByLabel("minutes").inputValue()) === "");
  }
  await place
    .getByText(/Making a filling: 1\sh\s15\smin for each filling .* from 3 times/)
    .waitFor({ timeout: 60_000 });
  const learn = place.getByLabel("let real times correct the plan");
  await learn.click();
  await place.getByText(/Not taken: learn = false/).waitFor({ timeout: 60_000 });
  await learn.click();
  await place.getByText(/from 3 times in the record\.$/).waitFor({ timeout: 60_000 });
  // A lot came in; a batch draws it down by itself, and gives it back when it is struck out.
  const program = process.env.MOULDWRIGHT ?? new URL("../../mouldwright", import.meta.url).pathname;
  const told = ["what=dark chocolate", "amount=1000", "unit=g", "lot=L77"];
  await promisify(execFile)(program, ["record", "add", "stock", w.file, ...told]);
  await place.getByRole("button", { name: "dark chocolate L77" }).click();
  await place.getByLabel("batch, as written on it").fill("K9");
  await place.getByLabel("of", { exact: true }).fill("bee");
  await place.getByLabel("good ones, or mass").fill("9");
  await place.getByLabel(/what went in/).fill("dark chocolate L77 250");
  await place.getByRole("button", { name: "Keep the batch" }).click();
  await page.goto(new URL("/#/record", w.address).href);
  await settled(page, "record");
  await page.getByText(/750.g left of 1000.g, lot L77/).waitFor();
  await page
    .getByRole("listitem")
    .filter({ hasText: "K9: 9 pieces of bee" })
    .first()
    .getByRole("button")
    .first()
    .click();
  await page.getByRole("button", { name: "Strike it out" }).click();
  await page.getByText(/1000.g left of 1000.g, lot L77/).waitFor();
});
