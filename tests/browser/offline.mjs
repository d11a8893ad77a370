// The connection drops at the bench: entries are kept on the device, and each arrives once.
import { assert, has, visitor } from "./lib.mjs";

export default async function (browser) {
  const page = await visitor(browser);
  await page.open("/bench/trial/M3/count/check");
  await page.context().setOffline(true);
  const count = async (place, presses) => {
    const form = page.locator(`details[id="place-${place}"]`);
    if (!(await form.evaluate((details) => details.open))) await form.locator("summary").first().click();
    for (let press = 0; press < presses; press += 1) await form.getByRole("button", { name: "one more: Dead since" }).click();
    await form.getByRole("button", { name: `Save ${place}` }).click();
  };
  await count("P1", 1);
  await page.getByText("1 entry is kept on this device").waitFor();
  await count("P2", 2);
  await page.getByText("2 entries are kept on this device").waitFor();
  const kept = await page.evaluate(() => JSON.parse(localStorage.getItem("propagule-kept")));
  assert.equal(kept.length, 2);
  assert.ok(kept.every((entry) => entry.once && !entry.body.includes("token")), "kept under a name, without the token");
  // As if the answer to the first had been lost on its way back: it is sent again from another page of the same device.
  await page.context().setOffline(false);
  await page.locator("#waiting").waitFor({ state: "hidden" });
  await page.evaluate((entries) => localStorage.setItem("propagule-kept", JSON.stringify(entries)), kept);
  await page.open("/bench/trial/M3");
  await page.waitForFunction(() => JSON.parse(localStorage.getItem("propagule-kept")).length === 0);
  await page.open("/bench/trial/M3/history");
  const all = await page.locator("main").innerText();
  assert.equal(all.split("P1 5 alive, 1 dead").length - 1, 1, all);
  assert.equal(all.split("P2 4 alive, 2 dead").length - 1, 1, all);
  // One that the computer refuses stays on the device and says why.
  const bad = { to: "/bench/trial/M3/count/check", label: "P3", once: "refused-1", body: "place=P3&dead=9&once=refused-1&on=2026-11-20" };
  await page.evaluate((entry) => localStorage.setItem("propagule-kept", JSON.stringify([entry])), bad);
  await page.open("/today");
  await page.getByRole("button", { name: "Throw this entry away" }).waitFor();
  await has(page, "P3: check: P3");
  await page.getByRole("button", { name: "Throw this entry away" }).click();
  await page.locator("#waiting").waitFor({ state: "hidden" });
  assert.deepEqual(page.complaints, []);
}
