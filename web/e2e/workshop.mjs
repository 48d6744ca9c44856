// Starts the program on a copy of a job, and a browser that looks at it.
import { spawn } from "node:child_process";
import { readdirSync } from "node:fs";
import { cp, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const here = dirname(fileURLToPath(import.meta.url));
export const root = resolve(here, "../..");
const program = process.env.MOULDWRIGHT ?? join(root, "mouldwright");

/** workshop serves a copy of a job's folder; without one, an empty folder. */
export async function workshop(example) {
  const dir = await mkdtemp(join(tmpdir(), "workshop-"));
  const folder = join(dir, example ?? "gifts");
  if (example) await cp(join(root, "examples", example), folder, { recursive: true });
  const child = spawn(program, ["serve", "--no-open", folder], {
    stdio: ["ignore", "pipe", "pipe"],
    env: { ...process.env, SOURCE_DATE_EPOCH: "1795000000" }, // 18 November 2026, whatever the day
  });
  let said = "";
  child.stderr.on("data", (d) => {
    said += d;
  });
  const address = await new Promise((good, bad) => {
    const late = setTimeout(() => bad(new Error(`the workshop did not open: ${said}`)), 20_000);
    child.stdout.on("data", (d) => {
      const m = /http:\S+/.exec(String(d));
      if (m) {
        clearTimeout(late);
        good(m[0]);
      }
    });
    child.on("exit", (code) => bad(new Error(`the workshop ended with ${code}: ${said}`)));
  });
  return {
    address,
    folder,
    file: join(folder, "job.toml"),
    async close() {
      const ended = new Promise((r) => child.once("exit", r));
      child.kill("SIGTERM");
      await Promise.race([ended, new Promise((r) => setTimeout(r, 6000))]);
      child.kill("SIGKILL");
      await rm(dir, { recursive: true, force: true });
    },
  };
}

export const browser = () =>
  chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: [
      "--no-sandbox",
      "--use-gl=angle",
      "--use-angle=swiftshader",
      "--enable-unsafe-swiftshader",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      "--no-first-run",
    ],
  });

/** watch collects everything that goes wrong on a page. */
export function watch(page) {
  const wrong = [];
  page.on("pageerror", (e) => wrong.push(`error: ${e.message}`));
  page.on("console", (m) => {
    // A layer that is not there yet is a plain 404; what changed while it was made, a 409: the page asks again.
    if (m.type() === "error" && !/404|409/.test(m.text())) wrong.push(`console: ${m.text()}`);
  });
  return wrong;
}

/** All pages: each has a folder of its name. */
export const stages = readdirSync(join(root, "web/src/stages")).filter((name) => name !== "begin");

/** settled waits until the page of a stage shows what it is about. */
export async function settled(page, stage) {
  await page.waitForFunction(
    () => !/…|One moment|being/.test(document.querySelector("h1")?.textContent ?? "One moment"),
    null,
    {
      timeout: 60_000,
    },
  );
  if (stage === "pieces") await page.locator("#follows .number").first().waitFor({ timeout: 60_000 });
}
