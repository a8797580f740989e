import { strict as assert } from "node:assert";
import fc from "fast-check";
import { selectionRanges } from "../../server/src/features/selection-ranges.ts";
import { atCursor, inFile } from "../support/feature.ts";

function selections(source: string): string[] {
  const { context, offset } = atCursor(source);
  return selectionRanges(context, offset).map(({ start, end }) => context.file.text.slice(start, end));
}

const HEAD = "#- a.visits.yaml\nvisits:\n  # first\n  - id: v1\n";

describe("selection ranges", () => {
  it("grow from the word to the file", () => {
    const digs = '    digs:\n      - { id: d1, place: "low$0 spot", plants: 20 }\n';
    const bare = digs.replace("$0", "");
    assert.deepEqual(selections(HEAD + digs), [
      "low",
      "low spot",
      '"low spot"',
      'place: "low spot"',
      '{ id: d1, place: "low spot", plants: 20 }',
      '- { id: d1, place: "low spot", plants: 20 }',
      `digs:\n      - { id: d1, place: "low spot", plants: 20 }`,
      `id: v1\n${bare.trimEnd()}`,
      `  # first\n  - id: v1\n${bare.trimEnd()}`,
      `visits:\n  # first\n  - id: v1\n${bare}`,
    ]);
  });

  it("begin at the key where the cursor is on it", () => {
    assert.deepEqual(selections(`${HEAD}    stage$0: 83\n`).slice(0, 3), [
      "stage",
      "stage: 83",
      "id: v1\n    stage: 83",
    ]);
  });

  it("take characters beyond the BMP whole", () => {
    const [word, quoted] = selections(`${HEAD}    note: 'a 𝒜𝒷$0𝒸 🌱'\n`);
    assert.equal(word, "𝒜𝒷𝒸");
    assert.equal(quoted, "a 𝒜𝒷𝒸 🌱");
  });

  it("reach the file from comments, blank lines, season.yaml and tables", () => {
    assert.deepEqual(selections("#- a.visits.yaml\nvisits:\n  - id: v1\n# the $0end\n").at(-2), "end");
    assert.equal(
      selections("#- season.yaml\nseason: 2026\ncrew:\n  - { id: $0mo }\n").at(-1),
      "season: 2026\ncrew:\n  - { id: mo }\n",
    );
    assert.deepEqual(selections("#- a.weather.csv\ndate,tmin$0_c\n"), ["tmin_c", "date,tmin_c\n"]);
    assert.deepEqual(selections("#- a.visits.yaml\n$0"), [""]);
  });

  it("each hold the one before, the offset, and whole characters, whatever the text", () => {
    const text = `${HEAD}    crew: [mo, "in\\u0065s"]\n    note: >\n      dry 🌱 knolls\n  - id: v2\n`
      .split("\n")
      .slice(1)
      .join("\n");
    fc.assert(
      fc.property(
        fc.nat(text.length),
        fc.nat(20),
        fc.string({ unit: "binary", maxLength: 5 }),
        fc.nat(150),
        (at, cut, noise, offset) => {
          const edited = text.slice(0, at) + noise.replaceAll("\n#-", "") + text.slice(at + cut);
          const context = inFile(`#- a.visits.yaml\n${edited.replace(/^#[-!].*$/gm, "")}`);
          const ranges = selectionRanges(context, offset);
          const here = Math.min(offset, context.file.text.length);
          assert.ok(ranges.length > 0);
          ranges.forEach(({ start, end }, i) => {
            assert.ok(start <= here && here <= end);
            const inner = ranges[i - 1];
            if (inner) assert.ok(start <= inner.start && end >= inner.end && end - start > inner.end - inner.start);
          });
          assert.deepEqual(ranges.at(-1), { start: 0, end: context.file.text.length });
        },
      ),
      { numRuns: 300 },
    );
  });
});
