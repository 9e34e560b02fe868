// Reads {schemas: {NAME: schema}, things: [[NAME, where, value]], wrong: [[NAME, where, value]]} from standard input and
// holds each thing against its schema with ajv (draft 2020-12): what is right must pass, what is wrong must not.
import { readFileSync } from 'node:fs';
import Ajv2020 from 'ajv/dist/2020.js';

const { schemas, things, wrong } = JSON.parse(readFileSync(0, 'utf8'));
const ajv = new Ajv2020({
  strict: true, strictTypes: false, strictRequired: false, allErrors: true,
  formats: { date: /^\d{4}-\d{2}-\d{2}$/ },
});
const validators = {};
let faults = 0;

function fault(text) {
  faults += 1;
  console.log(text);
}

for (const [name, schema] of Object.entries(schemas)) {
  try {
    validators[name] = ajv.compile(schema);
  } catch (error) {
    fault(`schema ${name}: ${error.message}`);
  }
}
for (const [name, where, value] of things)
  if (validators[name] && !validators[name](value))
    fault(`${where}: ${ajv.errorsText(validators[name].errors).slice(0, 200)}`);
for (const [name, where, value] of wrong)
  if (validators[name] && validators[name](value)) fault(`${where}: taken by ${name}`);
console.log(`${things.length} right, ${wrong.length} wrong, ${faults} faults`);
process.exit(faults || !things.length || !wrong.length ? 1 : 0);
