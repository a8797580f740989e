// The commands on a season that runs from the autumn of seeding to the harvest that gives it its year.
import { strict as assert } from "node:assert";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { inFolder, spadework } from "../support/command-line.ts";
import { commit, git } from "../support/repository.ts";

const DIG = `  - id: v3
    field: oak
    arrived: 2025-11-20T10:00
    purpose: scouting
    footwear: disposable
    digs: [{ id: d1, place: entrance, plants: 200, ratings: [200, 0, 0, 0] }]
`;
const BOOK = {
  "season.yaml": "season: 2026\nregion: gb\n",
  "a.fields.yaml":
    "fields:\n  - { id: ash, name: Ash, clubroot: { found_on: 2024-11-12 } }\n  - { id: oak, name: Oak }\n  - { id: elm, name: Elm }\n",
  "a.equipment.yaml": "equipment: [{ id: drill-1, kind: seeder }]\n",
  "a.rotations.yaml":
    "rotations:\n  - { field: oak, crops: [{ year: 2026, crop: winter oilseed rape, seeded: 2025-08-28 }] }\n" +
    "  - { field: elm, crops: [{ year: 2026, crop: winter oilseed rape, seeded: 2025-08-28 }, { year: 2031, crop: kale }] }\n",
  "2026.visits.yaml": `visits:
  - { id: v1, field: ash, arrived: 2025-08-27T09:00, left: 2025-08-27T15:00, purpose: seeding, equipment: [drill-1], footwear: disposable }
  - { id: v2, field: elm, arrived: 2025-08-28T09:00, left: 2025-08-28T15:00, purpose: seeding, equipment: [drill-1], footwear: disposable }
`,
};

interface Risks {
  fields: { field: string; status: string; plants_dug: number; window: { opens: string; closes: string } | null }[];
}

describe("the commands in a season from autumn to harvest", () => {
  const risks = async (asOf: string, more = ""): Promise<string[]> => {
    const files = { ...BOOK, "2026.visits.yaml": BOOK["2026.visits.yaml"] + more };
    const { out } = await inFolder(files, (folder) => spadework(["risk", folder, "--as-of", asOf, "--format", "json"]));
    return (JSON.parse(out) as Risks).fields.map(
      ({ field, status, plants_dug: dug, window }) =>
        `${field} ${status} ${dug}${window ? ` ${window.opens} ${window.closes}` : ""}`,
    );
  };

  it("risk follows a field from seeding over New Year to the turn of the season", async () => {
    // 28 August and 60 days: 27 October; and 120: 26 December.
    const window = "2025-10-27 2025-12-26";
    const others = ["ash confirmed 0", `elm exposed 0 ${window}`];
    assert.deepEqual(await risks("2025-10-01"), [...others, `oak waiting 0 ${window}`]);
    assert.deepEqual(await risks("2025-11-25"), [...others, `oak unscouted 0 ${window}`]);
    assert.deepEqual(await risks("2025-11-25", DIG), [...others, `oak not found 200 ${window}`]);
    assert.deepEqual(await risks("2026-02-01", DIG), [...others, `oak not found 200 ${window}`]);
    assert.deepEqual(await risks("2026-08-20", DIG), [...others, `oak not found 200 ${window}`]);
  });

  it("risk says why no window is known of a crop: what is not recorded, or what the region does not say", async () => {
    const why = async (region: string, crop: string): Promise<string | undefined> => {
      const files = {
        "season.yaml": `season: 2026\nregion: ${region}\n`,
        "a.fields.yaml": "fields: [{ id: oak, name: Oak }]\n",
        "a.rotations.yaml": `rotations: [{ field: oak, crops: [{ year: 2026, crop: canola, ${crop} }] }]\n`,
      };
      const { out } = await inFolder(files, (folder) => spadework(["risk", folder, "--as-of", "2026-07-15"]));
      return /^\. waiting +Oak +(.*?)(?: ·|$)/m.exec(out)?.[1];
    };
    const ofSpring = "the region gives no scouting window for a crop seeded in the year of its harvest";
    assert.equal(await why("gb", "seeded: 2026-04-01"), ofSpring);
    assert.equal(await why("gb", "note: x"), "its seeding is not recorded");
    assert.equal(await why("au", "seeded: 2026-04-28"), "the region gives no scouting window");
    assert.equal(await why("ca-prairies", "note: x"), "neither seeding nor swathing is recorded");
  });

  it("trace says when to walk by the season of the day", async () => {
    const advice = async (asOf: string): Promise<string> => {
      const { out } = await inFolder(BOOK, (folder) => spadework(["trace", folder, "--as-of", asOf]));
      return /What to do: (.*?), after/.exec(out)![1]!;
    };
    assert.equal(await advice("2025-10-01"), "walk it from 27 Oct 2025 to 26 Dec 2025");
    assert.equal(await advice("2025-11-25"), "walk it by 26 Dec 2025");
    assert.equal(await advice("2026-03-01"), "walk it in 2031, from about 60 days after the seeding of its kale");
    assert.equal(await advice("2026-08-20"), "walk it in 2031, from about 60 days after the seeding of its kale");
  });

  it("diff tells a change of status by a dig in the autumn before", async () => {
    const { out } = await inFolder(BOOK, async (folder) => {
      git(folder, "init", "-q");
      commit(folder, {}, "before-the-dig");
      writeFileSync(join(folder, "2026.visits.yaml"), BOOK["2026.visits.yaml"] + DIG);
      return spadework(["diff", "HEAD", folder, "--as-of", "2026-01-10", "--format", "json"]);
    });
    const { status, findings } = JSON.parse(out) as {
      status: unknown;
      findings: Record<"gained" | "lost", { code: string }[]>;
    };
    assert.deepEqual(status, [{ field: "oak", from: "unscouted", to: "not found" }]);
    assert.deepEqual(findings.gained, []);
    assert.deepEqual(
      findings.lost.map(({ code }) => code),
      ["scouting/window-missed"],
    );
  });
});
