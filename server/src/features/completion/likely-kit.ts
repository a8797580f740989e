import { parseMinute } from "../../base/days.ts";
import { byCodeUnits } from "../../base/code-units.ts";
import { BOOTS_PREFIX } from "../../book/references.ts";
import { isKind, type FactRecord } from "../../records/record.ts";
import { oneLine } from "../safe-text.ts";
import type { Proposal } from "./completion-item.ts";
import type { ValueSite } from "./value-site.ts";

/** How far back a crew's visits tell what it takes along. */
const VISITS_LOOKED_AT = 40;

/** Equipment, what this crew takes on visits like this one first. */
export function likelyEquipment(site: ValueSite): Proposal[] {
  const { book, record } = site;
  const weights = new Map<string, number>();
  if (isKind(record, "visits")) {
    for (const member of record.facts.crew ?? []) {
      for (const visit of visitsOf(site, member)) {
        const isAlike = visit.facts.purpose === record.facts.purpose;
        for (const id of visit.facts.equipment ?? []) weights.set(id, (weights.get(id) ?? 0) + (isAlike ? 10 : 1));
      }
    }
    const grower = record.facts.field ? book.record("fields", record.facts.field)?.facts.grower : undefined;
    for (const { id, facts } of book.records("equipment")) {
      if (grower !== undefined && facts.owner === grower) weights.set(id, (weights.get(id) ?? 0) + 0.5);
    }
  }
  return equipmentByWeight(site, weights);
}

/** What can be cleaned: what was on a field last before the cleaning, by the one who cleans it, first. */
export function likelyCarriers(site: ValueSite): Proposal[] {
  const { book, record } = site;
  const weights = new Map<string, number>();
  const boots = new Map<string, number>();
  if (isKind(record, "cleanings")) {
    const at = parseMinute(record.facts.at ?? "");
    const who = record.facts.by ? [record.facts.by] : book.crewIds();
    for (const member of who) {
      const visits = book.crewHistory(member).visits.filter((visit) => at === undefined || visit.left <= at);
      visits.slice(-VISITS_LOOKED_AT).forEach(({ visit, left }) => {
        for (const id of visit.facts.equipment ?? []) weights.set(id, Math.max(weights.get(id) ?? 0, left));
        boots.set(member, Math.max(boots.get(member) ?? 0, left));
      });
    }
  }
  const people = (book.season.crew ?? []).flatMap(({ id, name }): Proposal[] =>
    id ? [{ text: BOOTS_PREFIX + id, detail: `the boots of ${oneLine(name ?? id)}`, kind: "id" }] : [],
  );
  const by = isKind(record, "cleanings") && record.facts.by ? BOOTS_PREFIX + record.facts.by : undefined;
  people.sort((a, b) => Number(b.text === by) - Number(a.text === by));
  const equipment = equipmentByWeight(site, weights);
  const likely = equipment.filter(({ text }) => weights.has(text));
  return [...likely, ...people, ...equipment.filter(({ text }) => !weights.has(text))];
}

/** People: those who ran this equipment last, then those who were out last. */
export function likelyCrew(site: ValueSite): Proposal[] {
  const { book, record } = site;
  const equipment = new Set(
    (isKind(record, "visits") || isKind(record, "cleanings") ? record.facts.equipment : undefined) ?? [],
  );
  const own = [...equipment].find((id) => id.startsWith(BOOTS_PREFIX))?.slice(BOOTS_PREFIX.length);
  const ranked = (book.season.crew ?? []).flatMap(({ id, name }) => {
    if (!id) return [];
    const visits = visitsOf(site, id);
    const withKit = visits.findLast((visit) => visit.facts.equipment?.some((one) => equipment.has(one)));
    return {
      id,
      name,
      withKit: withKit?.facts.arrived ?? (id === own ? "9" : ""),
      last: visits.at(-1)?.facts.arrived ?? "",
    };
  });
  ranked.sort((a, b) => byCodeUnits(b.withKit, a.withKit) || byCodeUnits(b.last, a.last));
  return ranked.map(({ id, name }) => ({ text: id, detail: oneLine(name ?? ""), kind: "id" }));
}

function visitsOf({ book, record }: ValueSite, member: string): FactRecord<"visits">[] {
  const visits = member ? book.crewHistory(member).visits.map(({ visit }) => visit) : [];
  return visits.filter((visit) => visit.id !== record.id).slice(-VISITS_LOOKED_AT);
}

function equipmentByWeight({ book }: ValueSite, weights: ReadonlyMap<string, number>): Proposal[] {
  const all = [...book.records("equipment")].filter(({ id }) => id !== "");
  all.sort((a, b) => (weights.get(b.id) ?? 0) - (weights.get(a.id) ?? 0) || byCodeUnits(a.id, b.id));
  return all.map(({ id, facts }) => ({
    text: id,
    detail: oneLine([facts.name, facts.kind].filter(Boolean).join(", ")),
    kind: "id",
  }));
}
