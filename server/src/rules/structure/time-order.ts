import { parseDayOf, parseMinute } from "../../base/days.ts";
import { durationInWords, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import type { Pointer } from "../../records/finding.ts";
import { isKind, type FactRecord } from "../../records/record.ts";
import { BOOTS_PREFIX } from "../../book/references.ts";
import { carrierRule, combinedRule, crewRule, recordRule, type Reporter } from "../rule.ts";

const CODE = { code: "structure/time-order", level: "error" } as const;

const withinOneRecord = recordRule({
  ...CODE,
  kinds: ["rotations", "visits", "samples"],
  check(record, _book, report) {
    if (isKind(record, "visits")) {
      inOrder(record, report, { parse: parseMinute, gap: durationInWords }, [
        step(["arrived"], "arrived", record.facts.arrived),
        step(["left"], "left", record.facts.left),
      ]);
    } else if (isKind(record, "samples")) {
      const { taken, sent, received, result } = record.facts;
      inOrder(record, report, BY_DAY, [
        step(["taken"], "taken", taken),
        step(["sent"], "sent", sent),
        step(["received"], "received by the lab", received),
        step(["result", "reported"], "reported", result?.reported),
      ]);
    } else if (isKind(record, "rotations")) {
      record.facts.crops?.forEach((crop, i) => {
        inOrder(record, report, BY_DAY, [
          step(["crops", i, "seeded"], "seeded", crop.seeded),
          step(["crops", i, "emerged"], "emerged", crop.emerged),
          step(["crops", i, "swathed"], "swathed", crop.swathed),
        ]);
      });
    }
  },
});

const onePersonOnTwoFields = crewRule({
  ...CODE,
  check(crew, book, report) {
    eachOverlap(crew.visits, book, ([earlier, later]) => {
      const [first] = sharedItems(earlier.visit.facts.crew, later.visit.facts.crew);
      if (first === crew.id) tell(earlier, later, `${crew.name} is`, book, report);
    });
  },
});

const oneCarrierOnTwoFields = carrierRule({
  ...CODE,
  check(carrier, book, report) {
    // Boots are where their wearer is, and the crew's own part speaks of that.
    if (carrier.id.startsWith(BOOTS_PREFIX)) return;
    eachOverlap(carrier.stays, book, ([earlier, later]) => {
      if (sharedItems(earlier.visit.facts.crew, later.visit.facts.crew).length > 0) return;
      const [first] = sharedItems(earlier.visit.facts.equipment, later.visit.facts.equipment).filter((id) =>
        book.touchesSoil(id),
      );
      if (first === carrier.id) tell(earlier, later, `${carrier.id} is`, book, report);
    });
  },
});

export default combinedRule({ ...CODE, parts: [withinOneRecord, onePersonOnTwoFields, oneCarrierOnTwoFields] });

/** How moments of a record are read, and how far two of them are apart in words. */
interface Scale {
  readonly parse: (text: string) => number | undefined;
  readonly gap: (between: number) => string;
}

const BY_DAY: Scale = { parse: parseDayOf, gap: (days) => plural(days, "day") };

interface Step {
  readonly pointer: Pointer;
  readonly verb: string;
  readonly text: string | undefined;
}

function step(pointer: Pointer, verb: string, text: string | undefined): Step {
  return { pointer, verb, text };
}

/** Each step against the last one before it that is recorded. */
function inOrder(record: FactRecord, report: Reporter, { parse, gap }: Scale, steps: readonly Step[]): void {
  let before: { step: Step; at: number } | undefined;
  for (const current of steps) {
    const at = current.text === undefined ? undefined : parse(current.text);
    if (at === undefined) continue;
    if (before && at < before.at) {
      const [place, other] = laterWritten(record, before.step.pointer, current.pointer);
      report({
        place: { record, pointer: place, part: "value" },
        message: `${current.verb} ${current.text!} is ${gap(before.at - at)} before ${before.step.verb} ${before.step.text!}; correct the one that is wrong`,
        related: [{ place: { record, pointer: other, part: "value" }, message: "the other of the two" }],
      });
    }
    before = { step: current, at };
  }
}

/** The two pointers, the one that stands later in the record first: facts keep their keys in the order written. */
function laterWritten(record: FactRecord, a: Pointer, b: Pointer): [Pointer, Pointer] {
  let value: unknown = record.facts;
  for (let i = 0; i < Math.min(a.length, b.length); i++) {
    if (typeof value !== "object" || value === null) break;
    if (a[i] !== b[i]) {
      const keys = Object.keys(value);
      return keys.indexOf(String(a[i])) > keys.indexOf(String(b[i])) ? [a, b] : [b, a];
    }
    value = (value as Record<string | number, unknown>)[a[i]!];
  }
  return [b, a];
}

interface Stay {
  readonly visit: FactRecord<"visits">;
  readonly field: string;
  readonly arrived: number;
  readonly left: number;
}

/** Calls back for every two stays on different fields that overlap, the one written earlier first. Stays come in order of arrival. */
function eachOverlap(stays: readonly Stay[], book: Book, tellPair: (pair: [Stay, Stay]) => void): void {
  let present: Stay[] = [];
  for (const stay of stays) {
    // Leaving one field in the minute of arriving on another is no overlap; two stays that begin together are.
    present = present.filter((other) => other.left > stay.arrived || other.arrived === stay.arrived);
    for (const other of present) {
      if (other.field !== stay.field)
        tellPair(book.writtenBefore(other.visit, stay.visit) <= 0 ? [other, stay] : [stay, other]);
    }
    present.push(stay);
  }
}

function tell(earlier: Stay, later: Stay, who: string, book: Book, report: Reporter): void {
  const { facts, id } = earlier.visit;
  const lasting =
    facts.left === undefined ? `at ${facts.arrived ?? ""}` : `from ${facts.arrived ?? ""} to ${facts.left}`;
  report({
    place: { record: later.visit, pointer: ["arrived"], part: "value" },
    message: `${who} on ${book.fieldName(later.field)} and on ${book.fieldName(earlier.field)} at once (visit ${id} ${lasting}); correct the time that is wrong`,
    related: [
      {
        place: { record: earlier.visit, pointer: ["arrived"], part: "value" },
        message: `the visit to ${book.fieldName(earlier.field)}`,
      },
    ],
  });
}

function sharedItems(a: readonly string[] = [], b: readonly string[] = []): string[] {
  return a.filter((item) => item !== "" && b.includes(item));
}
