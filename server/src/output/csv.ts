/**
 * One cell of a CSV file (RFC 4180). A text that a spreadsheet would take for a formula gets an apostrophe in front, so that
 * opening the file runs nothing.
 */
function csvCell(value: string | number | undefined): string {
  if (value === undefined) return "";
  if (typeof value === "number") return String(value);
  const harmless = /^[=+\-@\t\r\n]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}

export function csvTable(
  header: readonly string[],
  rows: readonly (readonly (string | number | undefined)[])[],
): string {
  return [header, ...rows].map((row) => `${row.map(csvCell).join(",")}\r\n`).join("");
}
