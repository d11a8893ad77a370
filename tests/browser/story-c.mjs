// C: a grafter whose cultivars and grafters cannot be separated, up to the take and the suckers.
import { assert, choose, goOn, has, hasNot, treatment, visitor } from "./lib.mjs";

export default async function (browser) {
  const page = await visitor(browser);
  const press = (name) => page.getByRole("button", { name, exact: true }).click();
  await page.open("/bench/new");
  await page.getByLabel("Plant", { exact: true }).fill("Ferulastra montana");
  await choose(page, "Kind of propagation", /^Grafts/);
  await goOn(page, "Next: what to find out", "What do you want to find out?");
  await choose(page, "The treatments differ in", "Cultivar");
  await page.getByText("More than one thing differs").first().click();
  await page.getByRole("checkbox", { name: "Grafted by" }).check();
  await goOn(page, "Next: treatments", "What does each treatment get?");
  await has(page, "cannot say which one mattered");
  await treatment(page, 1).getByLabel("Cultivar").fill("Brasswing");
  await treatment(page, 1).getByLabel("Grafted by").fill("P");
  await treatment(page, 2).getByLabel("Cultivar").fill("Low Lantern");
  await treatment(page, 2).getByLabel("Grafted by").fill("Q");
  await page.getByText("The same for all").click();
  await choose(page, "Graft type", "whip");
  await page.getByLabel("Rootstock").fill("Ferulastra vulgata");
  await goOn(page, "Next: how many", /^12 each/);
  await page.getByText("Other layouts").click();
  await page.getByLabel("Pots shared by all treatments").fill("16");
  await page.getByLabel("Places in each").fill("3");
  await goOn(page, "Next: check it", "Check it, then set it up");
  await page.getByLabel("Code", { exact: true }).fill("F1");
  await page.getByLabel("Day they are grafted").fill("5-4");
  await press("Set it up");
  await has(page, "5 April", "4 May", "which year");
  await page.getByLabel("In days written in numbers").selectOption("month");
  await page.getByLabel("The year of days without one").fill("2026");
  await press("Set it up");
  await has(page, "48 grafts");
  await page.getByRole("link", { name: "Lay the pots out" }).click();
  await page.getByLabel("Seed", { exact: true }).fill("4");
  // The page after it comes first: another address asked for before it would cut it off.
  const laidOut = page.waitForResponse((response) => response.request().method() === "GET" && response.url().endsWith("/layout"));
  await press("Lay out at random");
  await laidOut;
  await page.waitForLoadState();
  await page.open("/bench/trial/F1/stick");
  await page.getByLabel("Day", { exact: true }).fill("2026-05-04");
  await press("Record as grafted");

  // The rows are those of the printed sheet; odd plants hold two stems of the first cultivar and one of the second.
  await page.open("/bench/trial/F1/paper/sheet");
  const printed = await page.locator("td.code").allInnerTexts();
  await page.open("/bench/trial/F1/sheet/lift");
  const rows = await page.locator("tbody th").evaluateAll((all) => all.map((th) => th.firstChild.textContent));
  assert.equal(rows.length, 32);
  assert.ok(rows.every((code, index) => printed[index].includes(code)), `${rows} against ${printed}`);
  const failures = { A: 5, B: 10 };
  for (const code of rows) {
    const letter = code.at(-1);
    const stems = (Number(code.slice(1, -1)) % 2 === 1) === (letter === "A") ? 2 : 1;
    const failed = Math.min(failures[letter], 1);
    failures[letter] -= failed;
    await page.getByLabel(`${code}, taken`).fill(String(stems - failed));
  }
  await page.getByLabel("The rest").selectOption("dead");
  await page.getByLabel("Day", { exact: true }).fill("2026-06-08");
  await press("Save the sheet");
  await has(page, "19 of 24 against 14 of 24 took", "cultivar and who did the work changed together");
  await hasNot(page, "better");
  await page.getByText("In detail").click();
  // Fisher's exact test of 19/24 against 14/24 (figure of the acceptance story).
  await has(page, "as if every graft were independent: p = 0.21");
  await page.open("/today?all=yes");
  assert.equal(await page.locator("li", { hasText: "remove rootstock suckers" }).count(), 10);
  await has(page, "22 June 2026", "26 October 2026");
  await page.open("/bench/trial/F1/graft");
  await page.locator("#suckers-removed_1").fill("3");
  await page.locator("#suckers-on").fill("2026-06-22");
  await press("Suckers removed");
  await has(page, "rootstock suckers removed: Brasswing 3");
  assert.deepEqual(page.complaints, []);
}
