/** A value as YAML's flow style writes it in a record: `[mo, jl]`, `{ id: p1, area_m2: 60 }`. */
export function flowText(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(flowText).join(", ")}]`;
  if (value !== null && typeof value === "object") {
    const entries = Object.entries(value).map(([key, inner]) => `${scalarText(key)}: ${flowText(inner)}`);
    return entries.length === 0 ? "{}" : `{ ${entries.join(", ")} }`;
  }
  return typeof value === "string" ? scalarText(value) : String(value);
}

const DATE_OR_TIME = /^\d{4}-\d\d-\d\d(T\d\d:\d\d)?$/;
/** Texts that YAML would take for something else when they stand without quotes. */
const NEEDS_QUOTES = /^$|^[\s\d.!&*'"#%@`|>?{}[\]~+-]|[,[\]{}]|: |:$| #|\s$|^(true|false|null)$/i;

function scalarText(text: string): string {
  return NEEDS_QUOTES.test(text) && !DATE_OR_TIME.test(text) ? JSON.stringify(text) : text;
}
