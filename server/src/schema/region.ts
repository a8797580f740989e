import { shippedRegions } from "../../generated/regions.ts";
import { closest } from "../base/closest.ts";
import { parseText } from "../syntax/parse.ts";
import { decodeRegion, type SchemaProblem } from "./decode.ts";
import type { RegionPack } from "./facts.ts";
import { listed } from "./expected-words.ts";
import { figureSources, mergePacks, type FigureSources } from "./merge-packs.ts";
import type { RecordFormats } from "./record-format.ts";
import { regionChecks, type RegionOwnCheck } from "./region-checks.ts";
import { regionFormats } from "./region-formats.ts";

/** Something wrong with which packs a book asks for, in the file and at the key that ask for it. */
export interface RegionProblem {
  /** From the book's root. */
  readonly file: string;
  readonly pointer: readonly (string | number)[];
  readonly part: "key" | "value";
  readonly message: string;
  /** What to write in the place instead. */
  readonly suggestion?: string;
}

export interface ChainedPack {
  /** The name of a shipped pack, or the path of a file from the book's root. */
  readonly name: string;
  readonly isShipped: boolean;
  readonly pack: RegionPack;
  /** What breaks the format inside the pack; a file of the book tells these by itself as well. */
  readonly problems: readonly SchemaProblem[];
}

export interface ResolvedRegion {
  /** The figures that hold, the whole chain merged. */
  readonly pack: RegionPack;
  /** Parents first. */
  readonly chain: readonly ChainedPack[];
  readonly sources: FigureSources;
  /** What the records of a book may hold, with the keys that the chain adds. */
  readonly formats: RecordFormats;
  /** The chain's own checks that can be made. */
  readonly checks: readonly RegionOwnCheck[];
  /** The codes of all of them. */
  readonly checkCodes: ReadonlySet<string>;
  readonly problems: readonly RegionProblem[];
}

const LONGEST_CHAIN = 20;
const FALLBACK = "base";

export function shippedRegionNames(): string[] {
  return [...shippedRegions.keys()];
}

/** The text of a shipped pack. */
export function shippedRegionText(name: string): string | undefined {
  return shippedRegions.get(name);
}

/**
 * The figures of the region that a book asks for. Never fails: where a pack cannot be had, the problem says so and the
 * chain goes on from the base pack, so that the other checks still have figures to work with.
 *
 * @param asked what `season.yaml` says: a shipped pack's name, or a path from the book's root.
 * @param loadText the text of a file of the book by its path from the root; undefined where there is none.
 */
export function resolveRegion(asked: string, loadText: (path: string) => string | undefined): ResolvedRegion {
  const chain: ChainedPack[] = [];
  const problems: RegionProblem[] = [];
  let wanted: string | undefined = asked;
  let at: Omit<RegionProblem, "message"> = { file: "season.yaml", pointer: ["region"], part: "value" };
  let folder = "";
  while (wanted !== undefined) {
    const name = isPath(wanted) ? pathFrom(folder, wanted) : wanted;
    const trouble = name === undefined ? leavesBook(wanted) : troubleWith(name, wanted, chain, loadText);
    if (trouble) problems.push({ ...at, ...trouble });
    // A pack that cannot be had is replaced by the base pack, unless that is in the chain already.
    const taken: string = trouble || name === undefined ? FALLBACK : name;
    if (chain.some((one) => one.name === taken)) break;
    const read = isPath(taken) ? readPack(taken, loadText(taken) ?? "") : shippedPack(taken);
    chain.unshift(read);
    wanted = read.pack.extends;
    at = { file: taken, pointer: ["extends"], part: "value" };
    folder = taken.slice(0, taken.lastIndexOf("/") + 1);
  }
  const packs = chain.map((one) => one.pack);
  const sources = figureSources(packs);
  const { formats, problems: ofFormats } = regionFormats(packs);
  const { checks, codes, problems: ofChecks } = regionChecks(chain, formats);
  // What is wrong inside a pack is told in its own file; a shipped pack has none in the book.
  chain.forEach(({ name, isShipped }, i) => {
    if (isShipped) return;
    for (const problem of [...ofFormats[i]!, ...ofChecks[i]!]) problems.push({ file: name, ...problem });
  });
  const pack = { ...mergePacks(packs), sources: namedSources(sources) };
  return { pack, chain, sources, formats, checks, checkCodes: codes, problems };
}

/** The sources as the pack itself writes them, each by the path of its figure. */
function namedSources(sources: FigureSources): Record<string, string> {
  const named = Object.create(null) as Record<string, string>;
  for (const [path, { source }] of sources) if (source !== undefined) named[path] = source;
  return named;
}

type Trouble = Pick<RegionProblem, "message" | "suggestion">;

function troubleWith(
  name: string,
  asked: string,
  chain: readonly ChainedPack[],
  loadText: (path: string) => string | undefined,
): Trouble | undefined {
  if (chain.some((one) => one.name === name)) {
    const round = [name, ...chain.slice(0, chain.findIndex((one) => one.name === name) + 1).map((one) => one.name)];
    return {
      message: `these region packs extend each other in a circle: ${round.reverse().join(" extends ")}; take one "extends" out`,
    };
  }
  if (chain.length >= LONGEST_CHAIN)
    return { message: `more than ${LONGEST_CHAIN} region packs extend one another; put some of them together` };
  if (isPath(name)) {
    if (!name.endsWith(".region.yaml")) {
      return { message: `"${asked}" is not a region pack: the name of its file must end in .region.yaml` };
    }
    return loadText(name) === undefined
      ? { message: `there is no file "${name}" in this record book; correct the path or add the file` }
      : undefined;
  }
  if (shippedRegions.has(name)) return undefined;
  const suggestion = closest(name, shippedRegions.keys());
  if (suggestion !== undefined)
    return { message: `no region pack is called "${name}"; did you mean "${suggestion}"?`, suggestion };
  return {
    message: `no region pack is called "${name}"; there are ${listed(shippedRegionNames(), "and")}, or give the path of a *.region.yaml file in this book`,
  };
}

function leavesBook(asked: string): Trouble {
  if (asked.includes("\\") && !asked.includes(":"))
    return { message: `"${asked}" must be written with forward slashes`, suggestion: asked.replaceAll("\\", "/") };
  return {
    message: `"${asked}" lies outside this record book; copy the pack into the book and give its path from here`,
  };
}

/** A shipped pack's name has neither slash nor suffix. */
function isPath(asked: string): boolean {
  return /[/\\]|\.ya?ml$/i.test(asked);
}

/** The file that a pack in a folder means by `extends`, from the book's root; undefined where it is no file of the book. */
export function packFile(folder: string, asked: string): string | undefined {
  return isPath(asked) ? pathFrom(folder, asked) : undefined;
}

/** A path from the book's root, or undefined where it leaves the book or is none that every system understands. */
function pathFrom(folder: string, asked: string): string | undefined {
  if (/^[/~]|[\\:\0]/.test(asked)) return undefined;
  const steps = folder.split("/").filter((step) => step !== "");
  for (const step of asked.split("/")) {
    if (step === "" || step === ".") continue;
    if (step !== "..") steps.push(step);
    else if (steps.pop() === undefined) return undefined;
  }
  return steps.join("/");
}

const shipped = new Map<string, ChainedPack>();

function shippedPack(name: string): ChainedPack {
  let pack = shipped.get(name);
  if (!pack) shipped.set(name, (pack = { ...readPack(name, shippedRegions.get(name) ?? ""), isShipped: true }));
  return pack;
}

function readPack(name: string, text: string): ChainedPack {
  const { value, problems } = decodeRegion(parseText(text).root);
  return { name, isShipped: false, pack: value ?? {}, problems };
}
