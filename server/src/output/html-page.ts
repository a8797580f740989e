import { sha256 } from "../base/sha256.ts";
import { oneLine } from "../base/safe-text.ts";
import { element, Markup, type Child } from "./markup.ts";

/**
 * A page that needs nothing beside it and runs nothing: no script, no image, no font and no address from outside, which its
 * own security policy says as well. The style sheet is let in by its hash alone.
 *
 * @param css the code's own; it stands in the page as it is
 */
export function htmlPage(title: string, css: string, ...body: readonly Child[]): string {
  const policy = `default-src 'none'; style-src 'sha256-${base64(sha256(css))}'; base-uri 'none'; form-action 'none'`;
  const page = element(
    "html",
    { lang: "en" },
    element(
      "head",
      {},
      element("meta", { charset: "utf-8" }),
      element("meta", { "http-equiv": "Content-Security-Policy", content: policy }),
      element("meta", { name: "viewport", content: "width=device-width, initial-scale=1" }),
      element("meta", { name: "referrer", content: "no-referrer" }),
      element("title", {}, oneLine(title, 70)),
      Markup.style(css),
    ),
    element("body", {}, body),
  );
  return `<!DOCTYPE html>\n${page.toString()}\n`;
}

const DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/** Bytes written as hexadecimal digits in base 64 (RFC 4648). */
export function base64(hexadecimal: string): string {
  let text = "";
  for (let i = 0; i < hexadecimal.length; i += 6) {
    const bytes = hexadecimal.slice(i, i + 6);
    const bits = parseInt(bytes.padEnd(6, "0"), 16);
    const digits = [18, 12, 6, 0].map((shift) => DIGITS[(bits >>> shift) & 63]!);
    text += digits
      .slice(0, bytes.length / 2 + 1)
      .join("")
      .padEnd(4, "=");
  }
  return text;
}
