// Opens a book, then works out all of its exposures, and tells the CPU time of the second alone. Bundled before it is run.
//   node build/bench/soil-exposures.mjs DIR
import { setTimeout as rest } from "node:timers/promises";
import { parseDay } from "../../server/src/base/days.ts";
import { openBook } from "../../server/src/book/open-book.ts";
import { findBooks } from "../../server/src/host/find-books.ts";
import { readSourceFiles } from "../../server/src/host/read-files.ts";

const asOf = parseDay("2026-11-25")!;
const [found] = (await findBooks(process.argv[2]!)).books;
if (!found) throw new Error(`no record book in ${process.argv[2]}`);
const { book } = openBook(await readSourceFiles(found.root, found.files), { asOf, today: asOf, allSeasons: false });
const visits = [...book.records("visits")].length;
const cleanings = [...book.records("cleanings")].length;

// What reading has left to others to do (translating its code, looking for unused memory) is not part of the answer.
await rest(500);
const began = process.cpuUsage();
const exposed = [...book.soil().exposed.values()];
// A chain is written out when it is first looked at, and all of them are part of the answer.
const carriages = exposed.reduce((sum, { chain }) => sum + chain.length, 0);
const { user, system } = process.cpuUsage(began);

console.log(JSON.stringify({ visits, cleanings, exposed: exposed.length, carriages, cpuMs: (user + system) / 1000 }));
