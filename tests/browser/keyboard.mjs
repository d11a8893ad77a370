// A check by keyboard alone: every stop can be seen, the first one skips to the page, and a count is saved.
import { assert, has, visitor } from "./lib.mjs";

const here = () => {
  const element = document.activeElement;
  const style = getComputedStyle(element);
  return { tag: element.tagName, text: element.textContent.trim().slice(0, 40), name: element.getAttribute("name"), outline: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2 };
};

async function tabTo(page, isIt, what) {
  for (let presses = 0; presses < 80; presses += 1) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(here);
    assert.ok(at.tag === "BODY" || at.outline, `no visible focus on ${JSON.stringify(at)}`);
    if (isIt(at)) return;
  }
  assert.fail(`the Tab key never reaches ${what}`);
}

export default async function (browser) {
  const page = await visitor(browser);
  await page.open("/bench");
  await page.keyboard.press("Tab");
  assert.match((await page.evaluate(here)).text, /^Skip/);
  await page.keyboard.press("Enter");
  await tabTo(page, (at) => at.text.startsWith("M3"), "trial M3");
  await page.keyboard.press("Enter");
  await page.waitForURL("**/bench/trial/M3");
  await tabTo(page, (at) => at.text === "Check", "Check");
  await page.keyboard.press("Enter");
  await page.waitForURL("**/count/check");
  await tabTo(page, (at) => at.name === "dead", "the dead of the first place");
  await page.keyboard.type("1");
  await page.keyboard.press("Enter");
  await page.locator("details.place.done").first().waitFor();
  await tabTo(page, (at) => at.tag === "BUTTON" && at.text.startsWith("Save"), "the next place");
  await page.open("/bench/trial/M3/history");
  await has(page, "1 dead");
  // Enter goes on from any field, and by keys alone a trial can be set up; chips are moved through by arrows.
  await page.open("/bench/new");
  await tabTo(page, (at) => at.name === "species", "the plant");
  await page.keyboard.type("Morus nigra");
  await tabTo(page, (at) => at.name === "kind", "the kinds");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { level: 1, name: "What do you want to find out?" }).waitFor();
  await tabTo(page, (at) => at.name === "compared", "what differs");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { level: 1, name: "What does each treatment get?" }).waitFor();
  await tabTo(page, (at) => at.text.startsWith("Add a treatment"), "one more treatment");
  assert.deepEqual(page.complaints, []);
}
