// A project whose name tries everything.
import { readFileSync, writeFileSync, readdirSync } from "node:fs";

const [examples, work] = process.argv.slice(2);
const first = readdirSync(examples).filter((name) => name.endsWith(".toml")).sort()[0];
const name = "<script>alert(1)</script><img src=x onerror=alert(2)>\\u202Egnp.exe" + "x".repeat(10000);
const text = readFileSync(`${examples}/${first}`, "utf8").replace(/^name\s*=.*$/m, `name = "${name}"`);
writeFileSync(`${work}/hostile.toml`, `${text}\n# </script><script>alert(3)</script>\n`);
