/**
 * Markup for pages and drawings, safe by how it is made: every text goes in through `element`, which escapes it, and only
 * what `element` itself has made goes in as it is.
 */
export class Markup {
  readonly #source: string;

  private constructor(source: string) {
    this.#source = source;
  }

  /** @param name of an element, from the code and never from a record */
  static element(name: string, attributes: Attributes, children: readonly Child[]): Markup {
    const written = Object.entries(attributes).map(([key, value]) => attribute(key, value));
    const head = `<${name}${written.join("")}>`;
    return new Markup(VOID.has(name) ? head : `${head}${children.map(inSource).join("")}</${name}>`);
  }

  static joined(children: readonly Child[]): Markup {
    return new Markup(children.map(inSource).join(""));
  }

  /** A style sheet of the code's own; nothing in it may come from a record. */
  static style(css: string, attributes: Attributes = {}): Markup {
    const written = Object.entries(attributes).map(([key, value]) => attribute(key, value));
    return new Markup(`<style${written.join("")}>${css}</style>`);
  }

  toString(): string {
    return this.#source;
  }
}

export type Attributes = Readonly<Record<string, string | number | boolean | undefined>>;
export type Child = Markup | string | number | false | undefined | readonly Child[];

const VOID: ReadonlySet<string> = new Set(["meta", "br", "col", "hr", "input"]);
const ENTITIES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};
// What no XML may hold, and what turns the direction of writing and so could forge a line; line breaks and tabs may stay.
const UNPRINTABLE =
  // eslint-disable-next-line no-control-regex
  /[\u0000-\u0008\u000B\u000C\u000E-\u001F\u007F-\u009F\u061C\u200E\u200F\u2028-\u202E\u2066-\u2069\uFEFF\uFFFE\uFFFF]|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g;
/** Longer than anything that is read in a drawing or a table: a text of a stranger's. */
const LONGEST = 2000;

/** A text as it may stand in an element or a quoted attribute of HTML and of XML. */
export function escaped(text: string): string {
  const shown = text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text;
  return shown.replace(UNPRINTABLE, "\uFFFD").replace(/[&<>"']/g, (character) => ENTITIES[character]!);
}

/** `element("p", { class: "note" }, "text", element("b", {}, "more"))`; what is undefined or false is left out. */
export function element(name: string, attributes: Attributes = {}, ...children: readonly Child[]): Markup {
  return Markup.element(name, attributes, children);
}

export function joined(...children: readonly Child[]): Markup {
  return Markup.joined(children);
}

function attribute(key: string, value: Attributes[string]): string {
  if (value === undefined || value === false) return "";
  if (value === true) return ` ${key}`;
  return ` ${key}="${typeof value === "number" ? short(value) : escaped(value)}"`;
}

function inSource(child: Child): string {
  if (child === undefined || child === false) return "";
  if (child instanceof Markup) return child.toString();
  if (typeof child === "number") return short(child);
  return typeof child === "string" ? escaped(child) : child.map(inSource).join("");
}

/** A number with two decimals at most, as drawings need them. */
export function short(value: number): string {
  return Number.isFinite(value) ? String(Math.round(value * 100) / 100 || 0) : "0";
}
