// The notes of one project: nothing fetched, no error, the view draws, a pick shows the right figures,
// the keyboard works, accessible, paper breaks sensibly, readable without scripts.
import { createRequire } from "node:module";
import { readFileSync, writeFileSync } from "node:fs";
import { execFileSync } from "node:child_process";
import { open, must } from "./browser.mjs";

const [file, resultsFile, work] = process.argv.slice(2);
const results = JSON.parse(readFileSync(resultsFile, "utf8"));
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

for (const scheme of ["light", "dark"]) {
  const { browser, page, faults } = await open(file, { colorScheme: scheme });
  await page.waitForSelector("#turning canvas[data-frames]", { timeout: 10000 });
  const ending = results.headline.split(" ").slice(-6).join(" ");
  must((await page.textContent("body")).includes(ending), "the page says the headline");
  must((await page.textContent("body")).includes(results.indicative), "the page says the caution");

  // The canvas holds more than its ground.
  const canvas = page.locator("#turning canvas");
  const picture = await canvas.screenshot();
  const blank = await page.evaluate(async (bytes) => {
    const image = await createImageBitmap(new Blob([new Uint8Array(bytes)]));
    const sheet = new OffscreenCanvas(image.width, image.height);
    const pen = sheet.getContext("2d");
    pen.drawImage(image, 0, 0);
    const data = pen.getImageData(0, 0, image.width, image.height).data;
    let other = 0;
    for (let n = 4; n < data.length; n += 4)
      if (Math.abs(data[n] - data[0]) + Math.abs(data[n + 1] - data[1]) + Math.abs(data[n + 2] - data[2]) > 12) other++;
    return other / (data.length / 4);
  }, [...picture]);
  must(blank > 0.02, `the view draws (${blank} of its pixels are marked)`);

  // To begin with the whole shell is in view: nothing of it is at the edge.
  const cut = await page.evaluate(async (bytes) => {
    const image = await createImageBitmap(new Blob([new Uint8Array(bytes)]));
    const sheet = new OffscreenCanvas(image.width, image.height);
    const pen = sheet.getContext("2d");
    pen.drawImage(image, 0, 0);
    const { data, width, height } = pen.getImageData(0, 0, image.width, image.height);
    const ground = 4 * (12 * width + 12);
    let marked = 0;
    for (let x = 4; x < width - 4; x++)
      for (const y of [4, height - 5])
        if ([0, 1, 2].some((k) => Math.abs(data[4 * (y * width + x) + k] - data[ground + k]) > 12)) marked++;
    return marked;
  }, [...picture]);
  must(cut === 0, `the whole shell is in view (${cut} marks at the edge)`);
  must((await page.locator("#turning .stage svg").textContent()) === "xyz", "the axes are named");

  // Keyboard: the first member, its own figures.
  await canvas.focus();
  await page.keyboard.press("n");
  const first = results.members[0];
  must((await canvas.getAttribute("data-picked")) === first.id, "N picks the first member");
  const told = await page.textContent("#turning .told");
  if (first.worst) {
    must(told.includes(first.worst.rule) && told.includes(first.worst.combination), "its own check is told");
    if (first.worst.utilisation < 10) {
      const shown = Number(/: ([0-9.]+) of its limit/.exec(told)?.[1]);
      must(Math.abs(shown - first.worst.utilisation) <= 0.0101, `its own figure is told: ${shown}`);
    }
  }
  const frames = Number(await canvas.getAttribute("data-frames"));
  for (const key of ["ArrowLeft", "ArrowUp", "+", "-", "Home"]) {
    await page.keyboard.press(key);
    await page.waitForTimeout(60);
  }
  must(Number(await canvas.getAttribute("data-frames")) >= frames + 4, "the keys turn and zoom");
  // One that is picked is seen, on the far side too: taking it away changes the view.
  const shown = await canvas.screenshot();
  await page.keyboard.press("Escape");
  await page.waitForTimeout(60);
  must(!shown.equals(await canvas.screenshot()), "the picked timber is marked");
  must((await canvas.getAttribute("data-picked")) === null, "Escape lets go");

  // Mouse: a click on the middle of a near member picks a member, and tells the one that it marks.
  const box = await canvas.boundingBox();
  let picked = null;
  for (let n = 0; n < 40 && !picked; n++) {
    await page.mouse.click(box.x + box.width * (0.36 + 0.007 * n), box.y + box.height * 0.55);
    picked = await canvas.getAttribute("data-picked");
  }
  must(picked, "a click picks a member");
  const member = results.members.find((one) => one.id === picked);
  const words = await page.textContent("#turning .told");
  must(member && words.startsWith(`${picked}:`), "the picked one is told");
  must(member.joints.every((joint) => words.includes(joint)), "with its joints");

  // Everything that can be shown draws without a fault.
  for (const value of await page.$$eval("#view-show option", (list) => list.map((one) => one.value))) {
    await page.selectOption("#view-show", value);
    await page.waitForTimeout(40);
  }

  await page.evaluate(axe);
  const found = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
  const serious = found.violations.filter((one) => ["serious", "critical"].includes(one.impact));
  must(
    serious.length === 0,
    serious.map((one) => `${one.id}: ${one.help}; ${one.nodes[0].html.slice(0, 200)}`).join("\n"),
  );
  must(faults.length === 0, faults.join("\n"));

  if (scheme === "light") {
    for (const format of ["A4", "Letter"]) {
      const paper = `${work}/printed-${format}.pdf`;
      writeFileSync(paper, await page.pdf({ format, printBackground: true }));
      const pages = execFileSync("pdftotext", ["-layout", paper, "-"], { encoding: "utf8" }).split("\f");
      must(pages.length > 4, "paper has pages");
      must(pages[0].includes("Caution"), "the caution is on the first page");
      pages.slice(0, -1).forEach((text, n) => {
        const lines = text.split("\n").filter((line) => line.trim());
        const last = lines.filter((line) => !/Indicative only|^\s*\d+ \/ \d+/.test(line)).at(-1) ?? "";
        must(!/^\d+ [A-Z]/.test(last.trim()) || n === pages.length - 2, `a heading ends page ${n + 1}: ${last}`);
      });
    }
  }
  await browser.close();
}

// Touch: one finger turns, a tap picks.
{
  const { browser, page, faults } = await open(file, { hasTouch: true, viewport: { width: 420, height: 800 } });
  await page.waitForSelector("#turning canvas[data-frames]");
  const canvas = page.locator("#turning canvas");
  await canvas.scrollIntoViewIfNeeded();
  const box = await canvas.boundingBox();
  for (let n = 0; n < 30; n++) {
    await page.touchscreen.tap(box.x + box.width * (0.3 + 0.014 * n), box.y + box.height * 0.52);
    if (await canvas.getAttribute("data-picked")) break;
  }
  must(await canvas.getAttribute("data-picked"), "a tap picks a member");
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  must(wide <= 1, `the page fits a small screen (${wide} too wide)`);
  must(faults.length === 0, faults.join("\n"));
  await browser.close();
}

// Without scripts the still drawing stands in the view's place.
{
  const { browser, page, faults } = await open(file, { javaScriptEnabled: false });
  must(await page.locator("figure svg").first().isVisible(), "the still drawing is seen without scripts");
  must(!(await page.locator("#turning").isVisible()), "no empty view without scripts");
  must(faults.length === 0, faults.join("\n"));
  await browser.close();
}
console.log(`${file.split("/").at(-1)}: as it should be`);
