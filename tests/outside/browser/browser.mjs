// A browser without a network, and what went wrong in it.
import { chromium } from "playwright-core";

export async function open(file, options = {}, before = null) {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"],
  });
  const context = await browser.newContext({
    viewport: { width: 1100, height: 900 },
    offline: true,
    ...options,
  });
  const page = await context.newPage();
  if (before) await page.addInitScript(before);
  const faults = [];
  page.on("console", (message) => {
    if (message.type() === "error") faults.push(`console: ${message.text()}`);
  });
  page.on("pageerror", (error) => faults.push(`page: ${error.message}`));
  page.on("dialog", (dialog) => {
    faults.push(`dialog: ${dialog.message()}`);
    dialog.dismiss();
  });
  page.on("request", (request) => {
    if (!request.url().startsWith("file:") && !request.url().startsWith("data:"))
      faults.push(`asked for ${request.url()}`);
  });
  await page.goto(`file://${file}`);
  return { browser, context, page, faults };
}

export function must(truth, words) {
  if (!truth) {
    console.error(`FAULT: ${words}`);
    process.exit(1);
  }
}
