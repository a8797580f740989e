// schemas/README.md: every key of the record format, from the schemas.
import { tsImport } from "tsx/esm/api";
import { parse } from "yaml";

const { flowText } = await tsImport("../src/schema/flow-text.ts", import.meta.url);

const FILES = {
  season: "season.yaml", fields: "*.fields.yaml", equipment: "*.equipment.yaml", rotations: "*.rotations.yaml",
  visits: "*.visits.yaml", cleanings: "*.cleanings.yaml", samples: "*.samples.yaml", region: "*.region.yaml",
};

/** The reference as Markdown; the same schemas and region packs give the same text. */
export function schemaReference(schemas, regions) {
  const parts = [
    "# The keys of the record format",
    "Made from the JSON Schemas beside this page by `npm run generate`; change those, not this. " +
      "Any record and any part of one may also have keys of your own that start with `x-`.",
    Object.keys(schemas).map((kind) => `- [\`${FILES[kind]}\`](#${anchor(schemas[kind].title)})`).join("\n") +
      "\n- [`*.weather.csv`](#weather)",
    ...Object.entries(schemas).flatMap(([kind, schema]) => kindSection(kind, schema)),
    "## Shipped region packs",
    "What `region` in `season.yaml` and `extends` in a pack may name. Each lies under [`regions`](regions) with its sources, what is not known there, and examples.",
    regionTable(regions),
    ...regionAdditions(regions),
    "## Weather",
    "`*.weather.csv`: one line a day under the heading `date,tmin_c,tmax_c` or `date,tmin_c,tmax_c,rain_mm`: the date as `YYYY-MM-DD`, " +
      "the day's lowest and highest temperature in °C, and its rain in mm.",
  ];
  return parts.join("\n\n") + "\n";
}

/** The keys and the checks that shipped packs have beside the format's own. */
function regionAdditions(regions) {
  const packs = Object.entries(regions).map(([name, text]) => ({ name, ...parse(text) }));
  const keys = packs.flatMap(({ name, records = {} }) =>
    Object.entries(records).flatMap(([kind, added]) => addedRows(added, "").map((row) => [`\`${name}\``, `\`${kind}\``, ...row])),
  );
  const checks = packs.flatMap(({ name, checks: own = [] }) =>
    own.map(({ code, on, level = "warning", message }) => [`\`${name}\``, `\`${code}\``, on, level, message]),
  );
  const sections = [];
  if (keys.length > 0)
    sections.push("Keys that they add to the records:", plainTable(["pack", "kind", "key", "required", "type", "unit", "meaning"], keys));
  if (checks.length > 0)
    sections.push("Checks of their own:", plainTable(["pack", "code", "looks at", "level", "says"], checks));
  return sections;
}

function addedRows({ properties = {}, required = [], items }, path) {
  const rows = Object.entries(properties).flatMap(([key, property]) => {
    const holds = property.enum ? property.enum.map((word) => `\`${word}\``).join(", ") : property.type ?? (property.properties ? "" : property.format ?? "");
    const own = property.properties && !property.type && !property.title ? [] : [[`\`${path}${key}\``, required.includes(key) ? "yes" : "", holds, property["x-unit"] ?? "", property.description ?? ""]];
    return [...own, ...addedRows(property, `${path}${key}.`)];
  });
  return items ? [...rows, ...addedRows(items, `${path.replace(/\.$/, "")}[].`)] : rows;
}

function plainTable(heads, rows) {
  const line = (cells) => `| ${cells.map((cell) => String(cell).replaceAll("|", "\\|").replace(/\s+/g, " ")).join(" | ")} |`;
  return [line(heads), line(heads.map(() => "---")), ...rows.map(line)].join("\n");
}

function kindSection(kind, schema) {
  const items = schema.properties[kind]?.items;
  const main = items?.$ref ? deref(schema, items) : schema;
  const sections = [`## ${schema.title}`, `\`${FILES[kind]}\`: ${schema.description}`];
  if (items?.$ref) sections.push(`The file holds one list, \`${kind}:\`. Each item has these keys:`);
  const seen = new Set();
  const queue = [{ path: "", object: main }];
  for (const { path, object } of queue) {
    if (path) sections.push(`### ${schema.title}: \`${path}\``, object.description);
    const rows = rowsOf(schema, object);
    if (rows.length > 0) sections.push(table(rows));
    sections.push(...rows.filter((row) => row.choices).map((row) => wordList(row)));
    for (const { key, inner, isList } of rows) {
      if (!inner || seen.has(inner)) continue;
      seen.add(inner);
      queue.push({ path: `${path}${path ? "." : ""}${key}${isList ? "[]" : ""}`, object: inner });
    }
  }
  return sections;
}

function rowsOf(schema, object) {
  const rows = Object.entries(object.properties ?? {}).map(([key, property]) => rowOf(schema, key, property, object.required?.includes(key)));
  const open = Object.values(object.patternProperties ?? {}).filter((property) => property !== true);
  if (object.additionalProperties) open.push(object.additionalProperties);
  for (const property of open) {
    const { cells, ...row } = rowOf(schema, "", property, false);
    rows.push({ ...row, key: "each", cells: [object["x-expected-key"] ?? "any name", ...cells.slice(1)] });
  }
  return rows;
}

function rowOf(schema, key, property, isRequired) {
  const whole = { ...deref(schema, property), ...property };
  const item = whole.type === "array" && whole.items ? { ...deref(schema, whole.items), ...whole.items } : undefined;
  const choices = whole.enum ? whole : item?.enum ? item : undefined;
  const inner = hasKeys(whole) ? deref(schema, property) : item && hasKeys(item) ? deref(schema, whole.items) : undefined;
  return {
    key, inner, choices, isList: item !== undefined,
    cells: [`\`${key}\``, isRequired ? "yes" : "", typeOf(whole, item), whole["x-unit"] ?? "", whole.description, example(whole)],
  };
}

function hasKeys(schema) {
  return Boolean(schema.properties || schema.additionalProperties || Object.values(schema.patternProperties ?? {}).some((one) => one !== true));
}

function typeOf(schema, item) {
  if (schema.enum) return "one of the words below";
  if (schema["x-format"]) return "time";
  if (schema.format) return "date";
  if (schema["x-refers-to"]) return `id of ${an(schema["x-refers-to"])}`;
  if (schema.prefixItems) return "two numbers";
  if (schema.if) return "geometry or path";
  if (schema.type === "array") return item ? `list of ${plural(typeOf(item))}` : "list";
  const plain = { string: "text", integer: "whole number", number: "number", boolean: "true or false", object: "keys" }[schema.type];
  return `${plain}${bounds(schema)}`;
}

function bounds({ minimum, maximum, exclusiveMinimum, exclusiveMaximum }) {
  if (exclusiveMinimum !== undefined && exclusiveMaximum !== undefined) return `, between ${exclusiveMinimum} and ${exclusiveMaximum}`;
  if (exclusiveMinimum !== undefined) return maximum === undefined ? `, above ${exclusiveMinimum}` : `, above ${exclusiveMinimum}, to ${maximum}`;
  if (minimum !== undefined && maximum !== undefined) return minimum === maximum ? `, ${minimum}` : `, ${minimum} to ${maximum}`;
  return minimum === undefined ? "" : `, from ${minimum}`;
}

function plural(words) {
  if (words === "one of the words below") return "the words below";
  if (words === "keys") return "items with keys";
  return words.replace(/^(id|whole number|number|date|time)/, "$1s").replace(/^text$/, "texts");
}

function an(word) {
  return (/^[aeiou]/.test(word) ? "an " : "a ") + word;
}

function example(schema) {
  const [first] = schema.examples ?? [];
  if (first === undefined || first === "") return "";
  const text = flowText(first);
  return text.length > 100 ? "" : `\`${text}\``;
}

/** The shipped packs by name, from their texts. */
function regionTable(regions) {
  const rows = Object.entries(regions).map(([name, text]) => {
    const { title, extends: parent, season } = parse(text);
    const runs = season?.starts ? `from ${season.starts} of the year before` : "";
    return `| \`${name}\` | ${title} | ${parent ? `\`${parent}\`` : ""} | ${runs} |`;
  });
  return ["| name | of | extends | seasons, where they are no calendar years |", "| --- | --- | --- | --- |", ...rows].join("\n");
}

function table(rows) {
  const lines = rows.map(({ cells }) => `| ${cells.map((cell) => cell.replaceAll("|", "\\|")).join(" | ")} |`);
  return ["| key | required | type | unit | meaning | example |", "| --- | --- | --- | --- | --- | --- |", ...lines].join("\n");
}

function wordList({ key, choices }) {
  return `${key === "each" ? "Each value" : `\`${key}\``} is one of:\n\n` + choices.enum.map((word, i) => `- \`${word}\`: ${choices["x-enumDescriptions"][i]}`).join("\n");
}

function deref(schema, property) {
  return property.$ref ? schema.$defs[property.$ref.slice("#/$defs/".length)] : property;
}

function anchor(title) {
  return title.toLowerCase().replaceAll(" ", "-");
}
