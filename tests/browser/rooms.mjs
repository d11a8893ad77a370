// Every page that links lead to: nothing for axe-core to find, no sideways scroll, targets big enough, light enough,
// at 360 px and at the desk, in light and dark.
import { assert, crawl, DESK, findings, PHONE, TAGS, visitor } from "./lib.mjs";

const MOST_BYTES = 100 * 1024;

/** Targets that a wet thumb would miss. */
const small = () => [...document.querySelectorAll("button, .button, a.row, summary, nav a, input:not([type=hidden], [type=checkbox], [type=radio]), select, textarea, label.tick, label.chip")]
  .filter((element) => element.checkVisibility() && !element.closest("[aria-hidden]"))
  .map((element) => ({ element, box: element.getBoundingClientRect() }))
  .filter(({ box }) => box.height > 0 && box.height < 43.5)
  .map(({ element, box }) => `${element.outerHTML.slice(0, 80)} is ${box.height} px high`);

/** What sticks out to the right. */
const wide = () => document.documentElement.scrollWidth > innerWidth
  ? [...document.querySelectorAll("body *")].filter((e) => e.checkVisibility() && e.getBoundingClientRect().right > innerWidth + 1)
    .map((e) => e.outerHTML.slice(0, 100)).slice(-3)
  : [];

/** Folded parts count as well. */
const unfold = () => document.querySelectorAll("details").forEach((details) => { details.removeAttribute("name"); details.open = true; });

async function look(page, path, response, wrong) {
  const isPaper = path.includes("/paper/");
  if (response.status() !== 200) wrong.push(`${path}: status ${response.status()}`);
  const bytes = (await response.body().catch(() => page.request.get(response.url()).then((again) => again.body()))).length;
  if (bytes > MOST_BYTES) wrong.push(`${path}: ${bytes} bytes`);
  await page.evaluate(unfold);
  for (const finding of await findings(page, isPaper ? TAGS.slice(0, -1) : TAGS)) wrong.push(`${path}: ${finding}`);
  if (isPaper) return;
  for (const element of await page.evaluate(wide)) wrong.push(`${path}: sticks out: ${element}`);
  for (const target of await page.evaluate(small)) wrong.push(`${path}: ${target}`);
}

/** The steps of a new trial, which no link leads to. */
const STEPS = [
  "/bench/new?at=differs&species=Morus+nigra",
  "/bench/new?at=treatments&species=Morus+nigra&compared=auxin&also=medium&treatments=3",
  "/bench/new?at=treatments&species=Morus+nigra&kind=graft&compared=form&bottom_heat=on",
  "/bench/new?at=size&species=Morus+nigra&compared=auxin&auxin-1=none&auxin-2=IBA&label-2=IBA",
  "/bench/new?at=check&species=Morus+nigra&compared=auxin&auxin-1=none&auxin-2=IBA&pots=3&pieces=4",
];

export default async function (browser) {
  const wrong = [];
  const page = await visitor(browser, { viewport: PHONE });
  const paths = [];
  for await (const { path, response } of crawl(page, ["/today", ...STEPS])) {
    paths.push(path);
    await look(page, path, response, wrong);
  }
  if (paths.includes("/share/phones")) {
    await page.open("/share/phones");
    const [response] = await Promise.all([page.waitForResponse((answer) => answer.request().method() === "GET"), page.getByRole("button", { name: "Make a code for a phone" }).click()]);
    await page.getByText("Let a phone in").waitFor();
    await look(page, "/share/phones with a code", response, wrong);
  }
  assert.ok(paths.length > 25, `only ${paths.length} pages: ${paths}`);
  const desk = await visitor(browser, { viewport: DESK, colorScheme: "dark" });
  for (const path of paths) {
    await look(desk, path, await desk.open(path), wrong);
  }
  assert.deepEqual([...wrong, ...page.complaints, ...desk.complaints], []);
  console.log(`${paths.length} pages, twice`);
}
