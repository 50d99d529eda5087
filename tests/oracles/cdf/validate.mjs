// Outside check: ajv (MIT) with ajv-formats says of each file whether it is valid under a JSON schema of draft-04
// (NIST SP 1500-101, SARIF).
// Usage: validate.mjs MODULES SCHEMA FILE... ; prints one line a file: "valid" or "refused".
import fs from "node:fs";
import { createRequire } from "node:module";

const [modules, schema, ...files] = process.argv.slice(2);
const require = createRequire(`${modules}/`);
const Ajv = require("ajv-draft-04");
// The schema of SARIF has an expression with a lone bracket, which only the older kind of expressions takes.
const ajv = new Ajv({ strict: false, allErrors: true, unicodeRegExp: !schema.includes("sarif") });
require("ajv-formats")(ajv);
const validate = ajv.compile(JSON.parse(fs.readFileSync(schema, "utf8")));
for (const file of files) {
  console.log(validate(JSON.parse(fs.readFileSync(file, "utf8"))) ? "valid" : "refused");
}
