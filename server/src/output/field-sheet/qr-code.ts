import qrcode from "qrcode-generator";
import { element, type Markup } from "../markup.ts";

/** Modules of empty margin that a reader needs (ISO/IEC 18004, 9.1). */
const QUIET = 4;
/** Longer texts make a code too fine for a wet page. */
const LONGEST = 300;

/** A text as a QR code (ISO/IEC 18004) with medium error correction; undefined for one that is too long to be read in a field. */
export function qrCode(text: string, label: string): Markup | undefined {
  if (text === "" || text.length > LONGEST) return undefined;
  // Readers take the bytes for UTF-8.
  const code = qrcode(0, "M");
  code.addData(utf8Bytes(text), "Byte");
  code.make();
  const count = code.getModuleCount();
  // A path for each row: `element` lets no text grow too long.
  const rows = Array.from({ length: count }, (_, row) => {
    let d = "";
    for (let column = 0; column < count; column++) {
      if (!code.isDark(row, column)) continue;
      let length = 1;
      while (column + length < count && code.isDark(row, column + length)) length++;
      d += `M${column + QUIET} ${row + QUIET}h${length}v1h-${length}z`;
      column += length;
    }
    return element("path", { d });
  });
  const size = count + 2 * QUIET;
  return element(
    "svg",
    { class: "qr", viewBox: `0 0 ${size} ${size}`, role: "img", "aria-label": label },
    element("rect", { width: size, height: size, fill: "#fff" }),
    element("g", { fill: "#000" }, rows),
  );
}

const LONE_SURROGATE = /[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g;

/** A text that can be written as UTF-8: halves of characters, which a broken file may hold, are replaced. */
export function wellFormed(text: string): string {
  return text.replace(LONE_SURROGATE, "\uFFFD");
}

/** A text's bytes, each as the character of its number. */
function utf8Bytes(text: string): string {
  return encodeURIComponent(wellFormed(text)).replace(/%([0-9A-F]{2})/g, (_, byte: string) =>
    String.fromCharCode(parseInt(byte, 16)),
  );
}
