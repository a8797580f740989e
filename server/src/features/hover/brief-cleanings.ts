import type { Book } from "../../book/book.ts";
import { shortcomingsInWords } from "../../book/clean-down-words.ts";
import { soilLeftInWords } from "../../book/field-risk-words.ts";
import { sampleOf } from "../../book/histories.ts";
import { labOf } from "../../book/labs.ts";
import { cleanDown } from "../../soil/clean-down.ts";
import { crewNames, labelled, timeInWords, type Brief } from "./brief.ts";
import { sampleInWords } from "../lenses/sample-lenses.ts";

export function cleaningBrief(id: string, book: Book): Brief | undefined {
  const facts = book.record("cleanings", id)?.facts;
  if (!facts) return undefined;
  const { full, soilLeft, shortcomings } = cleanDown(facts.steps ?? [], book.region.cleaning ?? {});
  const place = facts.field === undefined ? facts.place : `${facts.place ?? "at"}, ${book.fieldName(facts.field)}`;
  return {
    title: `Clean-down ${id}`,
    lines: [
      [timeInWords(facts.at, book), place].filter((part) => part !== undefined).join(", "),
      labelled("Cleaned", facts.equipment?.join(", ")),
      labelled("By", crewNames(facts.by === undefined ? [] : [facts.by], book)),
      full ? "In full" : `In part: ${shortcomingsInWords(shortcomings, facts.steps)}; ${soilLeftInWords(soilLeft)}`,
    ],
  };
}

export function sampleBrief(id: string, book: Book): Brief | undefined {
  const record = book.record("samples", id);
  if (!record) return undefined;
  const { facts } = record;
  const sample = sampleOf(record, book.asOf);
  const from = [
    facts.field === undefined ? undefined : book.fieldName(facts.field),
    facts.visit,
    facts.dig && `dig ${facts.dig}`,
  ];
  return {
    title: `Sample ${id}${facts.material ? `: ${facts.material}` : ""}`,
    lines: [
      labelled("From", from.filter(Boolean).join(", ")),
      labelled("Lab", labOf(book, facts.lab)?.name ?? facts.lab),
      sample && sampleInWords(sample, book),
    ],
  };
}
