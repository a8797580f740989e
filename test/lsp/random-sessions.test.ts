import { strict as assert } from "node:assert";
import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import fc from "fast-check";
import { formatDay, parseDay } from "../../server/src/base/days.ts";
import { codeLenses } from "../../server/src/features/code-lenses.ts";
import { contextOf } from "../../server/src/features/context.ts";
import { inlayHints } from "../../server/src/features/inlay-hints.ts";
import { Workspace } from "../../server/src/lsp/workspace.ts";
import { RULES } from "../../server/generated/rules.ts";
import { makeBook } from "../bench/make-book.mjs";
import { BOOK } from "./session-book.ts";

/** Three small books: one of them inside another, and a third beside them. */
const FILES: ReadonlyMap<string, string> = new Map([
  ...Object.entries(BOOK).map(([path, text]) => [`home/${path}`, text] as const),
  // Swathing is forecast from this weather.
  ["home/demo.rotations.yaml", BOOK["demo.rotations.yaml"]!.replace(", swathed: 2026-08-22", "")] as const,
  ["home/home.weather.csv", weatherFrom("2026-05-01", 170)] as const,
  ...Object.entries(BOOK).map(([path, text]) => [`home/guest/${path}`, text] as const),
  ["home/guest/season.yaml", BOOK["season.yaml"]!.replace("ca-prairies", "own.region.yaml")] as const,
  ["home/guest/own.region.yaml", "region: own\nextends: ca-prairies\nrotation: { break_years: 3 }\n"] as const,
  ...[...makeBook({ fields: 3, years: 2, visits: 3, seed: 4, files: "year", cleaned: 0.4, known: 0.4 })].map(
    ([path, text]) => [`away/${path}`, text] as const,
  ),
]);

function weatherFrom(first: string, days: number): string {
  const rows = Array.from(
    { length: days },
    (_, i) => `${formatDay(parseDay(first)! + i)},${6 + (i % 5)},${19 + (i % 7)}\n`,
  );
  return `date,tmin_c,tmax_c\n${rows.join("")}`;
}

type Step =
  | { do: "type"; file: number; at: number; cut: number; text: string }
  | { do: "move a record"; file: number; from: number; to: number; other: number }
  | { do: "undo" | "open" | "close" | "save" | "delete" | "restore"; file: number }
  | { do: "rename"; file: number; to: string }
  | { do: "write beside"; file: number; at: number; cut: number; text: string }
  | { do: "begin a book"; folder: string }
  | { do: "a day passes"; days: number };

/** Half-typed YAML among it, as it stands between one keystroke and the next. */
const typed = fc.oneof(
  fc.constantFrom(
    ..."\n|  |- |\n  - id: v9\n|\n  - |field: |field: mill|:|\"|'|[|]|{ |}|,|#|# accept entry/wet-ground: dry by noon\n|x|5|wet|dry|unprotected".split(
      "|",
    ),
    ..."detected|2026-08-14T09:40|2026-|not |mill-flat|long-meadow|\r\n|\r|dig-kit|boots/mo|canola|\ufeff|\0|🌱|&a |*a|!!str |? |---\n|%YAML|\t".split(
      "|",
    ),
    ..."rules: { entry/wet-ground: off }\n|region: own.region.yaml\n|season: 2025\n|crew: [mo]\n|digs:\n|steps: []\n|v1|c1|s1|d1|north-gate".split(
      "|",
    ),
  ),
  fc.string({ unit: "binary", maxLength: 3 }),
);
const file = fc.nat(999);
const place = { at: fc.nat(100_000), cut: fc.oneof(fc.constant(0), fc.nat(6), fc.nat(80)), text: typed };
function only<K extends Step["do"]>(kind: K): fc.Arbitrary<K> {
  return fc.constant(kind);
}
const step: fc.Arbitrary<Step> = fc.oneof(
  { weight: 12, arbitrary: fc.record({ do: only("type"), file, ...place }) },
  {
    weight: 3,
    arbitrary: fc.record({ do: only("move a record"), file, from: fc.nat(99), to: fc.nat(99), other: fc.nat(99) }),
  },
  { weight: 4, arbitrary: fc.record({ do: only("undo"), file }) },
  { weight: 1, arbitrary: fc.record({ do: only("open"), file }) },
  { weight: 2, arbitrary: fc.record({ do: only("close"), file }) },
  { weight: 2, arbitrary: fc.record({ do: only("save"), file }) },
  { weight: 2, arbitrary: fc.record({ do: only("delete"), file }) },
  { weight: 1, arbitrary: fc.record({ do: only("restore"), file }) },
  {
    weight: 2,
    arbitrary: fc.record({
      do: only("rename"),
      file,
      to: fc.constantFrom("home/", "away/", "home/guest/", "home/2026/", "nowhere/", "home/zz-", "away/a-"),
    }),
  },
  { weight: 2, arbitrary: fc.record({ do: only("write beside"), file, ...place }) },
  {
    weight: 2,
    arbitrary: fc.record({
      do: only("begin a book"),
      folder: fc.constantFrom("home/2026/", "home/guest/", "away/", "away/deep/", "nowhere/", ""),
    }),
  },
  { weight: 1, arbitrary: fc.record({ do: only("a day passes"), days: fc.integer({ min: -120, max: 120 }) }) },
);

/** The files of a session, on disk and in the editor, and the workspace that is told of each change. */
class RandomSession {
  readonly #root = realpathSync(mkdtempSync(join(tmpdir(), "spadework-session-")));
  readonly #disk = new Map(FILES);
  readonly #open = new Map<string, string>();
  /** Earlier texts of a file, the latest last. */
  readonly #history = new Map<string, string[]>();
  #today = parseDay("2026-10-15")!;
  readonly #workspace = this.#newWorkspace();

  async start(): Promise<void> {
    for (const path of FILES.keys()) this.#write(path);
    await this.#workspace.setFolders([this.#root]);
  }

  end(): void {
    rmSync(this.#root, { recursive: true });
  }

  async assertIsAsFresh(what: string): Promise<void> {
    const fresh = this.#newWorkspace();
    await fresh.setOpen(new Map([...this.#open].map(([path, text]) => [join(this.#root, path), text])));
    await fresh.setFolders([this.#root]);
    assert.deepEqual(stateOf(this.#workspace), stateOf(fresh), what);
  }

  async take(one: Step): Promise<void> {
    if (one.do === "a day passes") {
      this.#today += one.days;
      this.#workspace.refreshOptions();
      return;
    }
    if (one.do === "begin a book") return this.#setOpen(`${one.folder}season.yaml`, BOOK["season.yaml"]!);
    const paths = [...new Set([...this.#disk.keys(), ...this.#open.keys()])].sort();
    const path = paths[one.file % Math.max(1, paths.length)];
    if (path === undefined || one.do === "restore") return this.#restore(one.file);
    const text = this.#open.get(path) ?? this.#disk.get(path)!;
    switch (one.do) {
      case "type":
        return this.#edit(path, spliced(text, one));
      case "move a record": {
        const records = text.split(/^(?= {2}- )/m);
        const [moved] = records.splice(1 + (one.from % Math.max(1, records.length - 1)), 1);
        const others = paths.filter((other) => other.split(".").at(-2) === path.split(".").at(-2));
        const target = one.other % 3 === 0 ? others[one.other % others.length]! : path;
        const into =
          target === path ? records : (this.#open.get(target) ?? this.#disk.get(target)!).split(/^(?= {2}- )/m);
        into.splice(1 + (one.to % Math.max(1, into.length)), 0, moved ?? "");
        if (target !== path) await this.#edit(path, records.join(""));
        return this.#edit(target, into.join(""));
      }
      case "undo": {
        const [latest] = [...this.#history].reverse().filter(([, texts]) => texts.length > 0);
        return latest && this.#setOpen(latest[0], latest[1].pop()!);
      }
      case "open":
        return this.#setOpen(path, text);
      case "close":
        return this.#setOpen([...this.#open.keys()][one.file % Math.max(1, this.#open.size)] ?? path, undefined);
      case "save": {
        const saved = [...this.#open.keys()][one.file % Math.max(1, this.#open.size)];
        return saved === undefined ? undefined : this.#setOnDisk(new Map([[saved, this.#open.get(saved)!]]));
      }
      case "delete":
        return this.#setOnDisk(new Map([[path, undefined]]));
      case "rename": {
        const to = one.to + path.split("/").at(-1)!;
        if (to === path) return;
        const wasOpen = this.#open.has(path);
        if (wasOpen) await this.#setOpen(path, undefined);
        await this.#setOnDisk(
          new Map([
            [path, undefined],
            [to, this.#disk.get(path) ?? text],
          ]),
        );
        return wasOpen ? this.#setOpen(to, text) : undefined;
      }
      case "write beside":
        return this.#setOnDisk(new Map([[path, spliced(this.#disk.get(path) ?? "", one)]]));
    }
  }

  async #restore(which: number): Promise<void> {
    const all = [...FILES.keys()].sort();
    const path = all[which % all.length]!;
    await this.#setOnDisk(new Map([[path, FILES.get(path)!]]));
  }

  async #edit(path: string, text: string): Promise<void> {
    const history = this.#history.get(path) ?? [];
    history.push(this.#open.get(path) ?? this.#disk.get(path)!);
    this.#history.delete(path);
    this.#history.set(path, history);
    await this.#setOpen(path, text);
  }

  async #setOpen(path: string, text: string | undefined): Promise<void> {
    if (text === undefined && !this.#open.has(path)) return;
    if (text === undefined) this.#open.delete(path);
    else this.#open.set(path, text);
    await this.#workspace.setOpen(new Map([[join(this.#root, path), text]]));
  }

  async #setOnDisk(changes: ReadonlyMap<string, string | undefined>): Promise<void> {
    for (const [path, text] of changes) {
      if (text === undefined) {
        this.#disk.delete(path);
        rmSync(join(this.#root, path), { force: true });
      } else {
        this.#disk.set(path, text);
        this.#write(path);
      }
    }
    await this.#workspace.filesChanged([...changes.keys()].map((path) => join(this.#root, path)));
  }

  #write(path: string): void {
    const full = join(this.#root, path);
    mkdirSync(dirname(full), { recursive: true });
    writeFileSync(full, this.#disk.get(path)!);
  }

  #newWorkspace(): Workspace {
    const optionsOf = (): { asOf: number; today: number; allSeasons: boolean } => ({
      asOf: this.#today,
      today: this.#today,
      allSeasons: false,
    });
    return new Workspace({ rules: RULES, optionsOf });
  }
}

function spliced(text: string, { at, cut, text: put }: { at: number; cut: number; text: string }): string {
  const start = at % (text.length + 1);
  return text.slice(0, start) + put + text.slice(start + cut);
}

/** All that a client can see of a workspace's books: findings, lenses and hints of every file. */
function stateOf(workspace: Workspace): unknown {
  const books = [...workspace.books].sort((a, b) => (a.root < b.root ? -1 : 1));
  return books.map(({ root, live }) => ({
    root,
    files: [...live.allFindings()].map(([path, findings]) => {
      const context = contextOf(live.opened, path)!;
      const whole = { start: 0, end: context.file.text.length };
      return { path, findings, lenses: codeLenses(context), hints: inlayHints(context, whole) };
    }),
  }));
}

describe("a workspace that is being worked in", () => {
  it("shows the findings, lenses and hints of a fresh start after every step of 500 random sessions", async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 1, maxLength: 6 }), async (steps) => {
        const session = new RandomSession();
        try {
          await session.start();
          for (const one of steps) {
            await session.take(one);
            await session.assertIsAsFresh(JSON.stringify(one));
          }
        } finally {
          session.end();
        }
      }),
      { numRuns: Number(process.env["SESSIONS"] ?? 500) },
    );
  }).timeout(600_000);
});
