import { strict as assert } from "node:assert";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { HtmlValidate } from "html-validate";
import jsQR from "jsqr";
import { qrCode } from "../../server/src/output/field-sheet/qr-code.ts";
import { inFolder, spadework } from "../support/command-line.ts";

const validator = new HtmlValidate({ root: true, extends: ["html-validate:standard"] });

/** Every sheet of a plan, by the name of its file. */
async function sheetsOf(args: readonly string[]): Promise<Map<string, string>> {
  const folder = mkdtempSync(join(tmpdir(), "spadework-sheets-"));
  try {
    const { code, error, out } = await spadework(["plan", ...args, "--sheets", join(folder, "new/sheets")]);
    assert.equal(error, "");
    assert.equal(code, 0);
    const names = readdirSync(join(folder, "new/sheets"));
    assert.match(out, new RegExp(`${names.length} field sheets? written into `));
    return new Map(names.map((name) => [name, readFileSync(join(folder, "new/sheets", name), "utf8")]));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const SAMPLE = ["sample-workspace", "--as-of", "2026-08-18", "--days", "4", "--home", "51.88,-104.40"];

/** What a QR reader sees in a drawing of squares, eight pixels to a module. */
function readCode(svg: string): string | undefined {
  const size = Number(/viewBox="0 0 (\d+) /.exec(svg)![1]);
  const scale = 8;
  const pixels = new Uint8ClampedArray((size * scale) ** 2 * 4).fill(255);
  for (const [, x, y, length] of svg.matchAll(/M(\d+) (\d+)h(\d+)v1h-\3z/g)) {
    for (let row = Number(y) * scale; row < (Number(y) + 1) * scale; row++)
      for (let column = Number(x) * scale; column < (Number(x) + Number(length)) * scale; column++)
        pixels.fill(0, (row * size * scale + column) * 4, (row * size * scale + column) * 4 + 3);
  }
  return jsQR(pixels, size * scale, size * scale)?.data;
}

function codeIn(page: string): string | undefined {
  return readCode(/<svg class="qr".*?<\/svg>/s.exec(page)![0]);
}

describe("a field sheet", () => {
  it("is there for every field of the plan, named in the order of the walks, and is valid HTML", async () => {
    const sheets = await sheetsOf(SAMPLE);
    assert.deepEqual(
      [...sheets.keys()],
      [
        "2026-08-18-mo-1-lone-tree.html",
        "2026-08-18-mo-2-dugout-field.html",
        "2026-08-18-mo-3-rail-side.html",
        "2026-08-19-mo-1-west-eighty.html",
        "2026-08-19-mo-2-mill-quarter.html",
      ],
    );
    for (const [name, page] of sheets) {
      const { results } = await validator.validateString(page);
      assert.deepEqual(
        results.flatMap(({ messages }) => messages.map(({ message }) => `${name}: ${message}`)),
        [],
      );
      // Nothing runs and nothing is fetched.
      assert.ok(page.includes("default-src &#39;none&#39;"));
      assert.ok(!/<script|<img|<link|<iframe|\bon\w+=|\bstyle=|url\((?!#)|@import|href=/i.test(page), name);
    }
  });

  it("holds the map, the stops, the last findings, blanks, the key, the clean-down and the cautions", async () => {
    const sheets = await sheetsOf(SAMPLE);
    const rail = sheets.get("2026-08-18-mo-3-rail-side.html")!;
    for (const words of [
      "<h1>Rail Side</h1>",
      "Two Sloughs Grain",
      "Tuesday 18 Aug",
      "doubtful: suspected",
      "no result yet of sample s-0818-1",
      'class="picture',
      "in patch p2, seen on visit v-0818-rail-side (wilting, 25 m²",
      "18 Aug: 160 plants dug at 4 places, none with galls",
      "hybridisation nodule",
      "rounder than a gall, firm and white still in autumn, does not decay",
      "2: small to medium galls, on a third to two thirds".slice(1),
      "0.96 L of 5.25 % bleach into 4.04 L of water (5 L of 1 %). Keep it wet for 15 minutes",
      "Never mix bleach with acids or ammonia",
      "re-entry interval comes first",
      "the municipality or county",
    ])
      assert.ok(rail.includes(words), words);
    // One row a stop, each with five boxes to fill in.
    const lone = sheets.get("2026-08-18-mo-1-lone-tree.html")!;
    assert.equal(lone.match(/<th scope="row">/g)!.length, 11);
    assert.equal(lone.match(/<td class="box"><\/td>/g)!.length, 55);
    assert.equal(lone.match(/<svg class="drawing"/g)!.length, 4 + 6);
    assert.ok(lone.includes("size:A5 portrait"));
    const letter = await sheetsOf([...SAMPLE, "--paper", "letter"]);
    assert.ok(letter.get("2026-08-18-mo-1-lone-tree.html")!.includes("size:letter portrait"));
  });

  it("opens the record by its code: the path in the book, or an address in front of it, and never a path of this machine", async () => {
    for (const page of (await sheetsOf(SAMPLE)).values()) {
      assert.equal(codeIn(page), "2026/08-august.visits.yaml");
      assert.ok(!page.includes(process.cwd()) && !page.includes(tmpdir()));
    }
    const links = "vscode://file/home/me/my%20records/";
    for (const page of (await sheetsOf([...SAMPLE, "--links", links])).values())
      assert.equal(codeIn(page), `${links}2026/08-august.visits.yaml`);
  });

  it("has a code that an independent reader reads, whatever is in it", () => {
    for (const text of ["a", "2026/08-août.visits.yaml", "https://example.test/ü/🌱?x=1&y=<z>", "x".repeat(300)]) {
      const code = qrCode(text, "code");
      assert.equal(readCode(code!.toString()), text);
    }
    assert.equal(qrCode("", "code"), undefined);
    assert.equal(qrCode("x".repeat(301), "code"), undefined);
    assert.equal(readCode(qrCode("half \uD83C", "code")!.toString()), "half \uFFFD");
  });

  it("lets nothing of a hostile book through", async () => {
    const evil = `"><script>alert(1)</script><img src=x onerror=alert(2)>&'\\u202E`;
    const name = JSON.stringify(evil);
    await inFolder(
      {
        "season.yaml": `season: 2026\nregion: r.region.yaml\ngrowers: [{ id: g, name: ${name} }]\ncrew: [{ id: mo, name: ${name} }]\n`,
        "r.region.yaml": `region: r\nextends: base\nlook_alikes: [{ name: ${name}, signs: ${name} }]\nnotice: { required: true, authority: ${name} }\n`,
        "a.fields.yaml": `fields:\n  - { id: a/../../oak, name: ${name}, grower: g, area_ha: 20, entrances: [{ id: gate, name: ${name}, position: [-104.4, 51.9] }, { id: b, name: ${name} }] }\n`,
        "a.rotations.yaml":
          "rotations: [{ field: a/../../oak, crops: [{ year: 2026, crop: canola, seeded: 2026-05-01, swathed: 2026-08-20 }] }]\n",
        "a.visits.yaml": `visits:\n  - { id: v1, field: a/../../oak, arrived: 2026-08-19T08:00, purpose: scouting, crew: [mo], note: ${name}, patches: [{ id: p1, symptom: ${name}, position: [-104.4, 51.9] }], digs: [{ id: d1, place: entrance, plants: 20, ratings: [20, 0, 0, 0], position: [-104.4, 51.9] }] }\n`,
      },
      async (folder) => {
        const sheets = await sheetsOf([folder, "--as-of", "2026-08-20", "--days", "1"]);
        assert.deepEqual([...sheets.keys()], ["2026-08-20-mo-1-a-oak.html"]);
        for (const page of sheets.values()) {
          assert.ok(!page.includes("<script") && !page.includes("<img") && !page.includes("\u202E"));
          assert.ok(page.includes("&lt;script&gt;alert(1)&lt;/script&gt;"));
          const { results } = await validator.validateString(page);
          assert.deepEqual(
            results.flatMap(({ messages }) => messages.map(({ message }) => message)),
            [],
          );
        }
      },
    );
  });

  it("is asked for in plain words", async () => {
    for (const [args, message] of [
      [["--paper", "letter"], "--paper is for field sheets; name their folder with --sheets"],
      [["--sheets", "s", "--links", "javascript:alert(1)"], "--links takes an address that begins with https://"],
      [["--sheets", "package.json"], "the folder package.json could not be made"],
    ] as const) {
      const { code, error } = await spadework(["plan", ...SAMPLE, ...args]);
      assert.equal(code, 2);
      assert.ok(error.includes(message), error);
    }
  });

  it("is asked for one book at a time, so that no sheet takes the place of another book's", () =>
    inFolder({ "a/season.yaml": "season: 2026\n", "b/season.yaml": "season: 2026\n" }, async (folder) => {
      const { code, error } = await spadework(["plan", folder, "--sheets", join(folder, "sheets")]);
      assert.equal(code, 2);
      assert.match(error, /several record books here; name the folder of one for field sheets/);
    }));
});
