// Reads statements as a JSON list and prints, for each, what a validator of xAPI finds wrong with it.
const { default: check } = require('xapi-validation');
let text = '';
process.stdin.on('data', (part) => { text += part; });
process.stdin.on('end', () => {
  console.log(JSON.stringify(JSON.parse(text).map((s) => check(s).map((w) => ({ path: w.path, what: w.constructor.name })))));
});
