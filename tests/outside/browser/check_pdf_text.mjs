// The PDF as a search or a screen reader finds it: verdict, caution and the weakest thing are text.
import { readFileSync } from "node:fs";
import { must } from "./browser.mjs";

const [resultsFile, textFile] = process.argv.slice(2);
const results = JSON.parse(readFileSync(resultsFile, "utf8"));
const text = readFileSync(textFile, "utf8").replace(/\s+/g, " ");
const phrase = { within: "Within its indicative limits", near: "Near its indicative limit",
  over: "Over its indicative limit", unstable: "Unstable" }[results.verdict];
must(text.includes(phrase), `the PDF says "${phrase}"`);
const start = (words) => words.replace(/\s+/g, " ").split(" ").slice(0, 8).join(" ");
// The verdict stands above; what follows it in the headline is a sentence of its own.
must(text.includes(results.headline.split(" ").slice(-6).join(" ")), "the PDF says the headline");
must(text.includes(start(results.indicative)), "the PDF says the caution");
must(text.includes(results.input_sha256.slice(0, 20)), "the PDF says the input's checksum");
