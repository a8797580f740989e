import { readFileSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import type { RegionPack } from "../../schema/facts.ts";
import { resolveRegion } from "../../schema/region.ts";
import { CommandFailure } from "../failure.ts";

/** A figure that was taken from the region, by its path in the pack. */
export interface UsedFigure {
  readonly path: string;
  readonly value: unknown;
  readonly source: string | undefined;
}

/** The figures of a region pack, each remembered once it is asked for, so that an answer can name what it rests on. */
export class RegionFigures {
  readonly name: string;
  readonly pack: RegionPack;
  readonly #used = new Map<string, UsedFigure>();

  /**
   * @param asked a shipped pack's name, or the path of a `*.region.yaml` file from the working folder
   * @throws {CommandFailure} when there is no such pack
   */
  constructor(asked: string, workingFolder: string) {
    const isFile = asked.endsWith(".region.yaml");
    const folder = isFile ? dirname(resolve(workingFolder, asked)) : workingFolder;
    const { pack, problems } = resolveRegion(isFile ? basename(asked) : asked, (path) => textOf(join(folder, path)));
    if (problems[0]) throw new CommandFailure(problems[0].message);
    this.name = asked;
    this.pack = pack;
  }

  /** Undefined where the region does not say. */
  find<T>(path: string, pick: (pack: RegionPack) => T | undefined): T | undefined {
    const value = pick(this.pack);
    if (value !== undefined) this.#used.set(path, { path, value, source: this.sourceOf(path) });
    return value;
  }

  /** @throws {CommandFailure} where the region does not say; `option` is what to give instead */
  need<T>(path: string, option: string, pick: (pack: RegionPack) => T | undefined): T {
    const value = this.find(path, pick);
    if (value === undefined)
      throw new CommandFailure(`the region ${this.name} has no ${path}${this.#whyUnknown(path)}; give --${option}`);
    return value;
  }

  /** What the packs say of a figure that they call unknown. */
  #whyUnknown(path: string): string {
    const reasons = this.pack.unknown ?? {};
    for (let at = path; at !== ""; at = at.slice(0, Math.max(0, at.lastIndexOf("."))))
      if (Object.hasOwn(reasons, at)) return ` (${reasons[at]!})`;
    return "";
  }

  /** By path. */
  get used(): readonly UsedFigure[] {
    return [...this.#used.values()].sort((a, b) => (a.path < b.path ? -1 : 1));
  }

  /** The figure's own source, else that of the group it stands in, else those of the figures it is made of. */
  sourceOf(path: string): string | undefined {
    const sources = this.pack.sources ?? {};
    for (let at = path; at !== ""; at = at.slice(0, Math.max(0, at.lastIndexOf(".")))) {
      if (Object.hasOwn(sources, at)) return sources[at];
    }
    const parts = Object.keys(sources).filter((part) => part.startsWith(`${path}.`));
    return parts.length === 0 ? undefined : [...new Set(parts.map((part) => sources[part]))].join("; ");
  }
}

function textOf(path: string): string | undefined {
  try {
    return readFileSync(path, "utf8");
  } catch {
    return undefined;
  }
}
