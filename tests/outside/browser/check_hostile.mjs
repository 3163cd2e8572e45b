// Nothing of a hostile name runs, and the page keeps its shape.
import { open, must } from "./browser.mjs";

const { browser, page, faults } = await open(process.argv[2]);
await page.waitForTimeout(500);
must((await page.locator("img").count()) === 0, "no picture came of the name");
must((await page.locator("script").count()) === 2, "only the page's own scripts");
must((await page.title()).length < 200, "the title is cut");
must((await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)) <= 1, "the page is not pushed wide");
must(faults.length === 0, faults.join("\n"));
await browser.close();
