import { scaleLinear } from "d3-scale";
import { civilDate, dayNumber, MINUTES_PER_DAY } from "../../base/days.ts";
import { element, short, type Markup } from "../markup.ts";
import { legend, type LegendEntry } from "./legend.ts";
import type { MarkFacts, PictureOptions } from "./map-facts.ts";
import { mark, picture, textWidth } from "./picture.ts";

/** A carrier on a field; minutes. */
export interface CalendarStay extends MarkFacts {
  readonly arrived: number;
  readonly isScouting: boolean;
  /** The field is confirmed, suspected or exposed. */
  readonly isRisky: boolean;
}

export interface CalendarCleaning extends MarkFacts {
  readonly at: number;
  readonly isFull: boolean;
}

/** From one field to another without a full clean-down in between; minutes. */
export interface CalendarGap extends MarkFacts {
  readonly left: number;
  readonly arrived: number;
  /** Something was cleaned, though not in full. */
  readonly isPartial: boolean;
}

export interface CalendarRow {
  readonly name: string;
  readonly stays: readonly CalendarStay[];
  readonly cleanings: readonly CalendarCleaning[];
  readonly gaps: readonly CalendarGap[];
}

export interface CalendarFacts {
  readonly title: string;
  readonly description: string;
  /** Days since 1970-01-01, both shown. */
  readonly first: number;
  readonly last: number;
  readonly rows: readonly CalendarRow[];
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const ROW = 38;
const TOP = 34;
const MARGIN = 12;

/** A row for each carrier: above its line where it was, below it how it was cleaned. Undefined where nothing is to be shown. */
export function seasonCalendar(facts: CalendarFacts, options: PictureOptions): Markup | undefined {
  const { rows, first, last } = facts;
  if (rows.length === 0 || last < first) return undefined;
  const names = Math.min(options.width * 0.3, Math.max(...rows.map(({ name }) => textWidth(name))) + 12);
  const left = MARGIN + names;
  const right = options.width - MARGIN - 8;
  const x = scaleLinear()
    .domain([first * MINUTES_PER_DAY, (last + 1) * MINUTES_PER_DAY])
    .range([left, right]);
  const bottom = TOP + rows.length * ROW;
  const below = legend(LEGEND, { x: MARGIN, y: bottom + 10, width: options.width - 2 * MARGIN });
  return picture(
    options,
    bottom + 10 + below.height,
    { ...facts, kind: "calendar" },
    monthLines(first, last, (minute) => x(minute), bottom),
    rows.map((row, i) => rowMarks(row, TOP + i * ROW + ROW / 2, { x: (minute) => x(minute), left, right }, options)),
    below.markup,
  );
}

/** A line on the first of each month, with its name where there is room; the first name that stands has its year. */
function monthLines(first: number, last: number, x: (minute: number) => number, bottom: number): Markup {
  const months: { readonly at: number; readonly name: string; readonly year: number }[] = [];
  const { year, month } = civilDate(first);
  for (let i = 0; i <= 36; i++) {
    const [y, m] = [year + Math.floor((month - 1 + i) / 12), ((month - 1 + i) % 12) + 1];
    const day = dayNumber(y, m, 1);
    if (day > last) break;
    months.push({ at: x(Math.max(day, first) * MINUTES_PER_DAY), name: MONTHS[m - 1]!, year: y });
  }
  // Of a month of which little is shown, the name would push out that of the next.
  const [begun, next] = months;
  const shown = begun && next && next.at - begun.at < textWidth(`${begun.name} ${begun.year}`, 12) + 8 ? 1 : 0;
  let named: number | undefined;
  let free = -Infinity;
  return element(
    "g",
    { class: "months", "aria-hidden": "true" },
    months.map(({ at, name, year: of }, i) => {
      const words = of === named ? name : `${name} ${of}`;
      const fits = i >= shown && at >= free;
      if (fits) [free, named] = [at + textWidth(words, 12) + 8, of];
      return [
        element("line", { class: "rule", x1: at, x2: at, y1: TOP - 8, y2: bottom }),
        fits && element("text", { class: "small", x: at + 3, y: TOP - 12 }, words),
      ];
    }),
  );
}

interface RowPlace {
  readonly x: (minute: number) => number;
  readonly left: number;
  readonly right: number;
}

function rowMarks(row: CalendarRow, y: number, { x, left, right }: RowPlace, options: PictureOptions): Markup {
  return element(
    "g",
    { class: "carrier" },
    element("line", { class: "row-line", x1: left, x2: right, y1: y + 4, y2: y + 4 }),
    element("text", { class: "carrier-name", x: MARGIN, y: y + 4 }, shortened(row.name, left - MARGIN)),
    row.gaps.map((gap) => {
      const [from, to] = [x(gap.left), Math.max(x(gap.arrived), x(gap.left) + 5)];
      const kind = gap.isPartial ? "gap partial" : "gap";
      const d = `M${short(from)} ${y - 7}v-6H${short(to)}v6`;
      return mark(gap, options, "gap-mark", element("path", { class: kind, d }));
    }),
    row.stays.map((stay) => {
      const at = x(stay.arrived);
      return mark(stay, options, "stay-mark", staySign(stay, at, y - 5), options.interactive && hit(at, y - 5));
    }),
    row.cleanings.map((cleaning) => {
      const at = x(cleaning.at);
      return mark(
        cleaning,
        options,
        "cleaning-mark",
        cleaningSign(cleaning.isFull, at, y + 9),
        options.interactive && hit(at, y + 9),
      );
    }),
  );
}

function hit(x: number, y: number): Markup {
  return element("rect", { class: "hit", x: x - 6, y: y - 7, width: 12, height: 14 });
}

function staySign({ isScouting, isRisky }: Pick<CalendarStay, "isScouting" | "isRisky">, x: number, y: number): Markup {
  const kind = isRisky ? "stay risky" : "stay";
  return isScouting
    ? element("circle", { class: kind, cx: x, cy: y, r: 4.5 })
    : element("rect", { class: kind, x: x - 4, y: y - 4, width: 8, height: 8 });
}

function cleaningSign(isFull: boolean, x: number, y: number): Markup {
  const shape = `M${short(x)} ${y - 5.5}l5.5 5.5l-5.5 5.5l-5.5 -5.5z`;
  return isFull
    ? element("path", { class: "cleaning full", d: shape })
    : element("path", { class: "cleaning partial", d: `${shape}M${short(x - 4)} ${y + 4}l8 -8` });
}

function shortened(name: string, width: number): string {
  const most = Math.max(4, Math.floor(width / (13 * 0.56)));
  return name.length > most ? `${name.slice(0, most - 1)}…` : name;
}

const LEGEND: readonly LegendEntry[] = [
  { words: "scouting visit", sign: (x, y) => staySign({ isScouting: true, isRisky: false }, x, y) },
  { words: "other visit", sign: (x, y) => staySign({ isScouting: false, isRisky: false }, x, y) },
  {
    words: "visit to a confirmed, suspected or exposed field",
    sign: (x, y) =>
      element(
        "g",
        {},
        staySign({ isScouting: true, isRisky: true }, x - 8, y),
        staySign({ isScouting: false, isRisky: true }, x + 8, y),
      ),
  },
  { words: "full clean-down", sign: (x, y) => cleaningSign(true, x, y) },
  { words: "clean-down that fell short", sign: (x, y) => cleaningSign(false, x, y) },
  {
    words: "to another field, no clean-down",
    sign: (x, y) => element("path", { class: "gap", d: `M${x - 16} ${y}h32` }),
  },
  {
    words: "to another field, clean-down fell short",
    sign: (x, y) => element("path", { class: "gap partial", d: `M${x - 16} ${y}h32` }),
  },
];
