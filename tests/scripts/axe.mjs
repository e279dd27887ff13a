// axe-core over pages given as arguments, in the Chromium named by CHROMIUM. Exits 1 on a violation.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import puppeteer from "puppeteer-core";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const browser = await puppeteer.launch({ executablePath: process.env.CHROMIUM, args: ["--no-sandbox"] });
let violations = 0;
for (const file of process.argv.slice(2)) {
  const page = await browser.newPage();
  await page.goto(`file://${file}`);
  await page.evaluate(axe);
  const result = await page.evaluate(() => axe.run(document));
  violations += result.violations.length;
  console.log(`${file.split("/").pop()}: ${result.violations.length} violations, ${result.passes.length} rules passed`);
  for (const v of result.violations) console.log(`  ${v.id} (${v.impact}), ${v.nodes.length} places: ${v.nodes[0].html.slice(0, 160)}`);
  await page.close();
}
await browser.close();
process.exit(violations ? 1 : 0);
