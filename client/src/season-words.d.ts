import type { Level, Season } from "./protocol.ts";
export declare function statusLook(status: string | undefined): {
    readonly icon: string;
    readonly word: string;
};
/** The riskiest status that any field of any book stands at; undefined where there are no fields. */
export declare function worstOf(seasons: readonly Season[]): string | undefined;
/** `2 errors, 31 warnings, 4 notes` */
export declare function findingsInWords(findings: Readonly<Record<Level, number>>): string;
/**
 * `Season 2026: 2 errors, 31 warnings. Of 14 fields, 2 confirmed, 1 suspected.`
 * @param name of the book, where there are several
 */
export declare function seasonInWords({ season, findings, fields, statuses }: Season, name: string | undefined): string;
