import { dayInWords, figure, listed, plural } from "../../base/words.ts";
import { RISK_STATUSES } from "../../book/field-status.ts";
import type { MapDig, MapFacts, MapField, MapMove, MapPatch } from "../picture/map-facts.ts";
import { fieldPlace } from "../picture/season-map.ts";
import type { LonLat } from "../../schema/facts.ts";
import { digInWords, opens, type SeasonFacts, type SeasonField } from "./season-facts.ts";
import { moveLabel, type SoilMove } from "./soil-moves.ts";

/** What the map of a season shows, with its text alternative. */
export function seasonMapFacts(facts: SeasonFacts): MapFacts {
  const fields = facts.fields.map((field) => mapField(field));
  const places = new Map(facts.fields.map((field, i) => [field.id, fields[i]!]));
  const digs = seasonMapDigs(facts);
  const moves = facts.moves.map((move) => mapMove(move, facts, places));
  return {
    title: `Map of season ${facts.season ?? ""}`.trim(),
    description: describe(facts, digs, fields),
    fields,
    digs,
    patches: seasonMapPatches(facts),
    moves,
  };
}

export function mapField({ id, name, risk, why, history, outline }: SeasonField): MapField {
  const entrances = (history.record?.facts.entrances ?? []).flatMap((entrance, i) => {
    const { position, usual } = entrance;
    const label = `entrance ${entrance.name ?? entrance.id ?? i + 1}`;
    const open = opens("fields", id, ["entrances", i]);
    return position ? [{ label, position, usual: usual === true, open }] : [];
  });
  const label = `${name}: ${risk.status}${why === undefined ? "" : `, ${why}`}`;
  return { label, name, status: risk.status, outline, entrances, open: opens("fields", id) };
}

export function seasonMapDigs({ digs, view }: Pick<SeasonFacts, "digs" | "view">): MapDig[] {
  return digs.flatMap((dig): MapDig[] => {
    const { position, dsiPercent, visit, index } = dig;
    const open = opens("visits", visit.record.id, ["digs", index]);
    return position ? [{ position, dsiPercent, label: digInWords(dig, view), open, from: visit.arrived }] : [];
  });
}

export function seasonMapPatches({ fields, view }: Pick<SeasonFacts, "fields" | "view">): MapPatch[] {
  const { seasonYear } = view.book;
  return fields.flatMap(({ name, history }) =>
    history.visits
      .filter(({ year }) => year === seasonYear)
      .flatMap((visit) =>
        (visit.record.facts.patches ?? []).flatMap(({ id, symptom, area_m2: areaM2, position }, i): MapPatch[] => {
          if (!position) return [];
          const size = areaM2 === undefined ? "" : `, ${figure(areaM2)} m²`;
          const label = `patch ${id ?? ""} on ${name}, seen on ${dayInWords(visit.day, seasonYear)}${symptom === undefined ? "" : `: ${symptom}`}${size}`;
          const open = opens("visits", visit.record.id, ["patches", i]);
          return [{ position, areaM2, label, open, from: visit.arrived }];
        }),
      ),
  );
}

function mapMove(move: SoilMove, { view }: SeasonFacts, fields: ReadonlyMap<string, MapField>): MapMove {
  const { number, carriage } = move;
  const left = view.book.visitOfCarrier(carriage.carrier, carriage.visitLeft);
  const arrived = view.book.visitOfCarrier(carriage.carrier, carriage.visitArrived);
  const placeOf = (id: string, entrance: string | undefined): LonLat | undefined => {
    const field = fields.get(id);
    const record = view.isShown(id) ? view.book.record("fields", id) : undefined;
    const used = record?.facts.entrances?.find((one) => one.id !== undefined && one.id === entrance);
    return used?.position ?? (field && fieldPlace(field));
  };
  return {
    number,
    label: moveLabel(move, view),
    start: placeOf(carriage.from, left?.facts.entrance),
    end: placeOf(carriage.to, arrived?.facts.entrance),
    soilLeft: carriage.soilLeft,
    since: carriage.left,
    from: carriage.arrived,
    open: arrived && view.isShown(carriage.to) ? opens("visits", arrived.id, ["arrived"]) : undefined,
  };
}

function describe(facts: SeasonFacts, digs: readonly MapDig[], fields: readonly MapField[]): string {
  const counts = RISK_STATUSES.flatMap((status) => {
    const names = facts.fields.filter(({ risk }) => risk.status === status).map(({ name }) => name);
    return names.length === 0 ? [] : [`${status}: ${listed(names)}.`];
  });
  const undrawn = facts.digs.length - digs.length;
  const nowhere = facts.fields.filter((_, i) => !fieldPlace(fields[i]!)).map(({ name }) => name);
  return [
    `North is up. ${plural(facts.fields.length, "field")}.`,
    ...counts,
    `${plural(digs.length, "dig")} drawn${undrawn > 0 ? `, ${undrawn} not, for their places are not recorded` : ""}.`,
    facts.moves.length > 0
      ? `${plural(facts.moves.length, "arrow")} for soil that may have gone from field to field.`
      : "",
    nowhere.length > 0 ? `Not drawn, for neither an outline nor an entrance is recorded: ${listed(nowhere)}.` : "",
    "The tables of this page say the same in words.",
  ]
    .filter((sentence) => sentence !== "")
    .join(" ");
}
