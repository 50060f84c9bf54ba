// Prints what the validator says of each statement of the JSON array on standard input: a list of lists.
const { readFileSync } = require("node:fs");
const validate = require("xapi-validation").default;

const statements = JSON.parse(readFileSync(0, "utf-8"));
process.stdout.write(JSON.stringify(statements.map((one) => validate(one).map((w) => `${w.constructor.name} at ${w.path.join(".")}`))));
