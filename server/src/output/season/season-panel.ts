import { formatDay, MINUTES_PER_DAY } from "../../base/days.ts";
import { oneLine } from "../../base/safe-text.ts";
import { plural } from "../../base/words.ts";
import { RISK_STATUSES } from "../../book/field-status.ts";
import { element, joined, type Child, type Markup } from "../markup.ts";
import { seasonCalendar } from "../picture/calendar.ts";
import type { PictureOptions } from "../picture/map-facts.ts";
import { seasonMap } from "../picture/season-map.ts";
import { carrierSeason, type CarrierSeason } from "./season-calendar-facts.ts";
import { opens, type SeasonFacts } from "./season-facts.ts";
import { seasonMapFacts } from "./season-map-facts.ts";
import { digsTable, fieldsTable, movesTable, tableMarkup, visitsTable, type Opener } from "./season-tables.ts";

/** Something that happened, for the replay. */
export interface ReplayEvent {
  /** Minutes since 1970-01-01T00:00. */
  readonly at: number;
  readonly words: string;
  /** What it opens, as `data-open` has it. */
  readonly open: string | undefined;
  /** Infested soil may have gone from field to field. */
  readonly isMove: boolean;
}

/** What an editor's panel of a season shows. */
export interface SeasonPanel {
  readonly title: string;
  /** Markup without a script or a style: sections with drawings and tables, whose marks and buttons bear `data-open`. */
  readonly html: string;
  readonly replay: {
    /** Days since 1970-01-01. */
    readonly first: number;
    readonly last: number;
    readonly events: readonly ReplayEvent[];
  };
}

const MAP: PictureOptions = { width: 820, prefix: "map", interactive: true };
const CALENDAR: PictureOptions = { width: 820, prefix: "calendar", interactive: true };

export function seasonPanel(facts: SeasonFacts): SeasonPanel {
  const carriers = carrierSeason(facts);
  const title = facts.season === undefined ? "Season" : `Season ${facts.season}`;
  const html = joined(
    element("h1", {}, title),
    element("p", { class: "made" }, standing(facts)),
    section("map", "Map", mapParts(facts)),
    section("fields", "Fields", tableMarkup(fieldsTable(facts, button))),
    facts.moves.length > 0 && section("soil", "Where soil may have gone", tableMarkup(movesTable(facts, button))),
    section("calendar", "Visits and clean-downs", calendarParts(carriers)),
    facts.digs.length > 0 && section("digs", "Digs", tableMarkup(digsTable(facts, button))),
  );
  return { title: oneLine(title), html: html.toString(), replay: replayOf(facts, carriers) };
}

/** Words that open a record where it is written. */
const button: Opener = (open, words) =>
  open === undefined ? words : element("button", { type: "button", class: "open", "data-open": open }, words);

function standing({ fields, view }: SeasonFacts): string {
  const counts = RISK_STATUSES.flatMap((status) => {
    const count = fields.filter(({ risk }) => risk.status === status).length;
    return count === 0 ? [] : [`${count} ${status}`];
  });
  const all = counts.length === 0 ? "" : `: ${counts.join(", ")}`;
  return `${plural(fields.length, "field")}${all}. As of ${formatDay(view.book.asOf)}.`;
}

function section(id: string, head: string, ...children: readonly Child[]): Markup {
  return element("section", { id }, element("h2", {}, head), children);
}

const KEYS = "Click a mark, or reach it with Tab and the arrow keys and press Enter, to open its record.";

function mapParts(facts: SeasonFacts): Child {
  const drawn = seasonMap(seasonMapFacts(facts), MAP);
  if (!drawn) return element("p", {}, "No outline and no entrance of these fields is recorded, so there is no map.");
  const troubles = facts.fields.flatMap(({ id, name, outlineTrouble }) =>
    outlineTrouble === undefined
      ? []
      : [element("p", { class: "note" }, button(opens("fields", id, ["boundary"]), name), `: ${outlineTrouble}.`)],
  );
  return [element("figure", {}, drawn, element("figcaption", {}, KEYS)), troubles];
}

function calendarParts({ calendar, visits }: CarrierSeason): Child {
  const drawn = seasonCalendar(calendar, CALENDAR);
  if (!drawn) return element("p", {}, "No visits are recorded this season.");
  return [
    element("figure", {}, drawn, element("figcaption", {}, KEYS)),
    tableMarkup(visitsTable(visits, button), "visits"),
  ];
}

function replayOf(facts: SeasonFacts, { calendar }: CarrierSeason): SeasonPanel["replay"] {
  const { view } = facts;
  const events: ReplayEvent[] = [
    ...calendar.rows.flatMap(({ stays, cleanings }) => [
      ...stays.map(({ arrived, label, open }) => ({ at: arrived, words: label, open, isMove: false })),
      ...cleanings.map(({ at, label, open }) => ({ at, words: label, open, isMove: false })),
    ]),
    ...seasonMapFacts(facts).moves.map(({ from, label, open }) => ({
      at: from ?? 0,
      words: `soil ${label}`,
      open,
      isMove: true,
    })),
  ];
  events.sort((a, b) => a.at - b.at);
  const days = events.map(({ at }) => Math.floor(at / MINUTES_PER_DAY));
  const last = Math.max(view.book.asOf, days.at(-1) ?? view.book.asOf);
  return { first: Math.min(days[0] ?? view.book.asOf, last), last, events };
}
