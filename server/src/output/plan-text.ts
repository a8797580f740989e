import { mixingCautions } from "../agronomy/mixing.ts";
import { formatDay, MINUTES_PER_DAY } from "../base/days.ts";
import { dayInWords, figure, listed, plural, timeOfDay } from "../base/words.ts";
import type { Book } from "../book/book.ts";
import { lastStayNotCleaned } from "../book/carrier-history.ts";
import { whyLeftOut } from "../planning/left-out.ts";
import type { PlannedDay, PlannedField, SeasonPlan } from "../planning/season-plan.ts";
import type { Colours } from "./colours.ts";
import { qualityInWords } from "./plan-quality.ts";
import {
  carryInWords,
  dugSoFarInWords,
  entranceName,
  kilometres,
  mixInWords,
  placeInWords,
  standingInWords,
  stopLineInWords,
  stopLines,
  toCarry,
  weekdayInWords,
} from "./plan-words.ts";
import { printable } from "./printable.ts";

/** The plan as lists to take along, a day and a walker each, then what is left out and why, and what to mind. */
export function planText(plan: SeasonPlan, book: Book, colours: Colours): string {
  const blocks = [
    headText(plan, book, colours),
    ...plan.days.map((day) => dayText(day, plan, book, colours)),
    leftOutText(plan, book, colours),
    // Where no field may be walked there was nothing to choose.
    isWalking(plan) ? colours.faint(qualityInWords(plan).join("\n")) : "",
    mindText(plan, book, colours),
  ];
  return `${blocks.filter((block) => block !== "").join("\n\n")}\n`;
}

function isWalking({ days }: SeasonPlan): boolean {
  return days.some(({ fields }) => fields.length > 0);
}

function headText({ question, days, crew, leftOut, done }: SeasonPlan, book: Book, colours: Colours): string {
  const year = book.seasonYear;
  const last = question.from + question.days - 1;
  const when =
    question.days === 1
      ? weekdayInWords(question.from, year)
      : `${weekdayInWords(question.from, year)} to ${weekdayInWords(last, year)}`;
  const walked = days.reduce((sum, { fields }) => sum + fields.length, 0);
  const missed = leftOut.filter(({ isMissed }) => isMissed).length;
  const who = crew.length === 0 ? "nobody" : listed(crew.map(({ name }) => printable(name)));
  const parts = [
    `${plural(walked, "field")} to walk`,
    missed > 0 ? `${plural(missed, "window")} missed` : "no window missed",
    leftOut.length > missed ? `${leftOut.length - missed}${missed > 0 ? " more" : ""} left out` : "",
    done.length > 0 ? `${done.length} done already` : "",
  ].filter((part) => part !== "");
  return `${colours.strong(`Plan for ${when}, for ${who}`)}: ${parts.join(", ")}. Made on the records as of ${formatDay(book.asOf)}.`;
}

function dayText(day: PlannedDay, plan: SeasonPlan, book: Book, colours: Colours): string {
  const { walker, fields, home, ended, samples, metres, begins } = day;
  const drive = metres > 0 ? `, ${kilometres(metres)} of driving` : "";
  const rows = [
    colours.strong(`${weekdayInWords(day.day, book.seasonYear)}, ${printable(walker.name)}`) +
      `: ${timeOfDay(begins)} to ${timeOfDay(ended)}${drive}`,
  ];
  if (fields.length > 0) {
    const { covers_per_visit: covers, root_bags_per_field: bags } = plan.figures;
    rows.push(row("take", `${carryInWords(toCarry(day, covers, bags), day)}.`));
  }
  fields.forEach((field, i) => rows.push(...fieldRows(field, i, day, book, colours)));
  if (samples.length > 0) rows.push(row("lab", `${samplesInWords(day, book)}.`));
  if (plan.question.home && home.metres > 0)
    rows.push(row(timeOfDay(ended), `back at the start, after ${kilometres(home.metres)}.`));
  return rows.join("\n");
}

function row(lead: string, text: string): string {
  return `  ${lead.padEnd(6)} ${printable(text)}`;
}

function fieldRows(
  { work, by, arrived, walked, left, waitedForReEntry }: PlannedField,
  index: number,
  { walker, cleanDown }: PlannedDay,
  book: Book,
  colours: Colours,
): string[] {
  const year = book.seasonYear;
  const name = colours.strong(printable(work.name));
  const drive = by.metres > 0 ? ` after ${kilometres(by.metres)}` : "";
  const dug = work.plantsDug > 0 ? `, ${dugSoFarInWords(work)}` : "";
  const level = work.standing === "clean" ? undefined : work.standing === "confirmed" ? "error" : "warning";
  const standing = level ? colours.level(level, standingInWords(work)) : standingInWords(work);
  const rows = [
    `  ${timeOfDay(arrived).padEnd(6)} ${index + 1}. ${name} (${standing}), by ${printable(entranceName(work))}${drive}; ` +
      `dig ${plural(work.plants, "plant")}${dug}; window closes ${dayInWords(work.window.closes, year)}`,
  ];
  if (waitedForReEntry)
    rows.push(
      row("", "   not before: it was sprayed; the product's label decides who may go in, and with what protection"),
    );
  for (const line of stopLines(work, book)) rows.push(row("", `   ${stopLineInWords(line)}`));
  const what = walker.kit.length > 0 ? `${listed(walker.kit)} and boots` : "the tools and boots";
  const wet = `${plural(cleanDown.contactMinutes, "minute")} wet`;
  const how =
    index === 0
      ? `: soil off, wash with ${figure(cleanDown.rinseWaterL)} L of water, then ${mixInWords(cleanDown)}, ${wet}`
      : ` in the same way, ${wet}`;
  rows.push(row(timeOfDay(walked), `   clean down ${what} at the gate${how}; leave at ${timeOfDay(left)}`));
  return rows;
}

function samplesInWords({ samples }: PlannedDay, book: Book): string {
  const byLab = new Map<string, string[]>();
  for (const { id, field, lab } of samples) {
    const name = book.season.labs?.find((one) => one.id === lab)?.name ?? lab ?? "a lab";
    byLab.set(name, [...(byLab.get(name) ?? []), `${id} of ${book.fieldName(field)}`]);
  }
  const parts = [...byLab].map(([lab, ids]) => `${listed(ids)} to ${lab}`);
  return `hand in ${parts.join("; ")}, taken and not sent yet`;
}

function leftOutText({ leftOut, question }: SeasonPlan, book: Book, colours: Colours): string {
  if (leftOut.length === 0) return "";
  const width = Math.max(...leftOut.map(({ name }) => printable(name).length));
  const rows = leftOut.map((field) => {
    const mark = field.isMissed ? colours.level("error", "X") : "-";
    return `  ${mark} ${printable(field.name).padEnd(width)}  ${printable(whyLeftOut(field, question, book.seasonYear))}.`;
  });
  const missed = leftOut.some(({ isMissed }) => isMissed) ? " (X: its window is missed)" : "";
  return [`${colours.strong("Left out")}${missed}:`, ...rows].join("\n");
}

function mindText(plan: SeasonPlan, book: Book, colours: Colours): string {
  const { figures, question, home, knowsRain, sharedKit, crew, days, wetDays } = plan;
  if (!isWalking(plan)) return "";
  const notes = [
    "Fresh covers at every gate; park on the road; used covers are sealed in a bag at the gate.",
    "Walk the fields in this order: clean before doubtful before confirmed.",
    "Look whether a field was sprayed: the product's label decides who may go in, when, and with what protection.",
    ...mixingCautions(book.region.cleaning?.mix_keeps_hours).map(({ text }) => text),
  ];
  if (!question.home)
    notes.push(
      home
        ? `No start was given (--home LATITUDE,LONGITUDE), so the middle of the fields, ${placeInWords(home)}, is taken for it.`
        : "No start was given and no field has a place, so only the region's figure for unknown drives is counted.",
    );
  if (days.some(({ sunrise, sunset }) => sunrise === undefined || sunset === undefined)) {
    const why = book.season.timezone
      ? "The sun's times are not known for this place and the timezone of season.yaml"
      : "season.yaml names no timezone";
    notes.push(`${why}, so daylight was not looked at, only the region's hours.`);
  }
  notes.push(
    knowsRain
      ? `Rain is known up to ${dayInWords(book.asOf, book.seasonYear)}; later days are taken to be dry: look at the ground before you go in.`
      : "No rain is recorded, so no field was left out for being wet: look at the ground before you go in.",
  );
  if (wetDays.length > 0)
    notes.push(
      `The rain recorded makes fields too wet to walk on ${listed(wetDays.map((day) => dayInWords(day, book.seasonYear)))}.`,
    );
  notes.push(...kitNotCleaned(plan, book));
  for (const { carrier, walkers } of sharedKit)
    notes.push(
      `${carrier} was last with ${walkers[1].name} too; in this plan ${walkers[0].name} has it, and ${walkers[1].name} takes other tools.`,
    );
  const idle = crew.filter(({ id }) => !days.some(({ walker, fields }) => walker.id === id && fields.length > 0));
  if (idle.length > 0 && idle.length < crew.length)
    notes.push(
      `${listed(idle.map(({ name }) => name))} ${idle.length === 1 ? "has" : "have"} no field in this plan: sharing them out would walk no more fields, and drive no less.`,
    );
  if (crew.length > 1) notes.push("Each walks alone; tell one another where you are.");
  notes.push(
    `Times count ${figure(figures.plants_per_hour)} plants an hour, ${figure(figures.walking_km_per_hour)} km/h on foot and ${figure(figures.drive_km_per_hour)} km/h by road; these and the other figures stand under plan in the region pack, where you can set your own.`,
  );
  return [colours.strong("Mind:"), ...notes.map((note) => `  - ${printable(note)}`)].join("\n");
}

/** What is taken along, and was on a field since its last full clean-down. */
function kitNotCleaned({ crew, days }: SeasonPlan, book: Book): string[] {
  const walking = crew.filter(({ id }) => days.some(({ walker, fields }) => walker.id === id && fields.length > 0));
  return walking.flatMap(({ kit }) =>
    kit.flatMap((carrier) => {
      const stay = lastStayNotCleaned(book.carrierHistory(carrier));
      if (!stay) return [];
      const since = `${book.fieldName(stay.field)} on ${dayInWords(Math.floor(stay.left / MINUTES_PER_DAY), book.seasonYear)}`;
      return [
        `No full clean-down of ${carrier} is on record since ${since}: clean it down before it goes onto the first field.`,
      ];
    }),
  );
}
