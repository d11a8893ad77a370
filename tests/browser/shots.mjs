// A picture of every room at both widths, light and dark, into the folder SHOTS.
import { mkdir } from "node:fs/promises";
import { choose, crawl, DESK, goOn, PHONE, treatment, visitor } from "./lib.mjs";

export default async function (browser) {
  const folder = process.env.SHOTS;
  await mkdir(folder, { recursive: true });
  const first = await visitor(browser);
  const paths = [];
  for await (const { path, kind } of crawl(first)) {
    if (!paths.some((other) => other.kind === kind)) paths.push({ path, kind });
  }
  const looks = [["phone", PHONE, "light"], ["desk", DESK, "light"], ["phone-dark", PHONE, "dark"]];
  for (const [look, viewport, colorScheme] of looks) {
    const page = await visitor(browser, { viewport, colorScheme });
    for (const { path, kind } of paths) {
      await page.open(path);
      const name = kind.replace(/^\//, "").replace(/[^A-Za-z0-9]+/g, "-") || "root";
      await page.screenshot({ path: `${folder}/${name}.${look}.png`, fullPage: true });
    }
  }
  const states = looks.map(([look, viewport, colorScheme]) => async () => settingUp(await visitor(browser, { viewport, colorScheme }), look, folder));
  for (const state of states) await state();
  console.log(`${paths.length} rooms in ${folder}`);
}

/** The five steps of a new trial, one of them refused. */
async function settingUp(page, look, folder) {
  const shoot = (name) => page.screenshot({ path: `${folder}/new-${name}.${look}.png`, fullPage: true });
  await page.open("/bench/new");
  await page.getByLabel("Plant", { exact: true }).fill("Morus nigra");
  await shoot("1-plant");
  await goOn(page, "Next: what to find out", "What do you want to find out?");
  await choose(page, "The treatments differ in", "Rooting hormone");
  await shoot("2-differs");
  await goOn(page, "Next: treatments", "What does each treatment get?");
  await page.getByRole("button", { name: "Add a treatment" }).click();
  for (const [number, dose] of [[2, "3000 ppm"], [3, "8000 ppm"]]) {
    await choose(treatment(page, number), "Rooting hormone", "IBA");
    await choose(treatment(page, number), "How it is used", "quick dip");
    await choose(treatment(page, number), "Strength", dose);
  }
  await shoot("3-treatments");
  await goOn(page, "Next: how many", /each/);
  await shoot("4-size");
  await page.getByLabel("Pots per treatment", { exact: true }).fill("77");
  await page.getByRole("button", { name: "See what this size can show" }).click();
  await page.locator("#problem").waitFor();
  await shoot("4-refused");
  await page.getByLabel("Pots per treatment", { exact: true }).fill("3");
  await goOn(page, "Next: check it", "Check it, then set it up");
  await shoot("5-check");
}
