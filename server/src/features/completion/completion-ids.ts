import { parseDay } from "../../base/days.ts";
import { dayInWords } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { byCodeUnits } from "../../base/code-units.ts";
import { plantsWithGalls } from "../../book/field-history.ts";
import { seasonScouting } from "../../book/scouting-window.ts";
import { isKind, type FactRecord } from "../../records/record.ts";
import { oneLine } from "../safe-text.ts";
import type { Clock, Proposal } from "./completion-item.ts";
import { likelyCarriers, likelyCrew, likelyEquipment } from "./likely-kit.ts";
import type { ValueSite } from "./value-site.ts";

/** Ids that could be meant, by what the schema says they stand for; the likeliest first. */
export function idProposals(refersTo: string, site: ValueSite, clock: Clock): Proposal[] {
  switch (refersTo) {
    case "field":
      return fieldProposals(site, clock);
    case "entrance":
      return entranceProposals(site);
    case "equipment":
      return likelyEquipment(site);
    case "carrier":
      return likelyCarriers(site);
    case "crew":
      return likelyCrew(site);
    case "grower":
      return growerProposals(site);
    case "lab":
      return labProposals(site);
    case "visit":
      return visitProposals(site);
    case "dig":
      return digProposals(site);
    case "patch":
      return patchProposals(site);
    default:
      return [];
  }
}

function fieldProposals({ book, record }: ValueSite, clock: Clock): Proposal[] {
  const today = parseDay(clock.today) ?? book.asOf;
  const visit = isKind(record, "samples") && record.facts.visit ? book.record("visits", record.facts.visit) : undefined;
  const left = isKind(record, "cleanings") ? lastFieldOf(record, book) : undefined;
  const rotated = new Set(isKind(record, "rotations") ? [...book.records("rotations")].map(({ id }) => id) : []);
  const ranked = [...book.ids("fields")].map((id) => {
    const history = book.fieldHistory(id);
    const scouting = book.seasonYear === undefined ? undefined : seasonScouting(history, book.seasonYear, book);
    const window = scouting?.window;
    const isOpen = window !== undefined && today >= window.opens && today <= window.closes;
    const words = [oneLine(history.name)];
    if (isOpen) words.push(`window open until ${dayInWords(window.closes, book.seasonYear)}`);
    else if (window && today < window.opens) words.push(`window opens ${dayInWords(window.opens, book.seasonYear)}`);
    const isMeant = id === visit?.facts.field || id === left;
    // The field of the visit; fields in their window that nobody dug yet; in their window; with a host; the others.
    const rank = isMeant
      ? 0
      : rotated.has(id)
        ? 5
        : isOpen
          ? scouting?.inWindow.length === 0
            ? 1
            : 2
          : scouting
            ? 3
            : 4;
    return { id, rank, detail: words.join(", ") };
  });
  ranked.sort((a, b) => a.rank - b.rank || byCodeUnits(a.id, b.id));
  return ranked.map(({ id, detail }) => ({ text: id, detail, kind: "id" }));
}

/** The field that what is cleaned was on last. */
function lastFieldOf({ facts }: FactRecord<"cleanings">, book: Book): string | undefined {
  for (const id of facts.equipment ?? []) {
    const last = id ? book.carrierHistory(id).stays.at(-1) : undefined;
    if (last) return last.field;
  }
  return facts.by ? book.crewHistory(facts.by).visits.at(-1)?.field : undefined;
}

function entranceProposals({ book, record }: ValueSite): Proposal[] {
  const field = isKind(record, "visits") ? record.facts.field : undefined;
  const entrances = (field ? book.record("fields", field)?.facts.entrances : undefined) ?? [];
  const usualFirst = [...entrances].sort((a, b) => Number(b.usual === true) - Number(a.usual === true));
  return usualFirst.flatMap(({ id, name, usual }) =>
    id
      ? {
          text: id,
          detail: [name ? oneLine(name) : "", usual ? "the usual one" : ""].filter(Boolean).join(", "),
          kind: "id" as const,
        }
      : [],
  );
}

function growerProposals({ book, file }: ValueSite): Proposal[] {
  const inFile = file.entries.findLast(
    ({ body }) => isKind(body.record, "fields") && body.record.facts.grower !== undefined,
  );
  const record = inFile?.body.record;
  const likeliest = record && isKind(record, "fields") ? record.facts.grower : undefined;
  return named(book.season.growers ?? [], (id) => id === likeliest);
}

function labProposals({ book, file }: ValueSite): Proposal[] {
  const inFile = file.entries.findLast(
    ({ body }) => isKind(body.record, "samples") && body.record.facts.lab !== undefined,
  );
  const record = inFile?.body.record;
  const likeliest = record && isKind(record, "samples") ? record.facts.lab : undefined;
  return named(book.season.labs ?? [], (id) => id === likeliest);
}

function named(
  list: readonly { readonly id?: string; readonly name?: string }[],
  isLikeliest: (id: string) => boolean,
): Proposal[] {
  const proposals = list.flatMap(({ id, name }): Proposal[] =>
    id ? [{ text: id, detail: oneLine(name ?? ""), kind: "id" }] : [],
  );
  return proposals.sort((a, b) => Number(isLikeliest(b.text)) - Number(isLikeliest(a.text)));
}

const MOST_VISITS = 100;

function visitProposals({ book, record }: ValueSite): Proposal[] {
  const field = isKind(record, "samples") ? record.facts.field : undefined;
  const fields = field ? [field] : book.fieldIds();
  const visits = fields.flatMap((id) => book.fieldHistory(id).visits);
  // Roots come from digs: the visits with any stand first, the latest of them on top.
  visits.sort((a, b) => Number(b.digs.length > 0) - Number(a.digs.length > 0) || b.arrived - a.arrived);
  return visits.slice(0, MOST_VISITS).flatMap((visit): Proposal[] => {
    const { id, facts } = visit.record;
    if (!id) return [];
    const detail = `${oneLine(book.fieldName(facts.field ?? ""))}, ${dayInWords(visit.day, book.seasonYear)}, ${facts.purpose ?? ""}`;
    return [{ text: id, detail, kind: "id" }];
  });
}

function digProposals({ book, record }: ValueSite): Proposal[] {
  if (!isKind(record, "samples") || !record.facts.visit) return [];
  const digs = [...(book.record("visits", record.facts.visit)?.facts.digs ?? [])];
  const swollen = (dig: (typeof digs)[number]): number => plantsWithGalls(dig) + (dig.look_alikes ?? 0);
  digs.sort((a, b) => Number(swollen(b) > 0) - Number(swollen(a) > 0));
  return digs.flatMap((dig): Proposal[] => {
    if (!dig.id) return [];
    const galls = plantsWithGalls(dig);
    const detail = `${dig.place ?? ""}, ${galls > 0 ? `${galls} of ${dig.plants ?? "?"} plants with galls` : "no galls"}`;
    return [{ text: dig.id, detail, kind: "id" }];
  });
}

function patchProposals({ book, record }: ValueSite): Proposal[] {
  if (!isKind(record, "visits")) return [];
  const { patches = [], digs = [], field } = record.facts;
  const dug = new Set(digs.map((dig) => dig.patch));
  const own = patches.flatMap(({ id, symptom }): Proposal[] =>
    id ? [{ text: id, detail: oneLine(symptom ?? "of this visit"), kind: "id" }] : [],
  );
  own.sort((a, b) => Number(dug.has(a.text)) - Number(dug.has(b.text)));
  const earlier = field
    ? [...book.fieldHistory(field).visits].reverse().filter((visit) => visit.record.id !== record.id)
    : [];
  const before = earlier.flatMap((visit) =>
    (visit.record.facts.patches ?? []).flatMap(({ id, symptom }): Proposal[] => {
      if (!id || !visit.record.id) return [];
      const seen = `seen ${dayInWords(visit.day, book.seasonYear)}`;
      return [
        { text: `${visit.record.id}#${id}`, detail: symptom ? `${oneLine(symptom)}, ${seen}` : seen, kind: "id" },
      ];
    }),
  );
  return [...own, ...before.slice(0, MOST_VISITS)];
}
