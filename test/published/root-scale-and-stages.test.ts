// The root scale 0–3 (Chapara 2018, NDSU Langdon REC, after S. E. Strelkov: read; the scale is Kuginuki et al. 1999, from
// memory). The BBCH stages of oilseed rape as extension services print them: 00 to 65 read, beyond from memory. A bioassay
// can take six weeks: extension (read).
import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { stageMeaning } from "../../server/src/agronomy/bbch.ts";
import { check } from "../support/check.ts";

describe("the root scale", () => {
  it("is told where it is written down: under a third, one to two thirds, over two thirds of the roots", () => {
    const text = readFileSync(new URL("../../schemas/visits.schema.json", import.meta.url), "utf8");
    for (const said of [
      /0 is no galls/,
      /1 a few small galls on under a third/,
      /2 .* on one to two thirds/,
      /3 .* over two thirds/,
    ])
      assert.match(text, said);
  });
});

describe("BBCH stages of oilseed rape", () => {
  const STAGES: readonly [stage: number, says: RegExp, status: "read" | "from memory"][] = [
    [9, /^emergence$/, "read"],
    [10, /^cotyledons/, "read"],
    [30, /^rosette/, "read"],
    [50, /^buds/, "read"],
    [59, /buds|petals/, "read"],
    [60, /^first flowers open$/, "read"],
    [65, /flowering: 50 %/, "read"],
    [69, /^end of flowering$/, "from memory"],
    [71, /^10 % of pods/, "from memory"],
    [79, /pods at full size$/, "from memory"],
    [80, /^ripening/, "from memory"],
    [81, /^10 % of pods ripe$/, "from memory"],
    [83, /^30 % of pods ripe$/, "from memory"],
    [85, /^50 % of pods ripe$/, "from memory"],
    [87, /^70 % of pods ripe$/, "from memory"],
    [97, /dead/, "from memory"],
    [99, /^harvested$/, "from memory"],
  ];
  for (const [stage, says, status] of STAGES) {
    it(`${stage} (${status})`, () => assert.match(stageMeaning(stage) ?? "", says));
  }
});

describe("a bioassay of six weeks", () => {
  const book = (asOf: string, finding: string): string => `#! as-of: ${asOf}
#- season.yaml
season: 2026
region: ca-prairies
labs: [{ id: bioassay-lab, name: Bioassay lab, turnaround_days: 42 }]
#- a.samples.yaml
samples:
  - id: s1
    field: long-meadow
    material: soil
    taken: 2026-08-14
    lab: bioassay-lab
    sent: 2026-08-15
${finding}`;
  const only = { only: (code: string): boolean => code === "sample/overdue" };

  it("is not overdue on its last day, and is on the next", () => {
    check(book("2026-09-26", ""), only);
    check(book("2026-09-27", "    #     ^^^^^^^^^^ warning sample/overdue: 1 day late\n"), only);
  });
});
