// B: a nursery with sixty lots, from last year's sheet.
import { readFile } from "node:fs/promises";
import { assert, has, hasNot, visitor } from "./lib.mjs";

export default async function (browser) {
  const page = await visitor(browser);
  const press = (name) => page.getByRole("button", { name, exact: true }).click();
  await page.open("/bench/import");
  await page.getByLabel("Choose a file").setInputFiles(process.env.LOTS);
  await page.waitForFunction(() => document.querySelector("textarea[name=table]").value.length > 0);
  assert.equal(await page.getByLabel("The table").inputValue(), await readFile(process.env.LOTS, "utf8"));
  const look = () => page.getByRole("button", { name: /^Look/ }).click();
  const how = () => page.getByText("How it is read").click();
  await look();
  await has(page, "2026-06-05");
  await how();
  await page.getByLabel("Dates written in figures").selectOption("day");
  await look();
  await has(page, "N07", "N21", "N44", "N33");
  await how();
  await page.getByLabel("Take in the rows that are right").check();
  await look();
  await has(page, "stuck, 933 rooted (66%); lift count after 18 weeks");
  await press("Save");
  await has(page, "To the bench");
  await page.open("/bench");
  assert.equal(await page.locator("a.row").count(), 50);
  await hasNot(page, "control");

  await page.open("/bench/spots");
  await page.getByLabel("Your name for it").fill("mist house");
  await page.getByLabel("Structure").selectOption("glass");
  await press("Save the bench");
  await page.getByText("Set trials on it").click();
  await page.locator("#stand-lots").fill("all");
  await page.locator("#stand-on").fill("2026-06-05");
  await press("It stands there");
  await page.getByText("Log mist, shade or heat").click();
  await page.locator("#care-words").fill("8 s every 4 min 07:00–20:00");
  await page.locator("#care-on").fill("2026-06-05");
  await press("Save the log");
  await has(page, "195 mist cycles", "26 min a day", "all 56 on it");
  await page.open("/bench/trial/N32");
  await has(page, "195 mist cycles");
  await page.open("/bench/spot/mist%20house");
  await page.getByText("Log mist, shade or heat").click();
  await page.locator("#care-kind").selectOption("shade");
  await page.locator("#care-words").fill("4 %");
  await press("Save the log");
  await has(page, "blocked, or let through?");

  await page.open("/bench/trial/N12/move");
  await page.getByLabel(/^How many/).fill("15");
  await page.locator("#left-on").fill("2027-03-20");
  await press("Save");
  await has(page, "15 of 30 finished so far; 6 kept");
  await page.open("/bench/trial/N12/count/final?on=2027-05-15");
  const lot = page.locator("details.place");
  for (let press4 = 0; press4 < 4; press4 += 1) await lot.getByRole("button", { name: "one more: Finished" }).click();
  for (let press2 = 0; press2 < 2; press2 += 1) await lot.getByRole("button", { name: "one more: Dead since" }).click();
  assert.equal(await lot.locator("input[name=waiting]").inputValue(), "0", "what is left over follows");
  await lot.getByRole("button", { name: "Save" }).click();
  await page.locator("details.done").waitFor();
  await page.open("/bench/trial/N12");
  await has(page, "19 of 30 finished (63%", "and 4 of the 6 kept");
  await has(page, "15 gone as finished, 4 finished, 9 not seen, 2 dead");
  await hasNot(page, "4 of 30 finished");
  assert.deepEqual(page.complaints, []);
}
