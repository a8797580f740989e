import { existsSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { dayNumber, MINUTES_PER_DAY } from "../base/days.ts";
import type { ServerHost } from "./feature-host.ts";
import { fitMemoryToBooks } from "./modest-memory.ts";
import { version } from "../../../package.json";

/** The clock of this machine, and the pages of the rules beside the program. */
export function processHost(folder = process.argv[1] ? join(process.argv[1], "..") : "."): ServerHost {
  const today = (): number => {
    const now = new Date();
    return dayNumber(now.getFullYear(), now.getMonth() + 1, now.getDate());
  };
  const now = (): number => {
    const clock = new Date();
    return today() * MINUTES_PER_DAY + clock.getHours() * 60 + clock.getMinutes();
  };
  const pageOf = (code: string): string | undefined => {
    const page = join(folder, "rules", `${code}.md`);
    return existsSync(page) ? pathToFileURL(page).href : undefined;
  };
  return { today, now, pageOf, version, onFirstRead: fitMemoryToBooks };
}
