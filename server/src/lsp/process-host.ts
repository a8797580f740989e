import { existsSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { dayNumber, MINUTES_PER_DAY } from "../base/days.ts";
import type { ServerHost } from "./feature-host.ts";
import { fitMemoryToBooks } from "./modest-memory.ts";
import { version } from "../../../package.json";

/** The clock of this machine, and the pages of the rules and the region packs beside the program. */
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
  const packOf = (name: string): string | undefined => {
    const pack = join(folder, "regions", `${name}.region.yaml`);
    return existsSync(pack) ? pathToFileURL(pack).href : undefined;
  };
  return { today, now, pageOf, packOf, version, onFirstRead: fitMemoryToBooks };
}
