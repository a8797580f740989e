import { strict as assert } from "node:assert";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import { parseDay } from "../../server/src/base/days.ts";
import { openBook, type SourceFile } from "../../server/src/book/open-book.ts";
import { runRules } from "../../server/src/rules/engine.ts";
import { LiveBook } from "../../server/src/rules/live-book.ts";
import { publish } from "../../server/src/rules/publish.ts";
import { RULES } from "../../server/generated/rules.ts";

const sample = fileURLToPath(new URL("../../sample-workspace", import.meta.url));
const TODAY = parseDay("2026-11-25")!;
const OPTIONS = { asOf: TODAY, today: TODAY, allSeasons: false };

function readSample(): Map<string, string> {
  const paths = (readdirSync(sample, { recursive: true }) as string[]).filter((path) =>
    statSync(join(sample, path)).isFile(),
  );
  return new Map(paths.map((path) => [path.replaceAll("\\", "/"), readFileSync(join(sample, path), "utf8")]));
}

function sourcesOf(files: ReadonlyMap<string, string>): SourceFile[] {
  return [...files].map(([path, text]) => ({ path, text }));
}

function fresh(files: ReadonlyMap<string, string>): Map<string, unknown> {
  const opened = openBook(sourcesOf(files), OPTIONS);
  const findings = publish(opened, runRules(opened.book, RULES), RULES);
  return new Map(
    opened.book.files.map((file) => [file.path, findings.filter((finding) => finding.file === file.path)]),
  );
}

/** What a person or a program may do to the files of a book in one step. */
type Step =
  | { do: "edit"; file: number; at: number; cut: number; text: string }
  | { do: "move text"; file: number; from: number; lines: number; to: number; other: number }
  | { do: "delete" | "restore"; file: number }
  | { do: "rename"; file: number; to: string }
  | { do: "undo" };

const snippet = fc.oneof(
  fc.constantFrom(
    "\n",
    "  ",
    "- ",
    "\n  - id: v-new\n",
    "field: ",
    ":",
    '"',
    "[",
    "]",
    "#",
    "# accept entry/wet-ground: why\n",
    "x",
    "5",
    "wet",
    "unprotected",
    "detected",
    "2026-08-14T09:40",
    "not ",
    "north-eighty",
    "long-meadow",
    "\r\n",
    "ab-drill",
    "boots/",
    "canola",
  ),
  fc.string({ unit: "binary", maxLength: 4 }),
);
const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 12,
    arbitrary: fc.record({
      do: fc.constant("edit" as const),
      file: fc.nat(99),
      at: fc.nat(1_000_000),
      cut: fc.oneof(fc.constant(0), fc.nat(6), fc.nat(120)),
      text: snippet,
    }),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      do: fc.constant("move text" as const),
      file: fc.nat(99),
      from: fc.nat(10_000),
      lines: fc.integer({ min: 1, max: 14 }),
      to: fc.nat(10_000),
      other: fc.nat(99),
    }),
  },
  { weight: 1, arbitrary: fc.record({ do: fc.constantFrom("delete" as const, "restore" as const), file: fc.nat(99) }) },
  {
    weight: 1,
    arbitrary: fc.record({
      do: fc.constant("rename" as const),
      file: fc.nat(99),
      to: fc.constantFrom("renamed", "a/first", "zz/last"),
    }),
  },
  { weight: 3, arbitrary: fc.record({ do: fc.constant("undo" as const) }) },
);

/** The files after a step; `history` holds earlier versions, the latest last. */
function apply(
  files: ReadonlyMap<string, string>,
  one: Step,
  original: ReadonlyMap<string, string>,
  history: ReadonlyMap<string, string>[],
): Map<string, string> {
  if (one.do === "undo") return new Map(history.pop() ?? files);
  const after = new Map(files);
  const paths = [...files.keys()].sort();
  const path = paths[one.file % Math.max(1, paths.length)];
  if (one.do === "restore" || path === undefined) {
    const all = [...original.keys()].sort();
    const back = all[one.file % all.length]!;
    after.set(back, original.get(back)!);
    return after;
  }
  const text = files.get(path)!;
  if (one.do === "edit") {
    const at = one.at % (text.length + 1);
    after.set(path, text.slice(0, at) + one.text + text.slice(at + one.cut));
  } else if (one.do === "move text") {
    const lines = text.split("\n");
    const moved = lines.splice(one.from % lines.length, one.lines);
    const target = one.other % 3 === 0 ? paths[one.other % paths.length]! : path;
    if (target !== path) after.set(path, lines.join("\n"));
    const into = target === path ? lines : files.get(target)!.split("\n");
    into.splice(one.to % (into.length + 1), 0, ...moved);
    after.set(target, into.join("\n"));
  } else {
    after.delete(path);
    if (one.do !== "rename") return after;
    const suffix = /(\.[a-z]+\.(?:yaml|csv)|[^/]*)$/.exec(path)![0];
    after.set(`${one.to}${suffix}`, text);
  }
  return after;
}

describe("a book that is being edited", () => {
  it("has the findings of a fresh check after every step of 500 random sessions", () => {
    const original = readSample();
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 6 }), (steps) => {
        let files: ReadonlyMap<string, string> = original;
        const history: ReadonlyMap<string, string>[] = [];
        const live = new LiveBook(sourcesOf(files), OPTIONS, RULES);
        for (const one of steps) {
          const before = files;
          files = apply(files, one, original, history);
          if (one.do !== "undo") history.push(before);
          const changed = new Set(
            [...before.keys(), ...files.keys()].filter((path) => before.get(path) !== files.get(path)),
          );
          live.update(
            new Map([...changed].map((path) => [path, files.has(path) ? { path, text: files.get(path)! } : undefined])),
          );
          assert.deepEqual(new Map(live.allFindings()), fresh(files), JSON.stringify(one));
        }
      }),
      { numRuns: 500 },
    );
  }).timeout(600_000);

  it("publishes again only what a comment moved, and asks no rule", () => {
    const original = readSample();
    let asked = 0;
    const counting = RULES.map((rule) => ({
      ...rule,
      ...("check" in rule && {
        check: (...args: never[]) => (asked++, (rule.check as (...all: never[]) => void)(...args)),
      }),
    })) as typeof RULES;
    const live = new LiveBook(sourcesOf(original), OPTIONS, counting);
    const path = [...original.keys()].find((name) => name.endsWith(".visits.yaml"))!;
    asked = 0;
    const text = original.get(path)!;
    live.update(new Map([[path, { path, text: text.replace("visits:\n", "visits:\n  # a word about the month\n") }]]));
    assert.equal(asked, 0);
    assert.deepEqual(
      new Map(live.allFindings()).get(path),
      fresh(new Map([...original, [path, text.replace("visits:\n", "visits:\n  # a word about the month\n")]])).get(
        path,
      ),
    );
  });

  it("tells of two copies of a visit the same one that a fresh check tells, whichever came last", () => {
    const visit = (id: string, field: string, hours: [string, string]): string =>
      `  - { id: ${id}, field: ${field}, arrived: 2026-08-14T${hours[0]}, left: 2026-08-14T${hours[1]}, purpose: spraying, crew: [mo], equipment: [], footwear: disposable, ground: dry }\n`;
    const files = (...visits: string[]): Map<string, string> =>
      new Map([
        ["season.yaml", "season: 2026\nregion: ca-prairies\ncrew:\n  - { id: mo, name: M. Okafor }\n"],
        ["all.fields.yaml", "fields:\n  - { id: oak }\n  - { id: elm }\n"],
        ["a.visits.yaml", `visits:\n${visits.join("")}`],
        ["b.visits.yaml", `visits:\n${visit("long", "oak", ["08:00", "12:00"])}`],
      ]);
    const [one, other] = [visit("v1", "elm", ["09:00", "10:00"]), visit("v2", "elm", ["14:00", "15:00"])];
    const live = new LiveBook(sourcesOf(files(other, one)), OPTIONS, RULES);
    for (const order of [
      [one, other, one],
      [other, one],
      [one, one],
    ]) {
      const text = files(...order).get("a.visits.yaml")!;
      live.update(new Map([["a.visits.yaml", { path: "a.visits.yaml", text }]]));
      assert.deepEqual(new Map(live.allFindings()), fresh(files(...order)));
    }
  });

  for (const [what, path, edit] of [
    ["a character that is not allowed", "season.yaml", (text: string) => text.replace("\n", "\u0000\n")],
    [
      "an accept comment above all records",
      "visits",
      (text: string) => `# accept entry/wet-ground: dry by noon\n${text}`,
    ],
  ] as const)
    it(`forgets ${what} once it is taken out again`, () => {
      const original = readSample();
      const live = new LiveBook(sourcesOf(original), OPTIONS, RULES);
      const file = [...original.keys()].find((name) => name === path || name.endsWith(`.${path}.yaml`))!;
      const text = original.get(file)!;
      live.update(new Map([[file, { path: file, text: edit(text) }]]));
      assert.notDeepEqual(new Map(live.allFindings()), fresh(original));
      live.update(new Map([[file, { path: file, text }]]));
      assert.deepEqual(new Map(live.allFindings()), fresh(original));
    });
});
