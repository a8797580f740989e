import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { parseDay } from "../../server/src/base/days.ts";
import { runCommandLine } from "../../server/src/cli/main.ts";

export interface CommandResult {
  readonly code: number;
  readonly out: string;
  readonly error: string;
}

/** Runs a command line within this process, on 2026-11-25 unless told otherwise. */
export async function spadework(
  args: readonly string[],
  {
    workingFolder = process.cwd(),
    today = "2026-11-25",
    hasColour = false,
    environment = {} as Readonly<Record<string, string>>,
  } = {},
): Promise<CommandResult> {
  let out = "";
  let error = "";
  const console = {
    out: (text: string) => void (out += text),
    error: (text: string) => void (error += text),
    hasColour,
    showsProgress: false,
  };
  const code = await runCommandLine(args, { console, today: parseDay(today)!, workingFolder, environment });
  return { code, out, error };
}

/** Writes files into a new folder and hands it over; the folder is gone afterwards. */
export async function inFolder<T>(
  files: Readonly<Record<string, string | Uint8Array>>,
  work: (folder: string) => Promise<T>,
): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), "spadework-test-"));
  try {
    for (const [path, content] of Object.entries(files)) {
      const full = join(folder, path);
      mkdirSync(dirname(full), { recursive: true });
      writeFileSync(full, content);
    }
    return await work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

export const SMALL_BOOK: Readonly<Record<string, string>> = {
  "season.yaml": "season: 2026\nregion: ca-prairies\ncrew:\n  - { id: mo, name: M. Okafor }\n",
  "all.fields.yaml": "fields:\n  - { id: long-meadow, name: Long Meadow }\n  - { id: mill-flat, name: Mill Flat }\n",
  "all.visits.yaml": [
    "visits:",
    "  - id: v1",
    "    field: long-meadow",
    "    arrived: 2026-08-14T09:40",
    "    left: 2026-08-14T10:40",
    "    purpose: other",
    "    crew: [mo]",
    "    ground: wet",
    "",
  ].join("\n"),
};
