import { severity } from "../../agronomy/severity.ts";
import { dayInWords, figure, plural } from "../../base/words.ts";
import { fieldRisks, type FieldRisk } from "../../book/field-risk.ts";
import { reasonInWords } from "../../book/field-risk-words.ts";
import { RISK_STATUSES } from "../../book/field-status.ts";
import type { FieldHistory, FieldVisit } from "../../book/field-history.ts";
import { plantsWithGalls } from "../../book/field-history.ts";
import type { Outline, ReadOutline } from "../../book/outlines.ts";
import type { Pointer } from "../../records/finding.ts";
import type { RecordKind } from "../../schema/kinds.ts";
import type { DigRecord, LonLat } from "../../schema/facts.ts";
import { nextSteps, type NextStep } from "./next-steps.ts";
import { exposureSentence, soilMoves, type SoilMove } from "./soil-moves.ts";
import type { Viewpoint } from "./viewpoint.ts";

/** A field as the season's pages show it. */
export interface SeasonField {
  readonly id: string;
  readonly name: string;
  readonly risk: FieldRisk;
  readonly history: FieldHistory;
  /** Why it has its status, without the status; undefined where it needs no reason. */
  readonly why: string | undefined;
  readonly outline: Outline | undefined;
  /** Why an outline that is recorded is not drawn. */
  readonly outlineTrouble: string | undefined;
  readonly steps: readonly NextStep[];
}

/** A dig of the season with all that is said of it. */
export interface SeasonDig {
  readonly field: SeasonField;
  readonly visit: FieldVisit;
  readonly index: number;
  readonly dig: DigRecord;
  readonly galls: number;
  /** 0 to 100; undefined where it was not rated. */
  readonly dsiPercent: number | undefined;
  /** Where it was, or the entrance it was dug at; undefined where neither is recorded. */
  readonly position: LonLat | undefined;
}

export interface SeasonFacts {
  readonly view: Viewpoint;
  readonly season: number | undefined;
  /** The riskiest first, then by name. */
  readonly fields: readonly SeasonField[];
  readonly digs: readonly SeasonDig[];
  readonly moves: readonly SoilMove[];
}

export function seasonFacts(view: Viewpoint, outlines: ReadonlyMap<string, ReadOutline>): SeasonFacts {
  const { book } = view;
  const risks = fieldRisks(book).filter(({ field }) => field !== "" && view.isShown(field));
  const rank = ({ status }: FieldRisk): number => RISK_STATUSES.indexOf(status);
  risks.sort((a, b) => rank(a) - rank(b) || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
  const fields = risks.map((risk): SeasonField => {
    const history = book.fieldHistory(risk.field);
    const read = outlines.get(risk.field);
    return {
      id: risk.field,
      name: risk.name,
      risk,
      history,
      why: whyOfStatus(history, risk, view),
      outline: read && "outline" in read ? read.outline : undefined,
      outlineTrouble: read && "trouble" in read ? read.trouble : undefined,
      steps: nextSteps(history, risk, view),
    };
  });
  return { view, season: book.seasonYear, fields, digs: fields.flatMap(digsOf), moves: soilMoves(view) };

  function digsOf(field: SeasonField): SeasonDig[] {
    return field.history.visits
      .filter(({ year }) => year === book.seasonYear)
      .flatMap((visit) =>
        visit.digs.map((dig, index) => {
          const found = dig.ratings && severity(dig.ratings);
          return {
            field,
            visit,
            index,
            dig,
            galls: plantsWithGalls(dig),
            dsiPercent: found?.ok ? found.value.dsiPercent : undefined,
            position: digPosition(dig, visit, field),
          };
        }),
      );
  }
}

/** Why a field has its status, without the status; undefined where it needs no reason. */
export function whyOfStatus(history: FieldHistory, risk: FieldRisk, view: Viewpoint): string | undefined {
  // The way of the soil may lead over fields that are not to be named.
  if (risk.status === "exposed") return risk.exposure && exposureSentence(risk.exposure, view);
  return reasonInWords(history, risk, view.book);
}

/** Only what was dug at an entrance is drawn there; for other digs a place would be made up. */
function digPosition(dig: DigRecord, visit: FieldVisit, field: SeasonField): LonLat | undefined {
  if (dig.position) return dig.position;
  if (dig.place === "patch") {
    const patch = visit.record.facts.patches?.find(({ id }) => id !== undefined && id === dig.patch);
    return patch?.position;
  }
  if (dig.place !== "entrance") return undefined;
  const entrances = field.history.record?.facts.entrances ?? [];
  const used = entrances.find(({ id }) => id !== undefined && id === visit.record.facts.entrance);
  return (used ?? entrances.find(({ usual }) => usual) ?? entrances[0])?.position;
}

/** `dig d2 of 12 Aug on East Slough, entrance: 40 plants, 9 with galls, severity 11.7 %` */
export function digInWords({ field, visit, dig, galls, dsiPercent }: SeasonDig, { book }: Viewpoint): string {
  const name = dig.id === undefined ? "dig" : `dig ${dig.id}`;
  const plants = dig.plants === undefined ? [] : [plural(dig.plants, "plant")];
  const found =
    dsiPercent === undefined
      ? "not rated"
      : galls === 0
        ? "no galls"
        : `${galls} with galls, severity ${figure(dsiPercent, 1)} %`;
  const where = dig.place === undefined ? "" : `, ${dig.place}`;
  return `${name} of ${dayInWords(visit.day, book.seasonYear)} on ${field.name}${where}: ${[...plants, found].join(", ")}`;
}

/** What a mark leads to: a record, and a place in it. The page hands it back to the one who can open it. */
export function opens(kind: RecordKind, id: string, pointer: Pointer = []): string {
  return JSON.stringify([kind, id, ...pointer]);
}
