// Everything that is made from other files before the code can be compiled: validators, schemas as data, rules and pages.
import { generateRules } from "./generate-rules.mjs";
import { generateSchemas } from "./generate-schemas.mjs";

await generateSchemas();
await generateRules();
