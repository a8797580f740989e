/** A path with forward slashes as a relative URI (RFC 3986): no name in it is taken for a scheme, a query or a fragment. */
export function relativeUri(path: string): string {
  return path
    .split("/")
    .map((name) => encodeURIComponent(wellFormed(name)))
    .join("/");
}

/** Half of a character that stands alone has no bytes of its own: U+FFFD stands for it. */
export function wellFormed(text: string): string {
  return text.replace(/[\uD800-\uDFFF]/gu, "\uFFFD");
}
