import { join, resolve } from "node:path";
import { migrateBook } from "../book/migrate.ts";
import { findBooks } from "../host/find-books.ts";
import { readSourceFiles } from "../host/read-files.ts";
import { writeTextFile } from "../host/text-files.ts";
import { printable } from "../output/printable.ts";
import type { Command } from "./command.ts";
import { CommandFailure, EXIT_CLEAN } from "./failure.ts";

export const migrateCommand: Command = {
  name: "migrate",
  usage: "[DIR]",
  summary: "record books brought to the newest version of the format",
  help:
    "Rewrites the record books in DIR (the current folder when there is none) from an older version of the record format to\n" +
    "the newest, which season.yaml names as format. Only what has to change is edited; comments and line ends stay.\n" +
    "Exit code 0: done, or nothing to change; 2: a book could not be brought over, and is left as it was.",
  examples: ["spadework migrate sample-workspace --dry-run", "spadework migrate sample-workspace"],
  options: { "dry-run": { type: "boolean", help: "say what would change, and write nothing" } },
  async run(args, { console, workingFolder }) {
    const [folder = "."] = args.positionals;
    const found = await findBooks(resolve(workingFolder, folder)).catch(() => undefined);
    if (!found || found.books.length === 0)
      throw new CommandFailure(`${folder} holds no record book: no season.yaml in it or below it`);
    for (const { root, prefix, files } of found.books) {
      const sources = await readSourceFiles(root, files);
      const name = prefix === "" ? folder : prefix;
      const unread = sources.find(({ trouble }) => trouble);
      if (unread) throw new CommandFailure(`${name}: ${unread.path}: ${unread.trouble!.message}`);
      const migration = migrateBook(new Map(sources.map(({ path, text }) => [path, text])));
      if (!migration.ok) throw new CommandFailure(`${name}: ${migration.message}`);
      const { from, to, steps, changed } = migration;
      if (changed.size === 0) {
        console.out(`${printable(name)}: nothing to change; the records are of format ${to}, the newest\n`);
        continue;
      }
      if (!args.flag("dry-run")) for (const [path, text] of changed) await writeTextFile(join(root, path), path, text);
      console.out(`${printable(name)}: ${args.flag("dry-run") ? "would bring" : "brought"} format ${from} to ${to}\n`);
      for (const { summary } of steps) console.out(`  ${summary}\n`);
      for (const path of changed.keys()) console.out(`  ${printable(path)}\n`);
    }
    return EXIT_CLEAN;
  },
};
