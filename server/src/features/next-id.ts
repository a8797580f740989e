import { civilDate, parseDayOf } from "../base/days.ts";
import type { Book } from "../book/book.ts";
import { dayOfRecord } from "../book/dates.ts";
import { fieldIdOfRecord } from "../book/references.ts";
import type { RecordFile } from "../records/record-file.ts";
import type { FactRecord } from "../records/record.ts";
import type { RecordKind } from "../schema/kinds.ts";

/** What a new record's id may be made of. */
export interface IdParts {
  /** Days since 1970-01-01. */
  readonly day: number | undefined;
  readonly field: string | undefined;
}

/** An id as its parts: letters as written, or what stands for a date, the field, a running number. */
type Part =
  | { readonly is: "text"; readonly text: string }
  | { readonly is: "date"; readonly form: DateForm }
  | { readonly is: "field" }
  | { readonly is: "number"; readonly width: number };

/** Ids that are given away: looked up one by one where that is enough. */
interface Taken {
  has(id: string): boolean;
  all(): readonly string[];
}

const DATE_FORMS = ["yyyy-mm-dd", "yyyymmdd", "yyyy-mmdd", "yymmdd", "mm-dd", "mmdd", "yyyy"] as const;
type DateForm = (typeof DATE_FORMS)[number];

const RECORDS_LOOKED_AT = 60;
const USUAL: Readonly<Partial<Record<RecordKind, readonly Part[]>>> = {
  visits: [{ is: "text", text: "v-" }, { is: "date", form: "mmdd" }, { is: "text", text: "-" }, { is: "field" }],
  cleanings: [
    { is: "text", text: "c-" },
    { is: "date", form: "mmdd" },
    { is: "text", text: "-" },
    { is: "number", width: 0 },
  ],
  samples: [
    { is: "text", text: "s-" },
    { is: "date", form: "mmdd" },
    { is: "text", text: "-" },
    { is: "number", width: 0 },
  ],
};

/**
 * The next free id in the way the book numbers its records: as most ids of the file are made (of the book, where the file
 * has none), from the date, the field and a running number. Undefined where the book shows no way that these parts can fill.
 *
 * @param reserved ids that are given away but not in the book yet.
 */
export function nextRecordId(
  book: Book,
  kind: RecordKind,
  parts: IdParts,
  file?: RecordFile,
  reserved: ReadonlySet<string> = new Set(),
): string | undefined {
  const taken: Taken = {
    has: (id) => reserved.has(id) || book.recordsWithId(kind, id).length > 0,
    all: () => [...book.ids(kind), ...reserved],
  };
  const inFile = (file?.kind === kind ? file.entries : []).map(({ body }) => body.record).filter(({ id }) => id !== "");
  const known: readonly FactRecord[] =
    inFile.length > 0 ? inFile : [...book.records(kind)].filter(({ id }) => id !== "");
  for (const pattern of patternsOf(known.slice(-RECORDS_LOOKED_AT))) {
    const id = fill(pattern, parts, taken);
    if (id !== undefined) return id;
  }
  const usual = USUAL[kind];
  return usual && known.length === 0 ? fill(usual, parts, taken) : undefined;
}

/** The next id of a part of a record (a dig, a patch): `d3` after `d1` and `d2`. */
export function nextPartId(ids: readonly (string | undefined)[], usual: string): string {
  const taken = new Set(ids);
  const last = ids.findLast((id) => id !== undefined && /\d$/.test(id)) ?? usual.replace(/\d+$/, "0");
  const [, lead, digits] = /^(.*?)(\d+)$/.exec(last) ?? ["", "", usual, "0"];
  for (let number = Number(digits) + 1; ; number++) {
    const id = `${lead!}${String(number).padStart(digits!.length, "0")}`;
    if (!taken.has(id)) return id;
  }
}

/** The ways ids are made, the commonest first; of equals, the one used last. */
function patternsOf(records: readonly FactRecord[]): readonly (readonly Part[])[] {
  const counted = new Map<string, { pattern: readonly Part[]; count: number; last: number }>();
  records.forEach((record, index) => {
    const pattern = patternOf(record);
    const name = JSON.stringify(pattern);
    const known = counted.get(name);
    counted.set(name, { pattern, count: (known?.count ?? 0) + 1, last: index });
  });
  return [...counted.values()].sort((a, b) => b.count - a.count || b.last - a.last).map(({ pattern }) => pattern);
}

function patternOf(record: FactRecord): readonly Part[] {
  let parts: readonly Part[] = [{ is: "text", text: record.id }];
  const field = fieldIdOfRecord(record);
  if (field && field !== record.id) parts = cut(parts, field, { is: "field" });
  const day = dayOfRecord(record);
  if (day !== undefined) {
    for (const form of DATE_FORMS) {
      const after = cut(parts, dateText(day, form), { is: "date", form });
      if (after === parts) continue;
      parts = after;
      break;
    }
  }
  const last = parts[parts.length - 1];
  const number = last?.is === "text" ? /^(.*?)(\d{1,9})$/.exec(last.text) : null;
  if (!number) return parts;
  const [, lead, digits] = number;
  const text: Part[] = lead === "" ? [] : [{ is: "text", text: lead! }];
  return [...parts.slice(0, -1), ...text, { is: "number", width: digits!.startsWith("0") ? digits!.length : 0 }];
}

/** Puts a part in the place of a word, where the word stands by itself. */
function cut(parts: readonly Part[], word: string, part: Part): readonly Part[] {
  for (const [index, one] of parts.entries()) {
    if (one.is !== "text") continue;
    for (let at = one.text.indexOf(word); at !== -1; at = one.text.indexOf(word, at + 1)) {
      const [before, after] = [one.text.slice(0, at), one.text.slice(at + word.length)];
      const alone =
        part.is === "date"
          ? !/\d$/.test(before) && !/^\d/.test(after)
          : !/[a-z0-9]$/.test(before) && !/^[a-z0-9]/.test(after);
      if (!alone) continue;
      const texts = (text: string): Part[] => (text === "" ? [] : [{ is: "text", text }]);
      return [...parts.slice(0, index), ...texts(before), part, ...texts(after), ...parts.slice(index + 1)];
    }
  }
  return parts;
}

function fill(pattern: readonly Part[], { day, field }: IdParts, taken: Taken): string | undefined {
  let lead = "";
  for (const part of pattern) {
    if (part.is === "text") lead += part.text;
    else if (part.is === "field") {
      if (!field) return undefined;
      lead += field;
    } else if (part.is === "date") {
      if (day === undefined) return undefined;
      lead += dateText(day, part.form);
    } else return numbered(lead, part.width, taken);
  }
  // Without a number of its own, a second one of the day gets one. Where nothing varies, the ids are names.
  if (pattern.every((part) => part.is === "text")) return undefined;
  if (!taken.has(lead)) return lead;
  for (let number = 2; ; number++) if (!taken.has(`${lead}-${number}`)) return `${lead}-${number}`;
}

function numbered(lead: string, width: number, taken: Taken): string {
  let highest = 0;
  for (const id of taken.all()) {
    if (!id.startsWith(lead)) continue;
    const digits = id.slice(lead.length);
    if (/^\d{1,9}$/.test(digits)) highest = Math.max(highest, Number(digits));
  }
  return lead + String(highest + 1).padStart(width, "0");
}

function dateText(day: number, form: DateForm): string {
  const { year, month, dayOfMonth } = civilDate(day);
  const [yyyy, mm, dd] = [
    String(year).padStart(4, "0"),
    String(month).padStart(2, "0"),
    String(dayOfMonth).padStart(2, "0"),
  ];
  return form.replace("yyyy", yyyy).replace("yy", yyyy.slice(2)).replace("mm", mm).replace("dd", dd);
}

/** The day of a date or a date-time as recorded. */
export function dayOfText(text: string | undefined): number | undefined {
  return text === undefined ? undefined : parseDayOf(text);
}
