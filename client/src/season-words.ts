// A season's standing in words. Knows no editor, so that plain tests can read it.
import type { Level, Season } from "./protocol.ts";

/** The statuses a field can have, riskiest first, each with an icon of the editor: shape and word say it, never colour alone. */
const icons: Readonly<Record<string, string>> = {
  confirmed: "error",
  suspected: "question",
  exposed: "warning",
  unscouted: "search",
  "not found": "pass",
  "no host this season": "circle-slash",
  waiting: "watch",
};

export function statusLook(status: string | undefined): { readonly icon: string; readonly word: string } {
  return { icon: (status !== undefined && icons[status]) || "circle-outline", word: status ?? "no fields yet" };
}

/** The riskiest status that any field of any book stands at; undefined where there are no fields. */
export function worstOf(seasons: readonly Season[]): string | undefined {
  const all = new Set(seasons.map(({ worst }) => worst));
  return Object.keys(icons).find((status) => all.has(status));
}

/** `2 errors, 31 warnings, 4 notes` */
export function findingsInWords(findings: Readonly<Record<Level, number>>): string {
  const notes = findings.information + findings.hint;
  const parts = [
    [findings.error, "error"],
    [findings.warning, "warning"],
    [notes, "note"],
  ] as const;
  const words = parts
    .filter(([count]) => count > 0)
    .map(([count, noun]) => `${count} ${noun}${count === 1 ? "" : "s"}`);
  return words.length > 0 ? words.join(", ") : "nothing to put right";
}

/**
 * `2026: 2 errors, 31 warnings; 2 of 14 fields confirmed.` Short, for the editor cuts a long message off.
 * @param name of the book, where there are several
 */
export function seasonInWords({ season, findings, fields, statuses, worst }: Season, name: string | undefined): string {
  const head = [name, season ?? (name ? undefined : "Season")].filter((part) => part !== undefined).join(" ");
  const count = worst === undefined ? 0 : (statuses[worst] ?? 0);
  const noun = fields.length === 1 ? "field" : "fields";
  const standing = worst === undefined ? "no fields yet" : `${count} of ${fields.length} ${noun} ${worst}`;
  return `${head}: ${findingsInWords(findings)}; ${standing}.`;
}
