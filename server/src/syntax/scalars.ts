/**
 * What a scalar means, by the YAML 1.2 core schema (yaml.org/spec/1.2.2, section 10.3). One resolver serves both ways
 * of reading, so that they cannot disagree. Dates are strings.
 */

export type ScalarValue = string | number | boolean | null;

const INTEGER = /^[-+]?[0-9]+$/;
const OCTAL = /^0o[0-7]+$/;
const HEXADECIMAL = /^0x[0-9a-fA-F]+$/;
const FLOAT = /^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$/;

const CORE_TAG = "tag:yaml.org,2002:";

/** The value of a scalar written without quotes and without a tag. */
export function resolvePlain(source: string): ScalarValue {
  switch (source.charCodeAt(0)) {
    case 116: // t
    case 84: // T
      return source === "true" || source === "True" || source === "TRUE" ? true : source;
    case 102: // f
    case 70: // F
      return source === "false" || source === "False" || source === "FALSE" ? false : source;
    case 110: // n
    case 78: // N
      return source === "null" || source === "Null" || source === "NULL" ? null : source;
    case 126: // ~
      return source === "~" ? null : source;
    case 43: // +
    case 45: // -
    case 46: // .
    case 48:
    case 49:
    case 50:
    case 51:
    case 52:
    case 53:
    case 54:
    case 55:
    case 56:
    case 57:
      return resolveNumber(source) ?? source;
    default:
      return source === "" ? null : source;
  }
}

function resolveNumber(source: string): number | undefined {
  if (FLOAT.test(source)) return Number(source);
  if (OCTAL.test(source) || HEXADECIMAL.test(source)) return Number(source);
  switch (source) {
    case ".inf":
    case ".Inf":
    case ".INF":
    case "+.inf":
    case "+.Inf":
    case "+.INF":
      return Infinity;
    case "-.inf":
    case "-.Inf":
    case "-.INF":
      return -Infinity;
    case ".nan":
    case ".NaN":
    case ".NAN":
      return NaN;
    default:
      return undefined;
  }
}

/** What a tag says a node is, when the core schema knows it. */
export type CoreType = "str" | "int" | "float" | "bool" | "null" | "map" | "seq";

/** The core type a full tag names: `!` alone makes a scalar a string; undefined for every other tag. */
export function coreTypeOf(fullTag: string): CoreType | undefined {
  if (fullTag === "!") return "str";
  if (!fullTag.startsWith(CORE_TAG)) return undefined;
  const name = fullTag.slice(CORE_TAG.length);
  switch (name) {
    case "str":
    case "int":
    case "float":
    case "bool":
    case "null":
    case "map":
    case "seq":
      return name;
    default:
      return undefined;
  }
}

/**
 * The value of a scalar that carries a core tag, or undefined when the text does not fit it
 * (`!!int twelve`, `!!map text`).
 */
export function resolveTagged(source: string, type: CoreType): { readonly value: ScalarValue } | undefined {
  if (type === "str") return { value: source };
  const value = resolvePlain(source);
  switch (type) {
    case "int":
      return INTEGER.test(source) || OCTAL.test(source) || HEXADECIMAL.test(source) ? { value } : undefined;
    case "float":
      return typeof value === "number" ? { value } : undefined;
    case "bool":
      return typeof value === "boolean" ? { value } : undefined;
    case "null":
      return value === null ? { value } : undefined;
    default:
      return undefined;
  }
}

/**
 * The full name of a tag as written (`!!str`, `!<…>`, `!handle!name`, `!local`), by the text's `%TAG` lines.
 */
export function fullTagOf(written: string, handles: ReadonlyMap<string, string>): string {
  if (written === "!") return "!";
  if (written.startsWith("!<")) return decode(written.slice(2, -1));
  const second = written.indexOf("!", 1);
  const handle = second === -1 ? "!" : written.slice(0, second + 1);
  const prefix = handles.get(handle) ?? (handle === "!!" ? CORE_TAG : handle === "!" ? "!" : handle);
  return prefix + decode(written.slice(handle.length));
}

function decode(text: string): string {
  if (!text.includes("%")) return text;
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
