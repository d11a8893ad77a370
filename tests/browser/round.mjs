// A fortnightly round by thumb: twelve lots are due, two of them lost something, the others did not change.
import { assert, has, hasNot, visitor } from "./lib.mjs";

/** The bar: a round of twelve lots in so many taps. */
const MOST = 14;

export default async function (browser) {
  const page = await visitor(browser, { hasTouch: true });
  let taps = 0;
  const tap = async (target) => {
    const box = await target.boundingBox();
    assert.ok(box && box.width >= 44 && box.height >= 44, `a target for a thumb: ${await target.textContent()}`);
    await target.tap();
    taps += 1;
  };
  const undone = () => page.locator("ul.due a.row").filter({ hasText: /check/i }).count();
  await page.open("/today");
  await has(page, "cold frame", "mist house");
  assert.equal(await undone(), 12);

  // Each lot that changed: its row, one dead, why, saved, back to Today.
  for (const [code, dead] of [["N02", 1], ["N09", 2]]) {
    await tap(page.locator("a.row", { hasText: code }));
    const lot = page.locator("details.place[open]");
    assert.ok(await lot.locator("[data-causes]").isHidden(), "why is asked only once something died");
    for (let press = 0; press < dead; press += 1) await tap(lot.getByRole("button", { name: "one more: Dead since" }));
    const why = lot.locator("[data-causes] .chip", { hasText: "Rot at the base" });
    if (dead > 1) { await tap(why); assert.ok(await why.locator("input").isChecked()); }
    await tap(lot.getByRole("button", { name: `Save ${code}` }));
    await page.locator("details.place.done").waitFor();
    await has(page, "That was the last.");
    await tap(page.locator(".back"));
    if (!page.url().includes("/today")) await tap(page.locator(".rooms a").first());
    await page.waitForURL("**/today");
  }
  await has(page, "2 of 12 done today.");

  // The others: one tap a bench.
  for (const words of ["All 4 looked at, no change", "All 6 looked at, no change"]) {
    await tap(page.getByRole("button", { name: words }));
    await page.locator(".toast").waitFor();
  }
  assert.equal(await undone(), 0);
  await has(page, "Nothing to do now", "What you did today");
  assert.ok(taps <= MOST, `a round took ${taps} taps`);
  console.log(`a round of 12 lots: ${taps} taps`);

  // What was done today can be undone today.
  await page.getByText("What you did today").tap();
  const last = page.locator("li.entry").first();
  await last.getByRole("button").tap();
  await page.locator(".toast").waitFor();
  await page.open("/today");
  await hasNot(page, "Nothing to do now");
  assert.deepEqual(page.complaints, []);
}
