// Breaks between host crops that are asked for, in published rules (all read): Canadian extension services 2017 and 2020;
// St. Paul County and Lamont County, Alberta; advice in the United Kingdom, Sweden, Germany (North Rhine-Westphalia) and
// Australia. Each is a pack's figure: a break one year shorter is found, and one as long is not.
import { check } from "../support/check.ts";

/** Years without a host between two host crops. */
const RULES: readonly [rule: string, years: number][] = [
  ["Canada: at least two years between canola crops, 1 in 3", 2],
  ["Canada, 2011 (superseded): 4 years out if slight", 4],
  ["Canada, 2011 (superseded): 7 if severe", 7],
  ["United Kingdom: rape no more than 1 in 5", 4],
  ["Sweden: a rotation of 4 years", 3],
  ["Germany, vegetables: every 4 to 6 years, the shortest", 3],
  ["Germany, vegetables: every 4 to 6 years, the longest", 5],
  ["Australia: at least 5 host-free years", 5],
];

const AFTER_FIND: readonly [rule: string, years: number][] = [
  ["Lamont County: no canola or mustard for 2 years, under 10 % of plants", 2],
  ["St. Paul County: none for 3 years", 3],
];

function book(figure: string, asked: number, between: number, finding: string, clubroot = ""): string {
  const others = Array.from(
    { length: between },
    (_, i) => `      - { year: ${2025 - between + i + 1}, crop: barley }\n`,
  );
  const mark = finding === "" ? "" : `      #                     ^^^^^^ ${finding}\n`;
  return (
    `#- season.yaml\nseason: 2026\nregion: local.region.yaml\n` +
    `#- local.region.yaml\nregion: local\ntitle: Local\nextends: base\nrotation: { ${figure}: ${asked} }\nsources: { rotation: test }\n` +
    `#- a.fields.yaml\nfields: [{ id: long-meadow, name: Long Meadow${clubroot} }]\n` +
    `#- a.rotations.yaml\nrotations:\n  - field: long-meadow\n    crops:\n` +
    `      - { year: ${2025 - between}, crop: canola }\n${others.join("")}      - { year: 2026, crop: canola }\n${mark}`
  );
}

const only = {
  only: (code: string): boolean => code === "rotation/break-too-short" || code === "rotation/break-after-find",
};
const needed = (years: number): string => `where ${years} ${years === 1 ? "is" : "are"} needed`;

describe("published rules on the break between host crops", () => {
  for (const [rule, years] of RULES) {
    it(rule, () => {
      check(book("break_years", years, years - 1, `warning rotation/break-too-short: ${needed(years)}`), only);
      check(book("break_years", years, years, ""), only);
    });
  }

  for (const [rule, years] of AFTER_FIND) {
    it(`after a find: ${rule}`, () => {
      const found = ", clubroot: { found_on: 2015-09-01 }";
      const finding = `error rotation/break-after-find: ${needed(years)}`;
      check(book("break_years_after_find", years, years - 1, finding, found), only);
      check(book("break_years_after_find", years, years, "", found), only);
    });
  }
});
