import { dayInWords, durationInWords, listed } from "../base/words.ts";
import type { EntryDay } from "./entry-days.ts";
import type { FieldWork } from "./field-work.ts";
import type { PlanQuestion } from "./plan-question.ts";
import { walkRoute, type WalkProblem } from "./walk-problem.ts";

/** Why a field is not walked in the plan. */
export type LeftOutReason =
  | "no window"
  | "no plants"
  | "later"
  | "closed"
  | "wet"
  | "re-entry"
  | "too long for a day"
  | "too far"
  | "walked risky fields that day"
  | "no time left";

export interface LeftOutField {
  readonly field: string;
  readonly name: string;
  readonly why: LeftOutReason;
  readonly work?: FieldWork | undefined;
  /** Why there is no window, in the middle of a sentence. */
  readonly noWindow?: string | undefined;
  /** Its window closes within the plan's days. */
  readonly isMissed: boolean;
}

/** Of a field that the solver left out: what keeps even an empty day from taking it, else that the days are full. */
export function leftOutField(
  problem: WalkProblem,
  task: number,
  work: FieldWork,
  entries: readonly EntryDay[],
): LeftOutField {
  const { field, name } = work;
  const isMissed = problem.tasks[task]!.closesInPlan;
  return { field, name, work, isMissed, why: reasonFor(problem, task, entries) };
}

function reasonFor(problem: WalkProblem, task: number, entries: readonly EntryDay[]): LeftOutReason {
  const { rank, openFrom } = problem.tasks[task]!;
  const fits = problem.shifts.some((shift) => walkRoute(problem, shift, [task]) !== undefined);
  if (fits) return "no time left";
  const inWindow = entries.filter(({ why }) => why !== "window");
  if (inWindow.every(({ openFrom: open }) => open === Infinity))
    return inWindow.some(({ why }) => why === "wet") ? "wet" : "re-entry";
  const open = problem.shifts.filter((shift) => openFrom[shift.day]! < Infinity);
  if (open.every(({ leastRank }) => leastRank > rank)) return "walked risky fields that day";
  const free = problem.shifts.some((shift) =>
    walkRoute(
      { ...problem, tasks: problem.tasks.map((one) => ({ ...one, openFrom: one.openFrom.map(() => 0) })) },
      { ...shift, leastRank: 0 },
      [task],
    ),
  );
  if (free) return "re-entry";
  const isShort = problem.shifts.some(({ begins, ends }) => begins + problem.tasks[task]!.minutes <= ends);
  return isShort ? "too far" : "too long for a day";
}

/** One sentence without its full stop: why, and what to do about it. */
export function whyLeftOut(
  { why, work, noWindow }: LeftOutField,
  asked: PlanQuestion,
  year: number | undefined,
): string {
  const day = (at: number): string => dayInWords(at, year);
  const closes = work ? `its window closes on ${day(work.window.closes)}` : "";
  switch (why) {
    case "no window":
      return `${noWindow ?? "there is no scouting window"}, so it is not known when to walk it; record its days, or set the figures in a region pack of your own`;
    case "no plants":
      return "neither the book nor its region says how many plants to dig";
    case "later":
      return `its window opens on ${day(work!.window.opens)}, after these days`;
    case "closed":
      return `its window closed on ${day(work!.window.closes)}; ${work!.window.seeded === undefined ? "look at roots still in the stubble" : "dig while the crop still stands"}, or have a soil sample tested`;
    case "wet":
      return `too wet by the rain recorded; ${closes}: go when it carries, and plan again with the days after`;
    case "re-entry":
      return `it was sprayed, and the label's interval still runs; ${closes}`;
    case "too long for a day":
      return `it takes ${durationInWords(work!.minutes.all)} with its clean-down, more than these days have; split it between two people, or over two days; ${closes}`;
    case "too far":
      return `the drive there and back leaves too little of a day for the ${durationInWords(work!.minutes.all)} it takes; look whether its place and the start are right, or start nearer to it; ${closes}`;
    case "walked risky fields that day":
      return `everyone has been on a riskier field on ${listed([day(asked.from)])}, and clean fields go first; ${closes}`;
    case "no time left":
      return `the days are full; ${closes}: add a day or a person`;
  }
}
