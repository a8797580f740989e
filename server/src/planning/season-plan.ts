import type { Book } from "../book/book.ts";
import { byCodeUnits } from "../base/code-units.ts";
import { hostCropOf, type FieldHistory } from "../book/field-history.ts";
import { whyNoWindow } from "../book/window-words.ts";
import type { LonLat } from "../schema/facts.ts";
import { cleanDownPlan, type CleanDownPlan } from "./clean-down-plan.ts";
import { joined, legBetween, NO_WAY } from "./driving.ts";
import { entryDays, RainOfBook, type EntryDay } from "./entry-days.ts";
import { fieldWork, type FieldWork, type NoWork } from "./field-work.ts";
import { leftOutField, type LeftOutField } from "./left-out.ts";
import { planFigures, type PlanFigures } from "./plan-figures.ts";
import type { PlanQuestion } from "./plan-question.ts";
import { solvePlan, type SolvedPlan } from "./solve-plan.ts";
import { unsentSamples, type UnsentSample } from "./unsent-samples.ts";
import { walkRoute, type Leg, type Shift, type WalkProblem, type WalkTask } from "./walk-problem.ts";
import { earlierThatDay, walker, workDay, type Walker, type WorkDay } from "./work-day.ts";

export interface SeasonPlan {
  readonly question: PlanQuestion;
  readonly figures: PlanFigures;
  readonly crew: readonly Walker[];
  /** Where days begin and end: as asked, else the middle of the fields; undefined where neither is known. */
  readonly home: LonLat | undefined;
  /** Those on which someone walks, or has an errand; by day, then in the order of the crew. */
  readonly days: readonly PlannedDay[];
  readonly leftOut: readonly LeftOutField[];
  /** Fields with a host crop on which nothing is left to do. */
  readonly done: readonly string[];
  readonly solved: SolvedPlan;
  /** Whether any rain is recorded by which wet fields could be told. */
  readonly knowsRain: boolean;
  /** On which a field that is in its window is too wet to be walked. */
  readonly wetDays: readonly number[];
  /** Kit that two walkers took along last, and that only the first of them has in this plan. */
  readonly sharedKit: readonly { readonly carrier: string; readonly walkers: readonly [Walker, Walker] }[];
}

/** Why there is no plan. */
export type NoPlan =
  | { readonly why: "figures"; readonly missing: readonly string[] }
  | { readonly why: "fields"; readonly fields: number; readonly most: number };

/** More fields in their windows at once than anyone's crew walks; the ways between them would fill the memory. */
const MOST_FIELDS = 1000;

export interface PlannedDay extends WorkDay {
  readonly day: number;
  readonly walker: Walker;
  readonly fields: readonly PlannedField[];
  /** To where the day ends; none where that is not known. */
  readonly home: Leg;
  readonly metres: number;
  readonly ended: number;
  readonly cleanDown: CleanDownPlan;
  readonly samples: readonly UnsentSample[];
}

export interface PlannedField {
  readonly work: FieldWork;
  /** The drive there. */
  readonly by: Leg;
  readonly arrived: number;
  /** When the digging is over and the clean-down begins. */
  readonly walked: number;
  readonly left: number;
  /** The field was entered only then, for a spraying's re-entry interval ran until then. */
  readonly waitedForReEntry: boolean;
}

/** The plan's problem, with what its numbers stand for. */
export interface PlanParts {
  readonly figures: PlanFigures;
  readonly crew: readonly Walker[];
  readonly home: LonLat | undefined;
  readonly sharedKit: SeasonPlan["sharedKit"];
  readonly problem: WalkProblem;
  readonly works: readonly FieldWork[];
  readonly entries: readonly (readonly EntryDay[])[];
  readonly workDays: readonly WorkDay[];
  readonly samples: readonly UnsentSample[];
  readonly without: readonly {
    readonly field: FieldHistory;
    readonly why: NoWork["why"] | "later" | "closed";
    readonly work?: FieldWork;
  }[];
  readonly knowsRain: boolean;
}

/**
 * Which fields to walk on which day and in which order. It keeps to the scouting windows; on each day, and with everything that
 * carries soil, to clean before doubtful before confirmed; to daylight and the hours of a day; to re-entry intervals; and leaves
 * wet fields alone. Among plans that do, the one that misses the fewest windows, then leaves out the fewest fields, then drives
 * least.
 *
 * @returns why there is no plan, where the region lacks what a plan counts with, or the fields are too many
 */
export function seasonPlan(book: Book, question: PlanQuestion): SeasonPlan | NoPlan {
  const parts = planParts(book, question);
  if ("why" in parts) return parts;
  const { figures, crew, home, problem, works, entries, workDays, samples, without, knowsRain, sharedKit } = parts;
  const solved = solvePlan(problem);
  const days = problem.shifts.flatMap((shift, i): PlannedDay[] => {
    const walked = walkRoute(problem, shift, solved.routes[i]!)!;
    const own = crew.find(({ id }) => id === shift.walker)!;
    const handsIn = i === 0 ? samples : [];
    if (walked.fields.length === 0 && handsIn.length === 0) return [];
    const fields = walked.fields.map(({ task, by, arrived, left }): PlannedField => {
      const work = works[task]!;
      const waitedForReEntry = entries[task]![shift.day]!.openFrom === arrived;
      return { work, by, arrived, left, walked: left - work.minutes.cleanDown, waitedForReEntry };
    });
    const { sunrise, sunset } = workDays[shift.day]!;
    return [
      {
        day: question.from + shift.day,
        walker: own,
        fields,
        home: walked.home,
        metres: walked.metres,
        begins: shift.begins,
        ends: shift.ends,
        ended: walked.ended,
        sunrise,
        sunset,
        cleanDown: cleanDownPlan(book, own.kit, figures, question.litres),
        samples: handsIn,
      },
    ];
  });
  const walkedTasks = new Set(solved.routes.flat());
  const leftOut = [
    ...works.flatMap((work, task) =>
      walkedTasks.has(task) ? [] : [leftOutField(problem, task, work, entries[task]!)],
    ),
    ...without.flatMap(({ field, why, work }): LeftOutField[] =>
      why === "done" || why === "no host"
        ? []
        : [{ field: field.id, name: field.name, why, work, noWindow: noWindowOf(field, book), isMissed: false }],
    ),
  ];
  leftOut.sort((a, b) => Number(b.isMissed) - Number(a.isMissed) || byCodeUnits(a.field, b.field));
  const done = without.filter(({ why }) => why === "done").map(({ field }) => field.id);
  const wetDays = workDays.flatMap((_, i) =>
    entries.some((entry) => entry[i]!.why === "wet") ? [question.from + i] : [],
  );
  return { question, figures, crew, home, days, leftOut, done, solved, knowsRain, wetDays, sharedKit };
}

function noWindowOf(field: FieldHistory, book: Book): string | undefined {
  const crop = book.seasonYear === undefined ? undefined : hostCropOf(field, book.seasonYear);
  return crop && whyNoWindow(crop, book);
}

/** What is to be planned, as the solver takes it. */
export function planParts(book: Book, question: PlanQuestion): PlanParts | NoPlan {
  const figures = planFigures(book);
  if ("missing" in figures) return { why: "figures", missing: figures.missing };
  const days = Array.from({ length: question.days }, (_, i) => question.from + i);
  const last = question.from + question.days - 1;
  const works: FieldWork[] = [];
  const histories: FieldHistory[] = [];
  const without: PlanParts["without"][number][] = [];
  for (const id of book.fieldIds()) {
    const field = book.fieldHistory(id);
    if (!field.record) continue;
    const work = fieldWork(field, book, figures, question.outlines?.get(id));
    if ("why" in work) without.push({ field, why: work.why });
    else if (work.window.opens > last) without.push({ field, why: "later", work });
    else if (work.window.closes < question.from) without.push({ field, why: "closed", work });
    else {
      works.push(work);
      histories.push(field);
    }
  }
  if (works.length > MOST_FIELDS) return { why: "fields", fields: works.length, most: MOST_FIELDS };
  const rain = new RainOfBook(book);
  const entries = works.map((work, i) => entryDays(histories[i]!, work, days, rain, figures));
  const { crew, sharedKit } = crewWithKit(question.crew, book);
  const samples = unsentSamples(book);
  const home = question.home ?? middleOf(works);
  const workDays = days.map((day) => workDay(day, figures, book.season.timezone, home));
  const ways = waysOf(works, home, question.lab, figures, false);
  const errand = waysOf(works, home, question.lab, figures, true);
  const shifts = days.flatMap((day, index) =>
    crew.map((one, member): Shift => {
      const earlier = earlierThatDay(one, day, book);
      const { begins, ends } = workDays[index]!;
      const isErrand = index === 0 && member === 0 && samples.length > 0;
      return {
        walker: one.id,
        day: index,
        begins: Math.max(begins, earlier.ended),
        ends,
        leastRank: earlier.rank,
        ...(isErrand ? errand : ways),
      };
    }),
  );
  const problem: WalkProblem = {
    tasks: works.map((work, i): WalkTask => ({
      field: work.field,
      rank: work.rank,
      minutes: work.minutes.all,
      closesInPlan: work.window.closes <= last,
      openFrom: entries[i]!.map(({ openFrom }) => openFrom),
    })),
    shifts,
    between: works.map((from) => works.map((to) => legBetween(from.position, to.position, figures))),
  };
  return {
    figures,
    crew,
    home,
    sharedKit,
    problem,
    works,
    entries,
    workDays,
    samples,
    without,
    knowsRain: rain.isRecorded,
  };
}

/** The ways out and back of one walker's day. */
function waysOf(
  works: readonly FieldWork[],
  home: LonLat | undefined,
  lab: LonLat | undefined,
  figures: PlanFigures,
  isErrand: boolean,
): Pick<Shift, "out" | "back" | "idle"> {
  const out = works.map(({ position }) => (home ? legBetween(home, position, figures) : NO_WAY));
  if (!isErrand) return { out, back: out, idle: NO_WAY };
  const stop = figures.lab_stop_minutes;
  const labHome = lab && home ? legBetween(lab, home, figures) : NO_WAY;
  const toLab = ({ position }: FieldWork): Leg => (lab ? legBetween(position, lab, figures) : NO_WAY);
  return {
    out,
    back: works.map((work, i) => (lab ? joined(toLab(work), labHome, stop) : joined(out[i]!, NO_WAY, stop))),
    idle: joined(labHome, labHome, stop),
  };
}

function crewWithKit(ids: readonly string[], book: Book): Pick<SeasonPlan, "crew" | "sharedKit"> {
  const taken = new Map<string, Walker>();
  const sharedKit: SeasonPlan["sharedKit"][number][] = [];
  const crew = ids.map((id) => {
    const one = walker(id, book);
    for (const carrier of one.kit) {
      const first = taken.get(carrier);
      if (first) sharedKit.push({ carrier, walkers: [first, one] });
      else taken.set(carrier, one);
    }
    return { ...one, kit: one.kit.filter((carrier) => taken.get(carrier) === one) };
  });
  return { crew, sharedKit };
}

/** The median each way, so that one field whose place was mistyped does not carry the start off. */
function middleOf(works: readonly FieldWork[]): LonLat | undefined {
  const places = works.flatMap(({ position }) => (position ? [position] : []));
  if (places.length === 0) return undefined;
  return [median(places.map(([longitude]) => longitude)), median(places.map(([, latitude]) => latitude))];
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const upper = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[upper]! : (sorted[upper - 1]! + sorted[upper]!) / 2;
}
