// What every browser test needs: a browser, a visitor who has come in, and words for what went wrong.
import { createRequire } from "node:module";
import assert from "node:assert/strict";

const require = createRequire(`${process.env.PROPAGULE_PLAYWRIGHT}/`);
const { chromium } = require("playwright-core");
const AXE = require("axe-core").source;

export const PHONE = { width: 360, height: 740 };
export const DESK = { width: 1280, height: 900 };
/** The one-time address lets one browser in; its cookies are handed to every later context. */
let cookies;

export async function withBrowser(work) {
  const browser = await chromium.launch({
    executablePath: process.env.PROPAGULE_CHROMIUM,
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
      "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage"],
  });
  try {
    return await work(browser);
  } finally {
    await browser.close();
  }
}

/** A context that has come in, and a page in it; whatever the page complains of is an error of the test. */
export async function visitor(browser, options = {}) {
  const context = await browser.newContext({ viewport: PHONE, reducedMotion: "reduce", ...options });
  if (cookies) await context.addCookies(cookies);
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  page.complaints = [];
  page.on("console", (message) => {
    if (message.type() === "error" && !isExpected(message.text())) page.complaints.push(message.text());
  });
  page.on("pageerror", (error) => page.complaints.push(String(error)));
  if (!cookies) {
    await page.goto(process.env.PAGE);
    await page.waitForURL("**/today");
    cookies = await context.cookies();
  }
  page.open = (path) => page.goto(new URL(path, process.env.PAGE).href);
  return page;
}

/** Refused forms and cut lines are part of some tests. */
function isExpected(text) {
  return /status of (422|403|404)|ERR_INTERNET_DISCONNECTED/.test(text);
}

/** Everything axe-core finds on the page. */
export async function findings(page, tags) {
  await page.evaluate(AXE);
  const found = await page.evaluate((runOnly) => window.axe.run(document, { runOnly, resultTypes: ["violations"] }), tags);
  return found.violations.map((rule) => `${rule.id}: ${rule.help}: ${rule.nodes.map((node) => node.target.join(" ")).slice(0, 3).join(", ")}`);
}

export const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** Every page that links lead to, each kind of address at most twice; files to keep are no pages. */
export async function* crawl(page, from = ["/today"]) {
  const seen = new Set();
  const kinds = new Map();
  const waiting = [...from];
  while (waiting.length > 0) {
    const path = waiting.shift();
    const kind = path.replace(/\/trial\/[^/?]+/, "/trial/X").replace(/\/spot\/[^/?]+/, "/spot/X")
      .replace(/publish\/(?!place)[^/?]+/, "publish/X").replace(/=[^&]*/g, "=").replace(/\d+/g, "N");
    if (seen.has(path) || (kinds.get(kind) ?? 0) >= 2 || /\.(ics|csv|json)(\?|$)/.test(path)) continue;
    seen.add(path);
    kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
    const response = await page.open(path);
    yield { path, kind, response };
    const links = await page.$$eval("a[href]", (all) => all.map((a) => a.href));
    for (const link of links) {
      const url = new URL(link);
      assert.equal(url.origin, new URL(process.env.PAGE).origin, `a link leads away: ${link}`);
      waiting.push(url.pathname + url.search);
    }
  }
}

/** Presses the chip of that name in the group of that name. */
export async function choose(within, group, name) {
  await within.getByRole("group", { name: group, exact: true }).getByRole("radio", { name }).first().check();
}

/** The card of a treatment that is being set up. */
export const treatment = (page, number) => page.getByRole("group", { name: `Treatment ${number}` }).first();

/** Goes on to the step of that heading. */
export async function goOn(page, button, heading) {
  await page.getByRole("button", { name: button, exact: true }).click();
  await page.getByRole("heading", { level: 1, name: heading }).waitFor().catch(async () => {
    assert.fail(`no step “${heading}” at ${page.url()}: ${await text(page)}`);
  });
}

export async function text(page) {
  return (await page.locator("main").innerText()).replace(/\s+/g, " ");
}

/** Waits until the page says all of it. */
export async function has(page, ...words) {
  for (const word of words) {
    await page.locator("main").filter({ hasText: word }).waitFor().catch(async () => {
      assert.fail(`“${word}” is not on ${page.url()}: ${await text(page)}`);
    });
  }
}

export async function hasNot(page, ...words) {
  const all = await text(page);
  for (const word of words) assert.ok(!all.includes(word), `“${word}” is on ${page.url()}: ${all}`);
}

export { assert };
