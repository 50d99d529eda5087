// Judges pages in a browser: node tests/oracles/pages.mjs BINARY MODULES [PICTURES]
// Playwright drives Debian's Chromium without network: at three widths, in light and dark, and printed to A4. Held: in every
// picture no word lies on another, reaches over the sheet or is too small to read; no message on the console, no request, nothing wider than the page, no rule of WCAG 2.0 to 2.2 (A, AA) or best practice that
// axe-core finds broken, no error or warning of the Nu HTML checker, an inert hostile log, page numbers and repeated
// table heads on paper. With PICTURES, a folder, screenshots and PDFs are left there to be looked at.
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const [binary, modules, pictures] = process.argv.slice(2);
const require = createRequire(join(resolve(modules), "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const vnu = require("vnu-jar");

let held = 0;
const failures = [];
function hold(what, is) {
  if (is) held += 1;
  else failures.push(what);
}

const folder = mkdtempSync(join(tmpdir(), "logassay-pages-"));
const LONG = "x".repeat(10000);
// A choice and an identity: no part of any word of a page.
const SECRETS = ["QZXJ7", "WKVYQ"];
// What a log may hold to act on a reader: HTML, script, SVG, terminal controls, direction controls, a long word.
const HOSTILE = `unit-event-log 1
serial: <script>document.title="acted"</script>
role: "><img src=x onerror=alert(1)>

; <svg onload=alert(1)><style>*{display:none}</style></main></body>
; \u001b[31mred\u001b]0;title\u0007 \u202egnp.exe \u2066hidden\u2069
1201 2031-05-10 07:00:05 enable
1202 2031-05-10 07:00:31 vote candidate=${SECRETS[0]}
1203 2031-05-10 07:00:50 <iframe> note="</code><a href=javascript:alert(1)>x</a>"
1204 2031-05-10 07:01:00 battery-level level=${LONG}
=cmd|' /C calc'!A0 &amp; &#x3c;script&#x3e;
1205 2031-05-10 07:02:00 vote voter-name="${SECRETS[1]}"
1206 2031-05-10 07:02:20 enable
1207 2031-05-10 07:02:30 enable
vote ${SECRETS.join(" ")}
`;
// The same of a case file, in every text that a person may write there.
const ILL = "</p><script>document.title='acted'</script><img src=x onerror=alert(2)> \\u001b[31m \\u202e =1+1";
const HOSTILE_CASE = `[matter]
title = "${ILL}"
court = "<svg onload=alert(3)>"
question = "${ILL}"
opinion = "${ILL} ${LONG}"
qualification = "${ILL}"

[[poll]]
place = "${ILL}"
date = "2031-05-10"
opens = "07:00"
closes = "18:00"
zone = "+02:00"
source = "${ILL}"
by = "${ILL}"

[[count]]
of = "declared"
value = 9
source = "${ILL}"
by = "${ILL}"

[[turnout]]
at = "2031-05-10 09:00"
within-seconds = 60
value = 7
source = "${ILL}"
by = "${ILL}"

[[fact]]
other = "${ILL}"
source = "${ILL}"
by = "${ILL}"
`;
const hostileCase = join(folder, "hostile.case.toml");
writeFileSync(hostileCase, HOSTILE_CASE);
const pages = [];
function page(name, args, input) {
  const file = join(pictures ?? folder, `${name}.html`);
  execFileSync(binary, ["document", ...args, "--out", file, "--replace"], { input });
  pages.push({ name, file, text: readFileSync(file, "utf8") });
}
for (const edition of ["full", "public"]) {
  page(`disputed-${edition}`, ["--demonstration", "disputed-unit", "--edition", edition]);
}
page("clean", ["--demonstration", "clean-life", "--date", "2031-06-02"]);
page("busy", ["--demonstration", "busy-unit"]);
page("empty", ["-"], "");
page("two-logs", ["-"], "unit-event-log 1\nserial: A\n1 2031-05-10 07:00:05 enable\n2 2031-05-10 07:00:31 vote\n\nunit-event-log 1\nserial: B\n1 2031-05-10 07:00:05 enable\n2 2031-05-10 07:00:31 enable\n");
for (const edition of ["full", "public"]) {
  page(`hostile-${edition}`, ["-", "--case", hostileCase, "--edition", edition], HOSTILE);
}
for (const [name, of] of [["turnout", "turnout-differs"], ["readings", "readings-conflict"], ["slip", "clock-slip-half-day"], ["holes", "votes-missing"], ["several-days", "../clean/repeated-poll"]]) {
  page(name, [`corpus/faulted/${of}.log`, "--case", `corpus/faulted/${of}.case.toml`]);
}

const markup = execFileSync("java", ["-jar", vnu, "--format", "json", "--exit-zero-always", "--stdout", ...pages.map((page) => page.file)], {
  encoding: "utf8",
  maxBuffer: 1 << 26,
});
const { messages } = JSON.parse(markup);
// The checker does not work out the digest by which the policy allows the style; the browser does, and is asked below.
const policy = (message) => message.message.startsWith("Inline style violates Content Security Policy");
for (const message of messages.filter((message) => !policy(message))) {
  failures.push(`Nu HTML checker, ${message.url} line ${message.lastLine}: ${message.message}`);
}
held += pages.length;

// In the page: words of a picture that lie on each other, reach over its sheet, or are too small to be read.
function crowding() {
  const wrong = [];
  for (const svg of document.querySelectorAll("figure svg")) {
    const name = svg.closest("figure").id;
    const sheet = svg.viewBox.baseVal;
    const scale = svg.getBoundingClientRect().width / sheet.width;
    // From a tablet on a picture is seen whole.
    const cut = svg.getBoundingClientRect().right - svg.parentElement.getBoundingClientRect().right;
    if (innerWidth >= 800 && cut > 1) wrong.push(`${name}: ${cut.toFixed(0)} pixels of it are cut`);
    const words = [...svg.querySelectorAll("text")].map((text) => ({
      text: text.textContent,
      box: text.getBBox(),
      size: parseFloat(getComputedStyle(text).fontSize) * scale,
    }));
    for (const [at, { text, box, size }] of words.entries()) {
      const right = box.x + box.width;
      if (box.x < 0 || right > sheet.width || box.y < 0 || box.y + box.height > sheet.height) wrong.push(`${name}: '${text}' reaches over the sheet`);
      if (size < 9) wrong.push(`${name}: '${text}' is ${size.toFixed(1)} pixels high`);
      for (const other of words.slice(at + 1)) {
        const wide = Math.min(right, other.box.x + other.box.width) - Math.max(box.x, other.box.x);
        const high = Math.min(box.y + box.height, other.box.y + other.box.height) - Math.max(box.y, other.box.y);
        // The box of a word is a little higher than its letters.
        if (wide > 1 && high > 4) wrong.push(`${name}: '${text}' lies on '${other.text}'`);
      }
    }
  }
  return wrong.slice(0, 6);
}

const browser = await chromium.launch({
  executablePath: "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu"],
});
for (const { name, file } of pages) {
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [360, 800, 1280]) {
      const where = `${name}, ${width} wide, ${colorScheme}`;
      const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme, bypassCSP: false });
      const tab = await context.newPage();
      const said = [];
      tab.on("console", (message) => said.push(message.text()));
      tab.on("pageerror", (error) => said.push(String(error)));
      tab.on("dialog", (dialog) => {
        said.push(`dialog: ${dialog.message()}`);
        dialog.dismiss();
      });
      tab.on("request", (request) => {
        if (request.url() !== `file://${file}`) said.push(`request: ${request.url()}`);
      });
      await tab.goto(`file://${file}`);
      hold(`${where}: ${said.join("; ")}`, said.length === 0);
      const wide = await tab.evaluate(() => {
        const room = document.documentElement.clientWidth;
        const scrolls = (element) => element.closest(".sheet") !== null;
        const over = [...document.body.querySelectorAll("*")].filter(
          (element) => !scrolls(element) && !element.matches(".skip,.sr,thead,thead *") && element.getBoundingClientRect().right > room + 1,
        );
        return { page: document.documentElement.scrollWidth - room, over: over.slice(0, 3).map((element) => element.outerHTML.slice(0, 120)) };
      });
      hold(`${where}: ${wide.page} pixels too wide: ${wide.over.join(" | ")}`, wide.page <= 0 && wide.over.length === 0);
      hold(`${where}: its title was changed`, !(await tab.title()).startsWith("acted"));
      const shape = await tab.evaluate(() => ({
        ids: [...document.querySelectorAll("[id]")].map((element) => element.id),
        links: [...document.querySelectorAll("a[href]")].map((link) => link.getAttribute("href")),
        scripts: document.querySelectorAll("script,iframe,object,embed,img,link,form").length,
        handlers: [...document.querySelectorAll("*")].filter((e) => [...e.attributes].some((a) => a.name.startsWith("on"))).length,
        style: getComputedStyle(document.querySelector(".skip")).position,
      }));
      hold(`${where}: an id stands twice`, new Set(shape.ids).size === shape.ids.length);
      hold(`${where}: a link leads out or nowhere`, shape.links.every((link) => link.startsWith("#") && shape.ids.includes(link.slice(1))));
      hold(`${where}: something that acts stands in it`, shape.scripts === 0 && shape.handlers === 0);
      hold(`${where}: its style was not allowed`, shape.style === "absolute");
      const shown = await tab.evaluate(() => document.documentElement.outerHTML);
      hold(`${where}: a choice or an identity stands in it`, SECRETS.every((secret) => !shown.toUpperCase().includes(secret)));
      const crowded = await tab.evaluate(crowding);
      hold(`${where}: ${crowded.join(" | ")}`, crowded.length === 0);
      if (pictures) await tab.screenshot({ path: join(pictures, `${name}-${width}-${colorScheme}.png`) });
      await context.close();
      if ((width === 800) === (colorScheme === "light")) continue;
      // The policy of the page forbids what a checker must do; the checked page is the same but for that.
      const checked = await browser.newContext({ viewport: { width, height: 900 }, colorScheme, bypassCSP: true });
      const other = await checked.newPage();
      await other.goto(`file://${file}`);
      await other.evaluate(axe);
      const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
      const result = await other.evaluate((values) => globalThis.axe.run(document, { runOnly: { type: "tag", values } }), tags);
      for (const violation of result.violations) {
        failures.push(`${where}: axe ${violation.id}: ${violation.help}: ${violation.nodes.slice(0, 3).map((node) => node.html.slice(0, 160)).join(" | ")}`);
      }
      hold(`${where}: axe looked at nothing`, result.passes.length > 5);
      await checked.close();
    }
  }
  const context = await browser.newContext();
  const tab = await context.newPage();
  await tab.goto(`file://${file}`);
  const pdf = await tab.pdf({ preferCSSPageSize: true, printBackground: true });
  const path = join(pictures ?? folder, `${name}.pdf`);
  writeFileSync(path, pdf);
  const text = execFileSync("pdftotext", ["-layout", path, "-"], { encoding: "utf8", maxBuffer: 1 << 26 });
  const size = execFileSync("pdfinfo", [path], { encoding: "utf8" });
  hold(`${name}: not printed on A4`, /Page size:\s+59[45]\.\S* x 84[12]\.\S* pts \(A4\)/.test(size));
  const count = Number(/Pages:\s+(\d+)/.exec(size)[1]);
  hold(`${name}: no page numbers on paper`, text.includes(`page 1 of ${count}`) && text.includes(`page ${count} of ${count}`));
  hold(`${name}: no running head on paper`, text.split("\f").slice(0, count).every((sheet) => /LA-[0-9A-F]{4}(-[0-9A-F]{4}){3}/.test(sheet)));
  hold(`${name}: neither a digest in the running head nor that it is not printed`, text.split("\f").slice(0, count).every((sheet) => /SHA-256 of the log's file: ([0-9a-f]{64}|not printed; the first page says why)/.test(sheet)));
  await context.close();
}
await browser.close();
rmSync(folder, { recursive: true });
if (failures.length > 0) {
  console.error(failures.join("\n"));
  process.exit(1);
}
console.log(`pages in Chromium: ${pages.length} pages, ${held} checks held`);
