import { closest } from "../base/closest.ts";
import { oneLine } from "../base/safe-text.ts";
import { readCheckExpression, type CheckExpression } from "./cel/check-expression.ts";
import { LONGEST_MESSAGE, readCheckMessage, type CheckMessage } from "./cel/check-message.ts";
import type { RegionCheck, RegionPack } from "./facts.ts";
import { isRecordKind, type RecordKind } from "./kinds.ts";
import type { RuleLevelName } from "./record-facts.ts";
import type { PackProblem } from "./read-added-keys.ts";
import type { RecordFormats } from "./record-format.ts";
import { isShippedGroup } from "./shipped-groups.ts";

/** A check of a region's own that can be asked of records. */
export interface RegionOwnCheck {
  readonly code: string;
  readonly on: RecordKind;
  /** The key that is underlined; the record's first where there is none. */
  readonly at: string | undefined;
  readonly level: RuleLevelName;
  /** As written in the pack. */
  readonly message: string;
  readonly says: CheckMessage;
  readonly source: string | undefined;
  /** As written in the pack. */
  readonly when: string;
  readonly expression: CheckExpression;
  /** The name or path of the pack that gives it, and which of that pack's checks it is. */
  readonly pack: string;
  readonly isShipped: boolean;
  readonly index: number;
}

export interface RegionChecks {
  /** By code; where a pack gives a code that its parent has, the pack's. */
  readonly checks: readonly RegionOwnCheck[];
  /** Every code that a pack gives, the broken ones included. */
  readonly codes: ReadonlySet<string>;
  /** What is wrong with each pack's, in the order of the packs. */
  readonly problems: readonly (readonly PackProblem[])[];
}

interface PackWithName {
  readonly name: string;
  readonly isShipped: boolean;
  readonly pack: RegionPack;
}

const MOST_CHECKS = 50;

/** @param packs parents first */
export function regionChecks(packs: readonly PackWithName[], formats: RecordFormats): RegionChecks {
  const checks = new Map<string, RegionOwnCheck>();
  const codes = new Set<string>();
  const problems = packs.map((pack) => {
    const found: PackProblem[] = [];
    const ofPack = new Set<string>();
    const written = pack.pack.checks ?? [];
    if (written.length > MOST_CHECKS)
      found.push({
        pointer: ["checks", MOST_CHECKS],
        part: "value",
        message: `a region pack has ${MOST_CHECKS} checks at most; the others are left out`,
      });
    for (const [index, check] of written.slice(0, MOST_CHECKS).entries()) {
      const { code } = check;
      if (!code) continue;
      const trouble = codeTrouble(code, ofPack);
      ofPack.add(code);
      if (trouble !== undefined) {
        found.push({ pointer: ["checks", index, "code"], part: "value", message: trouble });
        continue;
      }
      codes.add(code);
      checks.delete(code);
      const read = readCheck(check, index, pack, formats, found);
      if (read) checks.set(code, read);
    }
    return found;
  });
  return { checks: [...checks.values()], codes, problems };
}

function codeTrouble(code: string, ofPack: ReadonlySet<string>): string | undefined {
  const [group] = code.split("/");
  if (isShippedGroup(code))
    return `the checks called ${group!}/… come with Spadework; put the region's own in a group of its own, such as county/${code.split("/")[1] ?? "permit"}`;
  return ofPack.has(code) ? `this pack has a check called "${code}" already; give this one another name` : undefined;
}

function readCheck(
  { code, on, at, level = "warning", when, message, source }: RegionCheck,
  index: number,
  { name, isShipped }: PackWithName,
  formats: RecordFormats,
  problems: PackProblem[],
): RegionOwnCheck | undefined {
  // What is missing or of the wrong type was told when the pack was read.
  if (!code || !on || !isRecordKind(on) || !when || !message) return undefined;
  const { keys } = formats[on].shape;
  if (at !== undefined && !keys.has(at)) {
    const meant = closest(at, keys.keys());
    problems.push({
      pointer: ["checks", index, "at"],
      part: "value",
      message: `${on} have no key "${at}"${meant === undefined ? "; name one of theirs, or leave it out for the first" : `; did you mean "${meant}"?`}`,
      ...(meant !== undefined && { suggestion: meant }),
    });
  }
  const expression = readCheckExpression(when, on, formats);
  if (typeof expression === "string") {
    problems.push({ pointer: ["checks", index, "when"], part: "value", message: `this expression ${expression}` });
    return undefined;
  }
  const says = readCheckMessage(message, on, formats);
  if (typeof says === "string") {
    problems.push({ pointer: ["checks", index, "message"], part: "value", message: `in this message ${says}` });
    return undefined;
  }
  const ownKey = at !== undefined && keys.has(at) ? at : undefined;
  return {
    code,
    on,
    at: ownKey,
    level,
    when,
    message: oneLine(message, LONGEST_MESSAGE),
    says,
    source,
    expression,
    pack: name,
    isShipped,
    index,
  };
}
