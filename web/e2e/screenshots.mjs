// A picture of every page, in light and dark, at desk and tablet size, in screenshots/.
import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { browser, root, settled, stages, watch, workshop } from "./workshop.mjs";

const into = join(root, "screenshots");
await mkdir(into, { recursive: true });
const sizes = { desk: [1440, 900], tablet: [1024, 768], upright: [768, 1024] };
const w = await workshop("orchard");
const empty = await workshop();
const b = await browser();
let bad = 0;
try {
  for (const [size, [width, height]] of Object.entries(sizes))
    for (const light of ["light", "dark"]) {
      const context = await b.newContext({ viewport: { width, height }, colorScheme: light });
      const page = await context.newPage();
      const wrong = watch(page);
      const shot = (name, full = false) =>
        page.screenshot({ path: join(into, `${name}-${size}-${light}.png`), fullPage: full });
      await page.goto(w.address);
      for (const stage of stages) {
        await page.goto(new URL(`/#/${stage}`, w.address).href);
        await settled(page, stage);
        await page.waitForTimeout(stage === "pieces" ? 2500 : 900);
        await shot(stage);
        if (stage === "pieces") {
          await page.goto(new URL("/#/pieces/2/1", w.address).href);
          await page.getByText("Cut open").click();
          await page.waitForTimeout(2500);
          await shot("pieces-cut");
          await page.goto(new URL("/#/pieces/4/12", w.address).href);
          await page.getByText("Draft of its walls").click();
          await page.waitForTimeout(2500);
          await shot("pieces-draft");
        }
        if (stage === "master") {
          await page.getByText("In the round").click();
          await page.waitForTimeout(2500);
          await page.locator("#level").fill("11");
          await page.waitForTimeout(800);
          await shot("master-round");
        }
        if (stage !== "master") await shot(`${stage}-whole`, true);
      }
      await page.goto(new URL("/#/pieces", w.address).href);
      await page.getByRole("button", { name: /remark/ }).click({ timeout: 90_000 });
      await page.waitForTimeout(300);
      await shot("remarks");
      await page.keyboard.press("Escape");
      if (size !== "desk") {
        await page.goto(new URL("/#/pour", w.address).href);
        await settled(page, "pour");
        await page.getByText("at the bench").click();
        await page.waitForTimeout(600);
        await shot("pour-bench", true);
      }
      await page.goto(empty.address);
      await page.waitForTimeout(900);
      await shot("begin", true);
      for (const e of wrong) {
        bad++;
        console.error(`${size} ${light}: ${e}`);
      }
      await context.close();
    }
} finally {
  await b.close();
  await w.close();
  await empty.close();
}
console.log(`the pictures lie in ${into}`);
if (bad) process.exitCode = 1;
