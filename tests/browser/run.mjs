// Runs one scenario: `node run.mjs NAME`.
import { withBrowser } from "./lib.mjs";

const name = process.argv[2];
const { default: scenario } = await import(`./${name}.mjs`);
await withBrowser(scenario);
console.log(`ok ${name}`);
