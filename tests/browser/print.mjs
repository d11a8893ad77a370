// Pages on paper: a trial without its buttons, and the pages made for paper, as PDF.
import { assert, DESK, visitor } from "./lib.mjs";

const pages = (pdf) => pdf.toString("latin1").split(/\/Type \/Page\b/).length - 1;

export default async function (browser) {
  const page = await visitor(browser, { viewport: DESK });
  await page.open("/bench/trial/M2");
  await page.emulateMedia({ media: "print" });
  const shown = await page.$$eval("nav, button, .button, form, .acts", (all) => all.filter((e) => e.checkVisibility()).map((e) => e.outerHTML.slice(0, 60)));
  assert.deepEqual(shown, [], "no buttons on paper");
  const colours = await page.evaluate(() => [getComputedStyle(document.body).color, getComputedStyle(document.documentElement).backgroundColor]);
  assert.deepEqual(colours, ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]);
  const trial = await page.pdf({ format: "A4" });
  assert.ok(pages(trial) >= 1 && pages(trial) <= 4, `${pages(trial)} pages`);
  for (const [path, most] of [["labels", 1], ["sheet?blind=yes", 1], ["report", 3]]) {
    await page.open(`/bench/trial/M2/paper/${path}`);
    const font = await page.evaluate(() => getComputedStyle(document.documentElement).fontFamily);
    assert.match(font, /Liberation Sans/, "the page's own style is let through");
    const pdf = await page.pdf({ preferCSSPageSize: true });
    assert.ok(pages(pdf) >= 1 && pages(pdf) <= most, `${path}: ${pages(pdf)} pages`);
  }
  assert.deepEqual(page.complaints, []);
}
