import { strict as assert } from "node:assert";
import { check } from "../support/check.ts";

const only = (code: string) => ({ only: (found: string): boolean => found === code });
const season = (rest: string): string => `#- season.yaml\nseason: 2026\n${rest}\n`;

describe("sample/packaging", () => {
  const rule = only("sample/packaging");
  const packed = (packaging: string, mark: string, rest = "lab: l"): string => `#- a.samples.yaml
samples:
  - id: s1
    field: long-meadow
    material: roots
    taken: 2026-08-14
    packed: ${packaging}
${mark === "" ? "" : `    #       ${"^".repeat(packaging.length)} warning sample/packaging: ${mark}\n`}    ${rest}
`;

  it("goes by the lab's list, else by the region's, and an empty list is none", () => {
    const labs = (accepts: string): string =>
      season(`region: ca-prairies\nlabs: [{ id: l, name: Lab L, accepts: [${accepts}] }]`);
    check(labs("tube") + packed("tube", ""), rule);
    check(labs("tube") + packed("paper bag", "Lab L takes roots in a tube, and these are in a paper bag"), rule);
    check(labs("") + packed("paper bag", ""), rule);
    check(labs("") + packed("tube", "roots belong in a paper bag, and these are in a tube"), rule);
    check(
      labs("tube") +
        packed("other", "roots belong in a paper bag, and these are in another packaging", "note: no lab yet"),
      rule,
    );
  });

  it("is silent where neither lab nor region says", () => {
    const bare =
      season("region: bare.region.yaml") + "#- bare.region.yaml\nregion: bare\ntitle: Bare\nhosts: [canola]\n";
    check(bare + packed("plastic bag", "", "note: no lab"), rule);
  });

  it("says what can still be done", () => {
    check(packed("plastic bag", "repack them in a paper bag before they go", "note: still here"), rule);
    check(packed("plastic bag", "ask the lab whether they arrived fit to test", "sent: 2026-08-15"), rule);
    check(
      packed("plastic bag", "use a paper bag the next time", "result: { reported: 2026-08-28, finding: detected }"),
      rule,
    );
  });

  it("looks at the season, or at every year when asked to", () => {
    const before = packed("plastic bag", "", "note: last year's").replace("2026-08-14", "2025-08-14");
    check(before, rule);
    const marked = packed("plastic bag", "roots belong", "note: last year's").replace("2026-08-14", "2025-08-14");
    check(`#! all-seasons\n${marked}`, rule);
    check(`#! as-of: 2026-08-13\n#! today: 2026-10-31\n${packed("plastic bag", "", "note: not taken yet")}`, rule);
  });

  it("can be accepted with a reason", () => {
    const book = packed("plastic bag", "", "note: x").replace(
      "    packed",
      "    # accept sample/packaging: driven to the lab at once\n    packed",
    );
    check(book, { only: (code) => code === "sample/packaging" || code === "structure/accept-unused" });
  });
});

describe("sample/not-sent", () => {
  const rule = only("sample/not-sent");
  const taken = (rest: string, mark: string): string => `#- a.samples.yaml
samples:
  - id: s1
${mark === "" ? "" : `    #   ^^ warning sample/not-sent: ${mark}\n`}    field: long-meadow
    material: soil
    taken: 2026-08-14
    ${rest}
`;

  it("counts by the region's own days", () => {
    const region =
      season("region: own.region.yaml") +
      "#- own.region.yaml\nregion: own\ntitle: Own\nextends: base\nsample: { send_within_days: 1 }\n";
    check(`#! as-of: 2026-08-15\n${region}${taken("note: a", "")}`, rule);
    check(
      `#! as-of: 2026-08-16\n${region}${taken("note: a", "2 days ago, and has not been sent, though 1 day is the most")}`,
      rule,
    );
    const bare = region.replace("extends: base\nsample: { send_within_days: 1 }\n", "");
    check(`${bare}${taken("note: a", "")}`, rule);
  });

  it("does not know yet of what is dated later than the as-of day", () => {
    const early = "#! as-of: 2026-08-25\n#! today: 2026-10-31\n";
    for (const rest of [
      "sent: 2026-08-26",
      "received: 2026-08-26",
      "result: { reported: 2026-08-26, finding: detected }",
    ]) {
      check(early + taken(rest, "11 days ago"), rule);
      check(taken(rest, ""), rule);
    }
  });

  it("takes a fresh sample of the same material", () => {
    check(taken("note: a", "take fresh soil if it has spoiled"), rule);
  });

  it("looks at the season, or at every year when asked to", () => {
    check(taken("note: a", "").replace("2026-08-14", "2025-08-14"), rule);
    check(`#! all-seasons\n${taken("note: a", "on 14 Aug 2025").replace("2026-08-14", "2025-08-14")}`, rule);
  });
});

describe("sample/overdue", () => {
  const rule = only("sample/overdue");
  const sent = (rest: string, mark: string): string => `#- a.samples.yaml
samples:
  - id: s1
    field: long-meadow
    material: roots
    taken: 2026-08-14
    sent: 2026-08-15
${mark === "" ? "" : `    #     ^^^^^^^^^^ warning sample/overdue: ${mark}\n`}    ${rest}
`;

  it("is silent for a lab without a figure, for an unknown lab, and for none", () => {
    const labs = season("region: ca-prairies\nlabs: [{ id: slow-lab }]");
    for (const rest of ["lab: slow-lab", "lab: no-such-lab", "note: no lab"]) check(labs + sent(rest, ""), rule);
  });

  it("takes a lab at its word, even for the same day", () => {
    const labs = season("region: ca-prairies\nlabs: [{ id: swift, turnaround_days: 0 }]");
    check(`#! as-of: 2026-08-15\n${labs}${sent("lab: swift", "")}`, rule);
    check(
      `#! as-of: 2026-08-16\n${labs}${sent("lab: swift", "1 day late: it was sent on 15 Aug, and swift takes 0 days")}`,
      rule,
    );
  });

  it("takes a result that was reported on the as-of day for known", () => {
    const result = "lab: plains-lab\n    result: { reported: 2026-09-20, finding: not detected }";
    check(`#! as-of: 2026-09-20\n${sent(result, "")}`, rule);
    check(`#! as-of: 2026-09-19\n#! today: 2026-10-31\n${sent(result, "14 days late")}`, rule);
  });

  it("looks at samples taken in the season, or in every year when asked to", () => {
    const before = (mark: string): string => sent("lab: plains-lab", mark).replaceAll("2026-08", "2025-08");
    check(before(""), rule);
    const [finding] = check(`#! all-seasons\n${before("sent on 15 Aug 2025")}`, rule);
    // From 15 August 2025 to 31 October 2026 are 442 days, of which the lab takes 21.
    assert.match(finding.message, /is 421 days late/);
  });
});
