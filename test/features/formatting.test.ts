import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import { load } from "js-yaml";
import { applyEdits } from "../../server/src/base/text.ts";
import { readSourceFile } from "../../server/src/book/open-book.ts";
import type { FeatureContext } from "../../server/src/features/context.ts";
import { formatting } from "../../server/src/features/formatting.ts";
import { makeBook } from "../bench/make-book.mjs";
import { inFile } from "../support/feature.ts";

const ANY_BOOK = inFile("#- season.yaml\nseason: 2026\n");

/** Formatting looks at the file alone, so that any book will do. */
function contextFor(path: string, text: string): FeatureContext {
  const file = readSourceFile({ path, text });
  assert.ok(file);
  return { ...ANY_BOOK, file };
}

function formatted(text: string, path = "a.visits.yaml", span?: { start: number; end: number }): string {
  const context = contextFor(path, text);
  return applyEdits(text, formatting(context, span));
}

/** What must hold of any text: the same words and lines, the same value by another reader, nothing left to do, no idle edit. */
function assertSound(text: string, path = "a.visits.yaml"): string {
  const context = contextFor(path, text);
  const edits = formatting(context);
  for (const { span, newText } of edits) {
    assert.match(text.slice(span.start, span.end) + newText, /^[ \t]+$/, "only blanks change");
    assert.notEqual(text.slice(span.start, span.end), newText);
  }
  const after = applyEdits(text, edits);
  assert.equal(after.replace(/[ \t]/g, ""), text.replace(/[ \t]/g, ""));
  assert.deepEqual(valueOf(after), valueOf(text), text);
  assert.equal(formatted(after, path), after, "formatting twice is formatting once");
  return after;
}

function valueOf(text: string): unknown {
  try {
    return load(text);
  } catch {
    return "cannot be read";
  }
}

const UNTIDY = `visits:
# the first walk
  -   id:   v1   # by hand
      field:  long-meadow
      arrived: 2026-08-14T09:40 \t
      crew: [mo,ines ,  jl]    # all three
      equipment:
      - dig-kit
      -   spade
        # between
      patches:
            - { id: p1,symptom: "ripening  early",area_m2:   60 }
            # - { id: p2 }
      digs:
         - id: d1
           plants:    20
           ratings: [ 20, 0,
             0, 0 ]
   
      note: dry  knolls
        and   wet hollows   
  - id: v2
    field: mill-flat
`;
const TIDY = `visits:
# the first walk
  - id: v1 # by hand
    field: long-meadow
    arrived: 2026-08-14T09:40
    crew: [mo, ines , jl] # all three
    equipment:
      - dig-kit
      - spade
        # between
    patches:
      - { id: p1, symptom: "ripening  early", area_m2: 60 }
      # - { id: p2 }
    digs:
      - id: d1
        plants: 20
        ratings: [ 20, 0,
          0, 0 ]

    note: dry  knolls
      and   wet hollows
  - id: v2
    field: mill-flat
`;

describe("formatting", () => {
  it("aligns records to steps of two spaces, with one space between words", () => {
    assert.equal(assertSound(UNTIDY), TIDY);
  });

  it("keeps CRLF, the column of the records and a last line without a break", () => {
    const text = "visits:\r\n-    id: v1 \r\n     note:   x\r\n\r\n-  id:  v2";
    assert.equal(assertSound(text), "visits:\r\n- id: v1\r\n  note: x\r\n\r\n- id: v2");
  });

  it("leaves quoted and block texts of several lines alone", () => {
    const text = `visits:
  -   id: v1
      note: |  # as written
          dry   knolls  
            wet:   hollows   # no comment

      x-a: "one  
         two   "  # after
      x-b: >+
         folded   

      x-c: 'short   '
`;
    assert.equal(
      assertSound(text),
      `visits:
  - id: v1
    note: | # as written
          dry   knolls  
            wet:   hollows   # no comment

    x-a: "one  
         two   " # after
    x-b: >+
         folded   

    x-c: 'short   '
`,
    );
  });

  it("leaves the indentation of a record whose block text would not stand it, and of that alone", () => {
    const text = `visits:
  - id:  v1
    digs:
    - note: |
       close to the margin
      id:  d1
  -   id: v2
      field:  mill-flat
`;
    const after = assertSound(text);
    assert.equal(
      after,
      text
        .replace("id:  v1", "id: v1")
        .replace("id:  d1", "id: d1")
        .replace("-   id: v2\n      field:  ", "- id: v2\n    field: "),
    );
  });

  it("passes over a record that cannot be read, and formats those beside it", () => {
    const text = `visits:\n  -   id: v0\n      crew: [mo\n  -   id: v1\n      field:  x\n`;
    assert.equal(assertSound(text), "visits:\n  -   id: v0\n      crew: [mo\n  - id: v1\n    field: x\n");
  });

  it("formats only the records that it is asked to", () => {
    const text = "visits:\n  -  id: v1\n  -  id: v2\n  -  id: v3\n";
    const at = text.indexOf("v2");
    assert.equal(formatted(text, undefined, { start: at, end: at }), "visits:\n  -  id: v1\n  - id: v2\n  -  id: v3\n");
  });

  it("formats season.yaml, packs, and files that are read whole", () => {
    const season =
      "\uFEFFseason:  2026\ncrew:\n- {id:  mo,name: M}\n-   id: jl\n    name:  J   # who\nrules:\n    entry/wet-ground:  off\n";
    assert.equal(
      assertSound(season, "season.yaml"),
      "\uFEFFseason: 2026\ncrew:\n  - {id: mo, name: M}\n  - id: jl\n    name: J # who\nrules:\n  entry/wet-ground: off\n",
    );
    assert.equal(assertSound("visits: [a:  b,c, {d:  [e:  f,g]}]\n"), "visits: [a: b, c, {d: [e: f, g]}]\n");
    const repeats = "visits:\n- id: v1\n  crew:  &c\n  - mo\n-   id: v2\n    crew:   *c\n";
    assert.equal(assertSound(repeats), "visits:\n- id: v1\n  crew: &c\n    - mo\n- id: v2\n  crew: *c\n");
    assert.equal(
      assertSound('visits: [{id: v1,field:  x},\n   {"id":"v2"} ]\n'),
      'visits: [{id: v1, field: x},\n   {"id": "v2"} ]\n',
    );
    assert.equal(
      assertSound("date,tmin_c,tmax_c\n2026-05-01,  1,2\n", "a.weather.csv"),
      "date,tmin_c,tmax_c\n2026-05-01,  1,2\n",
    );
  });

  it("leaves what is written in unusual ways", () => {
    for (const text of [
      "visits:\n  - ? id\n    :   v1\n",
      "visits:\n  - ? [a,  b]\n    : 1\n",
      "visits: \n\t- id: x\n",
      "",
    ]) {
      assert.equal(assertSound(text), text);
    }
  });

  it("of the sample season and of generated books changes no value", () => {
    const root = fileURLToPath(new URL("../../sample-workspace/", import.meta.url));
    for (const path of readdirSync(root, { recursive: true, encoding: "utf8" })) {
      if (path.endsWith(".yaml")) assertSound(readFileSync(root + path, "utf8"), path.replaceAll("\\", "/"));
    }
    for (const [path, text] of makeBook({ fields: 8, years: 2 })) if (path.endsWith(".yaml")) assertSound(text, path);
  });

  it("of any layout gives one layout, and of any text the same value", () => {
    const words = TIDY.split(/(?<=\n)|(?<=[:,-]) (?=\S)| (?=#)/);
    const blanks = fc.array(fc.constantFrom(" ", "  ", "   "), { minLength: words.length, maxLength: words.length });
    fc.assert(
      fc.property(blanks, (between) => {
        // Every space between words made one to three; what stands below a dash then stands crooked, where YAML allows that.
        const text = words.map((word, i) => word + (word.endsWith("\n") ? "" : between[i]!)).join("");
        const after = assertSound(text);
        if (valueOf(text) !== "cannot be read") assert.deepEqual(valueOf(after), valueOf(text));
      }),
      { numRuns: 200 },
    );
    const anyText = fc.oneof(fc.constant(UNTIDY), fc.constant(TIDY.replaceAll("\n", "\r\n")), fc.constant(BLOCKS));
    const noise = fc.oneof(
      fc.string({ unit: "binary", maxLength: 4 }),
      fc.constantFrom(
        " ",
        "   ",
        "\n",
        "\n  ",
        "- ",
        ": ",
        "  # c",
        "\n# c\n",
        "|\n",
        '"',
        "'",
        "[",
        "{",
        "}",
        "&a ",
        "*a",
        "!!str ",
        "? ",
        "\t",
      ),
    );
    const edit = fc.tuple(fc.nat(1000), fc.nat(8), noise);
    fc.assert(
      fc.property(anyText, fc.array(edit, { minLength: 1, maxLength: 4 }), (start, edits) => {
        let text = start;
        for (const [at, cut, word] of edits) {
          const here = at % (text.length + 1);
          text = text.slice(0, here) + word + text.slice(here + cut);
        }
        assertSound(text);
      }),
      { numRuns: 1500 },
    );
  });

  it("indents every line by any width to the same layout", () => {
    const widths = fc.record({
      key: fc.integer({ min: 1, max: 5 }),
      list: fc.integer({ min: 0, max: 4 }),
      dash: fc.integer({ min: 1, max: 4 }),
    });
    fc.assert(
      fc.property(widths, ({ key, list, dash }) => {
        const item = " ".repeat(list + dash + key);
        const text = `visits:\n  -${" ".repeat(dash)}id: v1\n  ${" ".repeat(dash + 1)}digs:\n  ${" ".repeat(dash + 1 + list)}-${" ".repeat(key)}id: d1\n  ${" ".repeat(dash + 2 + list + key)}note: x\n  ${" ".repeat(dash + 1)}soil:\n  ${" ".repeat(dash + 1 + key)}ph: ${item.length}\n`;
        assert.equal(
          assertSound(text),
          `visits:\n  - id: v1\n    digs:\n      - id: d1\n        note: x\n    soil:\n      ph: ${item.length}\n`,
        );
      }),
    );
  });
});

const BLOCKS = `visits:
  - id: v1
    note: |2
        two more  
    x-a: >-

      folded
       more

    x-b: "a
      b"
    digs:
    - - a
      -   - b
    x-c:
      &k
      d: 1
    # end
  - id: v2
`;
