// The largest notes: under 5 MB, and the view turns at 30 frames a second in software.
import { statSync } from "node:fs";
import { open, must } from "./browser.mjs";

const file = process.argv[2];
must(statSync(file).size < 5_000_000, `${statSync(file).size} bytes is over 5 MB`);
const { browser, page, faults } = await open(file);
await page.waitForSelector("#turning canvas[data-frames]");
const [count, rate] = await page.evaluate(async () => {
  const canvas = document.querySelector("#turning canvas");
  const members = JSON.parse(document.getElementById("view-data").textContent).members.ids.length;
  const next = () => new Promise((done) => requestAnimationFrame(done));
  canvas.focus();
  const before = Number(canvas.dataset.frames);
  const start = performance.now();
  while (performance.now() - start < 2000) {
    canvas.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowLeft" }));
    await next();
  }
  return [members, (Number(canvas.dataset.frames) - before) / ((performance.now() - start) / 1000)];
});
console.log(`${count} members, ${rate.toFixed(0)} frames a second`);
must(count > 3000, "the mesh is large");
// A shared machine without a graphics card is held to half of what a reader's machine must reach.
must(rate >= (process.env.FRAMES ? Number(process.env.FRAMES) : 15), `${rate} frames a second`);
must(faults.length === 0, faults.join("\n"));
await browser.close();
