import { greatCircleMetres } from "../base/great-circle.ts";
import type { Book } from "../book/book.ts";
import { isAtEntrance } from "../book/entrances.ts";
import { carrierInWords } from "../book/exposure-words.ts";
import type { FieldHistory, FieldVisit } from "../book/field-history.ts";
import { riskStatus, type RiskStatus } from "../book/field-status.ts";
import type { Outline } from "../book/outlines.ts";
import { undugPatches } from "../book/patches.ts";
import { samplingGoal } from "../book/sampling-goal.ts";
import { plantsDug, seasonScouting, type ScoutingWindow } from "../book/scouting-window.ts";
import type { EntranceRecord, LonLat, PatchRecord } from "../schema/facts.ts";
import { fieldGround, stopsOnW } from "./field-ground.ts";
import { MINUTES_PER_HOUR, type PlanFigures } from "./plan-figures.ts";

const SQUARE_METRES_PER_HECTARE = 100 * 100;
const METRES_PER_KM = 1000;
/** More than anyone makes on one walk: a slip in a figure or a stranger's book. */
const MOST_STOPS = 100;

/** A place to dig at, in the order of the walk. */
export interface Stop {
  /** From 1. */
  readonly number: number;
  readonly place: "entrance" | "patch" | "along the route";
  readonly plants: number;
  /** Undefined where the field's outline, or the patch's place, is not recorded. */
  readonly position: LonLat | undefined;
  /** As a later visit's dig names it, `visit-id#patch-id`. */
  readonly patch: string | undefined;
  readonly patchFacts: PatchRecord | undefined;
  /** Of a stop at an entrance: which; undefined where none is recorded. */
  readonly entrance: EntranceRecord | undefined;
  /** At an entrance by which soil of an infested field may have come in: on what. */
  readonly cameInOn: string | undefined;
}

/** Clean, doubtful, confirmed: what decides before and after which fields one is walked. */
export type Standing = "clean" | "doubtful" | "confirmed";

/** What is still to do on a field this season. */
export interface FieldWork {
  readonly field: string;
  readonly name: string;
  readonly grower: string | undefined;
  readonly status: RiskStatus;
  readonly standing: Standing;
  /** 0 clean, 1 exposed, 2 suspected, 3 confirmed. */
  readonly rank: number;
  readonly window: ScoutingWindow;
  /** Plants for the book's confidence, and those dug in the window so far. */
  readonly plantsWanted: number;
  readonly plantsDug: number;
  readonly entrance: EntranceRecord | undefined;
  /** Where one drives to: the usual entrance, else the field itself. */
  readonly position: LonLat | undefined;
  readonly stops: readonly Stop[];
  readonly plants: number;
  readonly walkMetres: number;
  readonly minutes: WorkMinutes;
}

/** Whole minutes. */
export interface WorkMinutes {
  readonly arrival: number;
  readonly walking: number;
  readonly digging: number;
  readonly cleanDown: number;
  /** Of the clean-down: while the disinfectant works. */
  readonly contact: number;
  readonly all: number;
}

/** Why nothing is to be done on a field with a host crop. */
export type NoWork =
  | { readonly why: "done" }
  | { readonly why: "no window" }
  | { readonly why: "no host" }
  | { readonly why: "no plants" };

/** What a field's scouting still lacks: plants, patches, the entrance; and the walk that makes good for it. */
export function fieldWork(
  field: FieldHistory,
  book: Book,
  figures: PlanFigures,
  outline: Outline | undefined,
): FieldWork | NoWork {
  const year = book.seasonYear;
  const scouting = year === undefined ? undefined : seasonScouting(field, year, book);
  if (!scouting) return { why: "no host" };
  const { window, inWindow } = scouting;
  if (!window) return { why: "no window" };
  const wanted = samplingGoal(book)?.plants ?? figures.stops * figures.plantsPerStop;
  if (!(wanted > 0)) return { why: "no plants" };
  const dug = plantsDug(inWindow);
  const patches = undugPatches(field)
    .filter(({ seen }) => seen.year === year)
    .slice(0, MOST_STOPS);
  const reach = figures.entranceReach;
  const isEntranceDug = inWindow.some((visit) => visit.digs.some((dig) => isAtEntrance(dig, field, reach)));
  const entrance = entranceOf(field);
  const position = entrance?.position ?? outline?.[0]?.[0]?.[0];
  const stops: Omit<Stop, "number">[] = [];
  let lacking = Math.max(0, wanted - dug);
  const dig = (stop: Pick<Stop, "place" | "plants" | "position"> & Partial<Stop>): void => {
    stops.push({ patch: undefined, patchFacts: undefined, entrance: undefined, cameInOn: undefined, ...stop });
    lacking = Math.max(0, lacking - stop.plants);
  };
  const plantsThere = figures.entrance_plants;
  const cameIn = entranceOfExposure(field, book);
  const isSame = cameIn !== undefined && cameIn.entrance.id === entrance?.id;
  if (!isEntranceDug)
    dig({
      place: "entrance",
      plants: plantsThere,
      position: entrance?.position,
      entrance,
      cameInOn: isSame ? cameIn.cameInOn : undefined,
    });
  if (cameIn && !isSame && !isDugNear(cameIn.entrance, inWindow, reach))
    dig({ place: "entrance", plants: plantsThere, position: cameIn.entrance.position, ...cameIn });
  for (const { seen, patch } of patches) {
    dig({
      place: "patch",
      plants: figures.plantsPerStop,
      position: patch.position,
      patch: `${seen.record.id}#${patch.id!}`,
      patchFacts: patch,
    });
  }
  const count = Math.min(figures.stops, MOST_STOPS, Math.ceil(lacking / figures.plantsPerStop));
  const ground = outline && fieldGround(outline);
  const places = ground ? stopsOnW(ground, entrance?.position, count) : [];
  for (let left = lacking, i = 0; i < count; i++) {
    const plants = Math.ceil(left / (count - i));
    left -= plants;
    dig({ place: "along the route", plants, position: places[i] });
  }
  if (stops.length === 0) return { why: "done" };
  const plants = stops.reduce((sum, stop) => sum + stop.plants, 0);
  const walkMetres = metresToWalk(field, figures, entrance?.position, stops);
  const status = riskStatus(field, book);
  return {
    field: field.id,
    name: field.name,
    grower: field.record?.facts.grower,
    status,
    standing: standingOf(status),
    rank: rankOf(status),
    window,
    plantsWanted: wanted,
    plantsDug: dug,
    entrance,
    position,
    stops: stops.map((stop, i) => ({ number: i + 1, ...stop })),
    plants,
    walkMetres,
    minutes: minutesOf(plants, walkMetres, figures),
  };
}

/** By which entrance soil of an infested field may have come in, and on what, where the visit says. */
function entranceOfExposure(
  field: FieldHistory,
  book: Book,
): { readonly entrance: EntranceRecord; readonly cameInOn: string } | undefined {
  const last = field.confirmed ? undefined : book.exposureOf(field.id)?.chain.at(-1);
  const used = last && book.visitOfCarrier(last.carrier, last.visitArrived)?.facts.entrance;
  const entrance = field.record?.facts.entrances?.find(({ id }) => id !== undefined && id === used);
  return last && entrance ? { entrance, cameInOn: carrierInWords(last.carrier) } : undefined;
}

/** Dug from that entrance, by a visit that came in by it or by the places of both. */
function isDugNear({ id, position }: EntranceRecord, visits: readonly FieldVisit[], reach: number): boolean {
  return visits.some(({ record, digs }) =>
    digs.some((dig) => {
      if (dig.position && position) return greatCircleMetres(dig.position, position) <= reach;
      return dig.place === "entrance" && record.facts.entrance === id;
    }),
  );
}

/** The usual entrance, or the only one. */
function entranceOf(field: FieldHistory): EntranceRecord | undefined {
  const entrances = field.record?.facts.entrances ?? [];
  return entrances.length === 1 ? entrances[0] : entrances.find(({ usual }) => usual === true);
}

/** The order that the check of walking order asks for: confirmed after suspected after exposed after all others. */
export function rankOf(status: RiskStatus): number {
  return ["exposed", "suspected", "confirmed"].indexOf(status) + 1;
}

function standingOf(status: RiskStatus): Standing {
  const rank = rankOf(status);
  return rank === 0 ? "clean" : status === "confirmed" ? "confirmed" : "doubtful";
}

/** From the entrance by the stops and back, in straight lines; without an outline a W and back over a square of its area. */
function metresToWalk(
  field: FieldHistory,
  figures: PlanFigures,
  entrance: LonLat | undefined,
  stops: readonly Omit<Stop, "number">[],
): number {
  const known = stops.flatMap(({ position }) => (position ? [position] : []));
  const isUnmapped = stops.some(({ place, position }) => place === "along the route" && !position);
  if (!isUnmapped && known.length > 0) {
    const way = entrance ? [entrance, ...known, entrance] : known;
    return Math.round(way.slice(1).reduce((sum, to, i) => sum + greatCircleMetres(way[i]!, to), 0));
  }
  const hectares = field.record?.facts.area_ha;
  if (!isUnmapped) return figures.entranceReach * 2;
  if (hectares === undefined) return figures.walk_m_unknown;
  const side = Math.sqrt(hectares * SQUARE_METRES_PER_HECTARE);
  // Four strokes of a W that is as wide as it is deep, and the way back along its side.
  return Math.round(side * (4 * Math.hypot(1 / 4, 1) + 1));
}

function minutesOf(plants: number, metres: number, figures: PlanFigures): WorkMinutes {
  const arrival = Math.ceil(figures.arrival_minutes);
  const walking = Math.ceil((metres / METRES_PER_KM / figures.walking_km_per_hour) * MINUTES_PER_HOUR);
  const digging = Math.ceil((plants / figures.plants_per_hour) * MINUTES_PER_HOUR);
  const contact = Math.ceil(figures.contactMinutes);
  const cleanDown = Math.ceil(figures.clean_down_minutes) + contact;
  return { arrival, walking, digging, cleanDown, contact, all: arrival + walking + digging + cleanDown };
}
