import { strict as assert } from "node:assert";
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { HtmlValidate } from "html-validate";
import { inFolder, spadework } from "../support/command-line.ts";

const SAMPLE = fileURLToPath(new URL("../../sample-workspace", import.meta.url));
const GROWERS = ["alder-bench", "wicket-hill", "two-sloughs"];

async function report(folder: string, grower: string, ...more: string[]): Promise<string> {
  const { out, code, error } = await spadework(["report", folder, "--grower", grower, ...more]);
  assert.equal(code, 0, error);
  return out;
}

/** What a reader sees, without the drawing's style. */
function wordsOf(page: string): string {
  return page
    .replace(/<style>.*?<\/style>/s, "")
    .replace(/<[^>]+>/g, " ")
    .replace(/\s+/g, " ");
}

describe("a grower's report", () => {
  it("is valid HTML", async () => {
    const validate = new HtmlValidate({ extends: ["html-validate:recommended"] });
    for (const grower of GROWERS) {
      const found = await validate.validateString(await report(SAMPLE, grower));
      assert.deepEqual(
        found.results.flatMap(({ messages }) => messages.map(({ ruleId, message }) => `${ruleId}: ${message}`)),
        [],
      );
    }
  });

  it("needs nothing from outside and runs nothing, and its own policy says so", async () => {
    const page = await report(SAMPLE, "two-sloughs");
    assert.doesNotMatch(page, /<script|<link|<img|<iframe|javascript:|url\((?!#)|\son\w+=|\sstyle=/i);
    assert.doesNotMatch(page.replaceAll("http://www.w3.org/2000/svg", ""), /https?:/);
    const css = /<style>(.*?)<\/style>/s.exec(page)![1]!;
    const hash = createHash("sha256").update(css).digest("base64");
    const policy = `default-src &#39;none&#39;; style-src &#39;sha256-${hash}&#39;; base-uri &#39;none&#39;; form-action &#39;none&#39;`;
    assert.ok(page.includes(`content="${policy}"`));
  });

  it("has all of its parts, and says the most pressing thing at the top", async () => {
    const page = await report(SAMPLE, "two-sloughs");
    const heads = [...page.matchAll(/<h2>([^<]+)<\/h2>/g)].map(([, head]) => head);
    assert.deepEqual(heads, [
      "The season in brief",
      "Fields by status",
      "What to do next, and why",
      "Map",
      "What each dig shows",
      "Samples and results",
      "Rotation and breaks",
      "Visits and clean-downs",
      "Method and sources",
      "Cautions",
    ]);
    const words = wordsOf(page);
    for (const said of [
      "Two Sloughs Grain has 4 fields in these records",
      "Clubroot is known on East Slough.",
      "What presses most: on East Slough, ask whether the find must be told",
      "soil of East Slough may have come here on ts-swather (left 22 Aug, arrived 25 Aug), all of it left",
      "canola is planned for 2029, after 2 years without a host; 3 are asked after a find",
      "dig all 157 plants the next time it grows a host crop",
      "Every dig of the season, and what it shows",
      "A clean dig is evidence, not proof",
    ])
      assert.ok(words.includes(said), said);
  });

  it("names no field, farm, machine or visit of another grower", async () => {
    const others: Readonly<Record<string, RegExp>> = {
      "alder-bench":
        /East Slough|Rail Side|Dugout|Back Forty|Mill Quarter|West Eighty|Lone Tree|Gravel|North Eighty|Wicket|Sloughs|\b(wh|ts)-|east-slough|mill-quarter/,
      "wicket-hill":
        /East Slough|Rail Side|Dugout|Back Forty|Corner Quarter|Long Meadow|Poplar|Hay Corner|School|Alder|Sloughs|\b(ab|ts)-|long-meadow/,
      "two-sloughs":
        /Mill Quarter|West Eighty|Lone Tree|Gravel|North Eighty|Corner Quarter|Long Meadow|Poplar|Hay Corner|School|Alder|Wicket|\b(ab|wh)-/,
    };
    for (const grower of GROWERS) {
      const page = await report(SAMPLE, grower);
      assert.doesNotMatch(page, others[grower]!);
    }
    const words = wordsOf(await report(SAMPLE, "wicket-hill"));
    assert.ok(
      words.includes(
        "soil of a neighbouring field may have come to a neighbouring field on another farm&#39;s seeder (left 8 May, arrived 10 May), then here on dig-kit-1 (left 13 Aug, arrived 14 Aug)",
      ),
    );
  });

  it("calls what went on after a clean-down that fell short not clean, rather than uncleaned", async () => {
    const page = await report(SAMPLE, "alder-bench");
    assert.match(
      page,
      /Went on not clean<\/strong>: [^:]*from Corner Quarter to Long Meadow after a clean-down that fell short/,
    );
    assert.ok(!page.includes("Went on uncleaned"));
  });

  it("tells the season as it stood on a day", async () => {
    const words = wordsOf(await report(SAMPLE, "two-sloughs", "--as-of", "2026-08-20"));
    assert.ok(words.includes("On Dugout Field, East Slough and Rail Side it is suspected, and not settled yet."));
    assert.ok(words.includes("What presses most: on Dugout Field, treat it as confirmed until a lab has answered"));
    assert.ok(words.includes("Wait for the result of sample s-0812-1 : it was sent on 13 Aug, and is due by 3 Sep."));
    assert.ok(!words.includes("Clubroot is known on"));
  });

  it("tells while a scouting window is open what is still to do, and only after it what was missed", async () => {
    const during = await report(SAMPLE, "wicket-hill", "--as-of", "2026-08-25");
    assert.match(during, /Lone Tree grows a host crop and has not been dug in the scouting window yet\./);
    assert.match(during, /it grows a host crop, and no roots have been dug in the scouting window yet/);
    // 40 plants were dug on 11 August, before the window opened: as the plan does, the report counts those of the window.
    assert.match(during, /Dig 157 plants by 4 Sep/);
    const before = await report(SAMPLE, "wicket-hill", "--as-of", "2026-08-12");
    assert.match(before, /Dig from 14 Aug to 4 Sep<\/strong>: none were dug in the scouting window, and it takes 157/);
    const after = await report(SAMPLE, "wicket-hill");
    assert.match(after, /Lone Tree had a host crop and was not dug in the scouting window, so nothing is known of it/);
  });

  it("lets a hostile book inject nothing", async () => {
    const evil = `</title></style><script>alert(1)</script><img src=x onerror=alert(2)>"'&amp;\\u202e`;
    const text = JSON.stringify(evil.replace("\\u202e", "\u202e"));
    const files = {
      "season.yaml": `season: 2026\nregion: ca-prairies\ngrowers: [{ id: g, name: ${text} }]\nlabs: [{ id: l, name: ${text} }]\n`,
      "a.fields.yaml": `fields:\n  - { id: a, name: ${text}, grower: g, entrances: [{ id: e, name: ${text}, position: [10, 50], usual: true }], boundary: boundaries/evil.geojson }\n  - { id: b, name: ${text}, clubroot: { found_on: 2026-05-01 } }\n`,
      "a.equipment.yaml": `equipment: [{ id: k, name: ${text}, kind: seeder, owner: ${text} }]\n`,
      "a.rotations.yaml": `rotations: [{ field: a, crops: [{ year: 2026, crop: canola, variety: ${text} }, { year: 2027, crop: ${text} }] }]\n`,
      "a.visits.yaml": `visits:\n  - { id: v0, field: b, arrived: 2026-05-02T08:00, purpose: seeding, equipment: [k] }\n  - { id: v1, field: a, arrived: 2026-05-03T08:00, purpose: scouting, equipment: [k], note: ${text}, patches: [{ id: p, symptom: ${text}, position: [10, 50] }], digs: [{ id: d, place: entrance, plants: 5, ratings: [5, 0, 0, 0] }] }\n`,
      "a.samples.yaml": `samples: [{ id: s, field: a, material: soil, taken: 2026-06-01, lab: l, sent: 2026-06-02, result: { reported: 2026-06-20, finding: inconclusive, pathotype: ${text} } }]\n`,
      "boundaries/evil.geojson": `{"type":"Polygon","coordinates":"${"<script>"}"}`,
    };
    await inFolder(files, async (folder) => {
      const page = await report(folder, "g");
      assert.doesNotMatch(page, /<script|<img|\u202e/);
      assert.ok(page.includes("&lt;script&gt;alert(1)&lt;/script&gt;"));
      // Its title is long only for being escaped.
      const rules = { "long-title": "off" } as const;
      const validate = new HtmlValidate({ extends: ["html-validate:recommended"], rules });
      const { valid, results } = await validate.validateString(page);
      assert.ok(valid, JSON.stringify(results[0]?.messages));
    });
  });

  it("says for how long a mix keeps by the region's figure, and by none where the region has none", () =>
    inFolder(
      {
        "season.yaml": "season: 2026\nregion: ours.region.yaml\ngrowers: [{ id: gus }]\n",
        "ours.region.yaml": "region: ours\nextends: base\ncleaning: { mix_keeps_hours: 13 }\n",
        "a.fields.yaml": "fields: [{ id: oak, grower: gus }]\n",
      },
      async (folder) => {
        const ask = async (): Promise<string> =>
          (await spadework(["report", folder, "--grower", "gus", "--as-of", "2026-08-20"])).out;
        assert.match(await ask(), /A diluted mix is discarded after 13 hours\./);
        writeFileSync(
          join(folder, "ours.region.yaml"),
          "region: ours\nextends: base\nunknown: { cleaning.mix_keeps_hours: not looked up }\n",
        );
        const without = await ask();
        assert.match(without, /discard it when its label says/);
        assert.doesNotMatch(without, /after a day|\d+ hours/);
      },
    ));

  it("is told without a map, digs or visits where the book has none", () =>
    inFolder(
      {
        "season.yaml": "season: 2026\ngrowers: [{ id: g }]\n",
        "a.fields.yaml": "fields: [{ id: a, grower: g }]\n",
      },
      async (folder) => {
        const words = wordsOf(await report(folder, "g"));
        for (const said of [
          "there is no map",
          "No roots were dug",
          "No samples are recorded",
          "No visits to these fields",
        ])
          assert.ok(words.includes(said), said);
      },
    ));

  it("goes to a file where one is named, and says what is wrong with the question", () =>
    inFolder({}, async (folder) => {
      const file = join(folder, "a.html");
      const written = await spadework(["report", SAMPLE, "--grower", "alder-bench", "--out", file]);
      assert.equal(written.code, 0);
      assert.equal(written.out, `${file} is written; open it in a browser to read or print it.\n`);
      assert.equal(readFileSync(file, "utf8"), await report(SAMPLE, "alder-bench"));
      const questions: readonly (readonly [readonly string[], RegExp])[] = [
        [["report", SAMPLE], /--grower is needed.*alder-bench, wicket-hill and two-sloughs/],
        [["report", SAMPLE, "--grower", "alder-benh"], /no grower alder-benh; did you mean alder-bench\?/],
        [["report", SAMPLE, folder, "--grower", "alder-bench"], /takes one folder/],
        [
          ["report", SAMPLE, "--grower", "alder-bench", "--out", join(folder, "no/a.html")],
          /lies in a folder that does not exist/,
        ],
        [["report", folder, "--grower", "alder-bench"], /holds no record book/],
      ];
      for (const [args, why] of questions) {
        const { code, out, error } = await spadework(args);
        assert.equal(code, 2);
        assert.equal(out, "");
        assert.match(error, why);
      }
    }));
});
