// A picture of every room at both widths, light and dark, into the folder SHOTS.
import { mkdir } from "node:fs/promises";
import { crawl, DESK, PHONE, visitor } from "./lib.mjs";

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
  console.log(`${paths.length} rooms in ${folder}`);
}
