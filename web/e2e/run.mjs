// The main paths of the workshop in a real browser, on a copy of the example.
import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { done, empty, job, number, only, path, w, width, within } from "./path.mjs";
import { settled, stages } from "./workshop.mjs";

const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const leaf = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 20" width="20mm" height="20mm"><path d="M10 1C16 6 18 12 10 19 2 12 4 6 10 1z"/></svg>`;

await path("opens the example and shows a chocolate", async (page) => {
  await settled(page, "pieces");
  assert.match(await page.locator("h1").innerText(), /crests? in dark chocolate/);
  assert.ok((await number(page, "takes")) > 5);
});

await path("changes a number, sees the volume change, takes it back", async (page) => {
  await settled(page, "pieces");
  const before = await number(page, "takes");
  await width(page).fill("44");
  await width(page).press("Enter");
  await within("a larger volume", async () => (await number(page, "takes")) > before * 1.15);
  assert.match(await job(), /width_mm\s*=\s*44/);
  assert.match(await job(), /# The Thistlewick orchard supper: an invented occasion/, "comments are kept");
  await page.locator("h1").click();
  await page.keyboard.press("Control+z");
  await within("the old volume", async () => Math.abs((await number(page, "takes")) - before) < 0.02 * before);
  await page.keyboard.press("Control+y");
  await within("the new volume", async () => (await number(page, "takes")) > before * 1.15);
  await page.keyboard.press("Control+z");
  await within("38 in the file", async () => /width_mm\s*=\s*38/.test(await job()));
});

await path("shows what will come out, flies to a remark and mends it", async (page) => {
  await settled(page, "pieces");
  const told = page.locator("#foreseen");
  await told.locator("h2").waitFor({ timeout: 60_000 });
  assert.match(await told.locator("h2").innerText(), /marks? /);
  const picture = page.locator("figure.view canvas").first();
  const look = (name) => page.locator(".pick label", { hasText: name }).click();
  const changed = async (before) =>
    within("another picture", async () => !(await picture.screenshot()).equals(before) || undefined);
  for (const name of ["As it will come out", "What changes", "Layer steps", "Where air stays"]) {
    const before = await picture.screenshot();
    await look(name);
    await changed(before);
  }
  // As drawn and as it will come out lie beside each other, below each other on a phone,
  // and turn together whichever is touched.
  await look("As it will come out");
  const caption = (words) => page.locator("figure.view text.which", { hasText: words }).boundingBox();
  const beside = [await caption("as drawn"), await caption("as it will come out")];
  assert.ok(beside[1].x > beside[0].x + 100 && Math.abs(beside[1].y - beside[0].y) < 4, "beside each other");
  const box = await picture.boundingBox();
  const halves = () =>
    Promise.all(
      [0, 1].map((i) =>
        page.screenshot({
          clip: {
            x: box.x + (i * box.width) / 2 + 40,
            y: box.y + 60,
            width: box.width / 2 - 80,
            height: box.height - 120,
          },
        }),
      ),
    );
  const unturned = await halves();
  await picture.focus();
  await page.keyboard.press("ArrowRight");
  await within("both turned", async () => (await halves()).every((h, i) => !h.equals(unturned[i])) || undefined);
  const size = page.viewportSize();
  await page.setViewportSize({ width: 390, height: 844 });
  await within("below each other", async () => {
    const [a, b] = [await caption("as drawn"), await caption("as it will come out")];
    return (b.y > a.y + 100 && Math.abs(b.x + b.width / 2 - a.x - a.width / 2) < 4) || undefined;
  });
  await page.setViewportSize(size);
  await look("What changes");
  await page.getByRole("img", { name: /micrometres/ }).waitFor();
  const before = await picture.screenshot();
  await told.getByRole("button", { name: "Show where" }).first().click();
  await page.locator("figure.view circle.asked").waitFor({ state: "attached" });
  await changed(before);
  await told.getByRole("button", { name: /^Set sealer on the print to 0\.05/ }).click();
  await within("the coat in the file", async () => /coat_mm\s*=\s*0\.05/.test(await job()));
  await within("no steps left to seal", async () => !(await told.innerText()).includes("Set sealer"), 60_000);
  await page.locator("h1").click();
  await page.keyboard.press("Control+z");
  await within("the coat taken back", async () => !(await job()).includes("coat_mm"));
});

await path("takes a drawing that is dropped", async (page) => {
  await page.goto(new URL("/#/pieces/4/1", w.address).href);
  await settled(page, "pieces");
  const data = await page.evaluateHandle((svg) => {
    const t = new DataTransfer();
    t.items.add(new File([svg], "leaf.svg", { type: "image/svg+xml" }));
    return t;
  }, leaf);
  await page.dispatchEvent("main", "dragover", { dataTransfer: data });
  await page.dispatchEvent("main", "drop", { dataTransfer: data });
  await within("the drawing in the file", async () => (await job()).includes("leaf.svg"));
  await page.getByText("leaf.svg").first().waitFor({ state: "attached" });
  await page.locator("h1").click();
  await page.keyboard.press("Control+z");
  await within("the drawing taken back", async () => !(await job()).includes("leaf.svg"));
});

await path("shows what a text editor changes", async (page) => {
  await settled(page, "pieces");
  const text = await job();
  await writeFile(w.file, text.replace('title  = "The Thistlewick orchard supper"', 'title  = "The second supper"'));
  await page.getByText("The second supper").waitFor();
  await writeFile(w.file, text.replace("[[piece]]", "[[pieces]]"));
  await page
    .getByRole("alert")
    .getByText(/line \d+/)
    .first()
    .waitFor();
  await writeFile(w.file, text);
  await page.getByText("The Thistlewick orchard supper").waitFor();
});

await path("finds a name as it is typed", async (page) => {
  await page.goto(new URL("/#/pieces/4/1", w.address).href);
  await settled(page, "pieces");
  await page.getByLabel("Whose?").fill("wilf");
  await within("Wilfreda's row", () => page.url().endsWith("/pieces/4/16"));
});

await path("moves a piece on the tray by keys", async (page) => {
  await page.goto(new URL("/#/master", w.address).href);
  await settled(page, "master");
  const first = page.locator("g.piece").first();
  await first.focus();
  await page.keyboard.press("Shift+ArrowUp");
  await within("a place in the file", async () => (await job()).includes("[[master.place]]"));
  await page.getByText("Let it be laid out by itself").waitFor();
  await page.getByText("Let it be laid out by itself").click();
  await within("the place taken out", async () => !(await job()).includes("[[master.place]]"));
});

await path("makes the fridge warmer and waits longer", async (page) => {
  await page.goto(new URL("/#/kitchen", w.address).href);
  await settled(page, "kitchen");
  await page.locator("#fridge svg").first().waitFor();
  const before = await number(page, "capped, it lets go after");
  assert.ok(before > 8 && before < 49, `${before} min`);
  await page.getByRole("slider", { name: /^fridge/ }).fill("14");
  await within("a longer wait", async () => (await number(page, "capped, it lets go after")) > before + 2);
  assert.match(await job(), /fridge_c\s*=\s*\[12, 14, 16\]/, "the range moves as a whole");
  await page.locator("h1").click();
  await page.keyboard.press("Control+z");
  await within("the old wait", async () => (await number(page, "capped, it lets go after")) === before);
});

await path("takes what is suggested for a filling", async (page) => {
  await page.goto(new URL("/#/kitchen", w.address).href);
  await settled(page, "kitchen");
  const text = await job();
  await page.locator("summary", { hasText: "Which fillings?" }).click();
  await page.locator("#n-filling-honey-ganache-recipe").selectOption("dark ganache");
  const article = page.getByRole("article", { name: "honey ganache" });
  await article.getByText("it may not last").waitFor();
  await article.getByRole("button", { name: /^Cream from 120 g to \d+ g/ }).click();
  await article.getByText("It outlives the 14 days").waitFor();
  assert.match(await job(), /ingredients_g\s*=\s*\{.*"cream" = \d+/);
  assert.doesNotMatch(await job(), /recipe\s*=\s*"dark ganache"/);
  await page.locator("h1").click();
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await within("the job as it was", async () => (await job()) === text);
});

await path(
  "pours rubber: clocks outlive a reload, the scale changes the words, a clean test opens the gate",
  async (page, context) => {
    const at = new URL("/#/pour", w.address).href;
    const shows = (what, on = page) =>
      within(String(what), async () =>
        what.test(
          await on
            .locator("main")
            .innerText()
            .catch(() => ""),
        ),
      );
    page.on("dialog", (d) => d.accept());
    await page.goto(at);
    await settled(page, "pour");
    assert.match(await page.locator("h1").innerText(), /^Not released yet/);
    await page.getByLabel("A in cup 1, really weighed, g").fill("200");
    await page.getByLabel("A in cup 1, really weighed, g").press("Enter");
    await shows(/To 200\.0\s*g of A belong 200\.0\s*g of B/);
    await page.getByLabel("B in cup 1, really weighed, g").fill("150,5");
    await page.getByLabel("B in cup 1, really weighed, g").press("Enter");
    await shows(/Too little B.*add 49\.5\s*g of B/s);
    await page.getByRole("button", { name: "I begin to stir cup 1" }).click();
    const left = (on) => on.getByRole("timer").first().innerText();
    await within("the clock", async () => /^\d+:\d\d$/.test(await left(page)));
    await page.reload();
    await settled(page, "pour");
    await shows(/Too little B/);
    const kept = await left(page);
    assert.match(kept, /^(4:00|3:\d\d)$/);
    // The tablet beside shows the same, and so does the laptop when its lid is opened again.
    const tablet = await context.newPage();
    await tablet.goto(at);
    await shows(/Too little B/, tablet);
    assert.ok((await left(tablet)) <= kept, "the clock went on");
    await tablet.getByRole("button", { name: "Give this pour up" }).waitFor();
    await tablet.close();
    // A cup beyond the plan goes where the person says, and outlives a reload as well.
    await page.getByRole("radio", { name: /^tray 2/ }).check();
    await page.getByRole("button", { name: "Weigh one more cup" }).click();
    await page.getByLabel("A in cup 5, really weighed, g").fill("60");
    await page.getByLabel("A in cup 5, really weighed, g").press("Enter");
    await shows(/To 60\.0\s*g of A belong 60\.0\s*g of B/);
    await page.reload();
    await settled(page, "pour");
    await shows(/Cup 5, beyond the plan, into tray 2/);
    await page.getByLabel("B in cup 5, really weighed, g").fill("60");
    await page.getByLabel("B in cup 5, really weighed, g").press("Enter");
    await shows(/With it tray 2 is filled up to/);
    await page.getByRole("button", { name: "I begin to stir cup 5" }).waitFor();
    // This device's clock alone is set back: the workshop's counts. Then that one is, too.
    const running = await left(page);
    const set = (ms) =>
      page.evaluate((by) => {
        const real = Date.now;
        Date.now = () => real() + by;
      }, ms);
    await set(-3600_000);
    await page.waitForTimeout(1500);
    assert.ok((await left(page)) <= running, "a tablet that is off shows the workshop's time");
    assert.equal(await page.getByRole("alert").filter({ hasText: "The clock went back" }).count(), 0);
    await page.reload();
    await settled(page, "pour");
    await page.evaluate((by) => {
      const [now, ask] = [Date.now, window.fetch];
      Date.now = () => now() + by;
      window.fetch = async (...a) => {
        const r = await ask(...a);
        const headers = new Headers(r.headers);
        headers.set("Date", new Date(Date.parse(r.headers.get("Date")) + by).toUTCString());
        return Object.defineProperty(r, "headers", { value: headers });
      };
    }, -3600_000);
    await shows(/The clock went back by 1\s*h/);
    assert.ok((await left(page)) <= running, "what went back is taken off");
    await page.getByRole("button", { name: /began 1\s*h earlier/ }).click();
    await within(
      "no alert",
      async () => (await page.getByRole("alert").filter({ hasText: "The clock went back" }).count()) === 0,
    );
    assert.ok((await left(page)) <= running, "and stays off");
    await page.reload();
    await settled(page, "pour");
    await page
      .getByRole("button", { name: /^Judge it/ })
      .first()
      .click();
    await page.getByRole("button", { name: /^Clean/ }).click();
    await within("the gate open", async () => /^Released/.test(await page.locator("h1").innerText()));
    await page.getByRole("button", { name: "Give this pour up" }).click();
    await within(
      "a new pour",
      async () => (await page.getByRole("button", { name: "I begin to stir cup 1" }).count()) === 1,
    );
    await within("no verdict", async () => !/Too little B/.test(await page.locator("main").innerText()));
  },
);

await path("stops a long build", async (page) => {
  await settled(page, "pieces");
  await page.getByRole("button", { name: "Make everything" }).first().click();
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByRole("status").getByText("stopped").waitFor();
});

await path("makes everything and downloads a plate", async (page) => {
  await settled(page, "pieces");
  await page.getByRole("button", { name: "Make everything" }).first().click();
  await page
    .getByRole("status")
    .getByText(/made, revision/)
    .waitFor({ timeout: 300_000 });
  await page.goto(new URL("/#/plates", w.address).href);
  await settled(page, "plates");
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page
      .getByRole("link", { name: /^Take plate/ })
      .first()
      .click(),
  ]);
  const got = await readFile(await download.path());
  const digest = createHash("sha256").update(got).digest("hex");
  assert.match(await page.locator(".digest").innerText(), new RegExp(digest));
  await page.locator("#layer").fill("40");
  await within("the image of a layer", () =>
    page.evaluate(() => document.querySelector("svg image")?.getAttribute("href")?.includes("/layer/40.png")),
  );
  if (process.env.KEEP) await page.screenshot({ path: join(process.env.KEEP, "layer.png") });
  const out = await mkdtemp(join(tmpdir(), "out-"));
  const program = process.env.MOULDWRIGHT ?? new URL("../../mouldwright", import.meta.url).pathname;
  await promisify(execFile)(program, ["build", w.file, "-o", out], { timeout: 300_000 });
  const plan = JSON.parse(await readFile(join(out, "plan.json"), "utf8"));
  assert.ok(
    got.equals(await readFile(join(out, plan.plates[0].file))),
    "the page's file and the command line's are the same bytes",
  );
  await rm(out, { recursive: true });
});

await path("prints again what failed, and takes layer images", async (page) => {
  await page.goto(new URL("/#/plates", w.address).href);
  await settled(page, "plates");
  const make = page.getByRole("button", { name: "Make everything" }).first();
  if (only) await make.click(); // else the path before has made it
  await page.getByRole("link", { name: /^Take its \d+ layer images/ }).waitFor({ timeout: 300_000 });
  const code = (await page.locator("#files-title b").innerText()).trim();
  const plan = await page.evaluate(async () => (await fetch("/api/out/plan.json")).json());
  const plate = plan.plates[0];
  const program = process.env.MOULDWRIGHT ?? new URL("../../mouldwright", import.meta.url).pathname;
  const told = ["at=2026-11-19T10:00:00Z", "plate=1", `code=${code}`, `failed=${plate.parts[0]}`];
  await promisify(execFile)(program, ["record", "add", "print", w.file, ...told]);
  const again = page.locator(".again");
  await again.getByRole("button", { name: "Print it again" }).click();
  assert.deepEqual(await again.locator("input:checked").count(), 1);
  const take = async (link) => {
    const [download] = await Promise.all([page.waitForEvent("download"), link.click()]);
    return readFile(await download.path());
  };
  const one = again.getByRole("link", { name: "Take the plate" });
  await again.getByText("One part,").waitFor();
  assert.equal((await take(one)).subarray(0, 2).toString(), "PK");
  // A second one, ticked by hand.
  await again.locator("input:not(:checked)").first().check();
  await within("plates of both, on one or on two", async () => {
    const text = await again.innerText();
    return /Two\sparts,/.test(text) || text.match(/One\spart,/g)?.length === 2;
  });
  assert.equal((await take(one.last())).subarray(0, 2).toString(), "PK");
  const zip = await take(page.getByRole("link", { name: /^Take its \d+ layer images/ }));
  // The end of a zip's directory counts its entries: an index, and an image for each layer.
  const end = zip.lastIndexOf(Buffer.from("PK\x05\x06", "latin1"));
  assert.ok(end > 0 && zip.includes("index.json"));
  assert.equal(zip.readUInt16LE(end + 10), plate.layers + 1);
});

await path("makes coupons, reads a caliper, takes the readings into the job", async (page) => {
  await page.goto(new URL("/#/plates", w.address).href);
  await settled(page, "plates");
  await page.getByRole("button", { name: "Make the coupons" }).click();
  const field = (name) => page.locator(`#coupon-size-${name}`);
  await page.locator('input[name="coupon-kind"][value="size"]').check({ force: true, timeout: 60_000 });
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("link", { name: "Take measure.3mf" }).click(),
  ]);
  assert.equal((await readFile(await download.path())).subarray(0, 2).toString(), "PK");
  for (const l of [10, 20, 30, 40]) await field(`X${l}`).fill((l * 0.995 + 0.06).toFixed(2));
  for (const l of [6, 12, 18, 24]) await field(`X${l}`).fill((l * 0.995 - 0.06).toFixed(2));
  const coupons = page.locator(".coupons");
  await coupons.getByText("0.50\u00a0%", { exact: true }).waitFor();
  await field("X30").fill("28.9");
  await coupons.getByText(/does not go with the other readings/).waitFor();
  assert.equal(await coupons.getByRole("button", { name: "Take these readings" }).count(), 0);
  await field("X30").fill("29.91");
  const before = await job();
  await coupons.getByRole("button", { name: "Take these readings" }).click();
  await within("the readings in the job", async () => (await job()).includes("[coupon.readings_mm]"));
  await coupons.getByText(/Measured so far: .*light bleed/).waitFor({ timeout: 60_000 });
  await page.evaluate(axe);
  const found = await page.evaluate(() => globalThis.axe.run(".coupons"));
  assert.deepEqual(
    found.violations.map((v) => `${v.id}: ${v.nodes[0]?.target}`),
    [],
  );
  await page.locator("h1").click();
  await page.keyboard.press("Control+z");
  await within("the job without the readings", async () => (await job()) === before);
});

// What happened.
await import("./record.mjs");

await path("prints every page", async (page) => {
  for (const stage of stages) {
    await page.goto(new URL(`/#/${stage}`, w.address).href);
    await settled(page, stage);
    await page.waitForTimeout(1500);
    for (const format of ["A4", "Letter"]) {
      const pdf = await page.pdf({
        format,
        printBackground: true,
        preferCSSPageSize: false,
        ...(process.env.KEEP ? { path: join(process.env.KEEP, `${stage}-${format}.pdf`) } : {}),
      });
      assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
    }
  }
});

// Boxes, calendar, shopping.
await import("./plan.mjs");

await path("has no serious barrier on any page", async (page) => {
  const check = async (what) => {
    await page.evaluate(axe);
    const found = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
    const serious = found.violations.filter((v) => v.impact === "serious" || v.impact === "critical");
    assert.deepEqual(
      serious.map(
        (v) =>
          `${what}: ${v.id}: ${v.nodes
            .slice(0, 3)
            .map((n) => `${n.target} ${n.failureSummary}`)
            .join(" | ")}`,
      ),
      [],
    );
  };
  for (const scheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme: scheme });
    for (const stage of stages) {
      await page.goto(new URL(`/#/${stage}`, w.address).href);
      await settled(page, stage);
      await page.evaluate(() => {
        for (const d of document.querySelectorAll("details")) d.open = true;
      });
      await page.waitForTimeout(400);
      await check(`${stage}, ${scheme}`);
    }
    await page.getByRole("button", { name: /remark/ }).click();
    await check(`remarks, ${scheme}`);
    await page.keyboard.press("Escape");
  }
});

await path("fits a phone, with everything open", async (page) => {
  await page.setViewportSize({ width: 390, height: 844 });
  for (const stage of stages) {
    await page.goto(new URL(`/#/${stage}`, w.address).href);
    await settled(page, stage);
    await page.evaluate(() => {
      for (const d of document.querySelectorAll("details")) d.open = true;
    });
    await page.waitForTimeout(400);
    // What is wider stands within a frame of its own that can be pushed.
    const wide = await page.evaluate(() =>
      document.documentElement.scrollWidth <= innerWidth
        ? []
        : [...document.querySelectorAll("main *")]
            .filter((e) => {
              if (e.getBoundingClientRect().right <= innerWidth + 1) return false;
              for (let p = e.parentElement; p; p = p.parentElement)
                if (getComputedStyle(p).overflowX !== "visible") return false;
              return true;
            })
            .map((e) => `${e.tagName}.${e.className} ends at ${Math.round(e.getBoundingClientRect().right)}`)
            .slice(0, 5),
    );
    assert.deepEqual(wide, [], stage);
  }
});

await path(
  "begins with four answers",
  async (page) => {
    await page.getByLabel("for whom or what").fill("The Quillon christening");
    await page.getByLabel(/their names/).fill("Ysoline\nBexhild\nPerrin");
    await page.getByRole("button", { name: "Make the first pieces" }).click();
    await settled(page, "pieces");
    assert.ok((await number(page, "weighs")) > 1);
    await page.getByText("The Quillon christening").waitFor();
  },
  empty,
);

await done();
