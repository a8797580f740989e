import { formatDay } from "../../base/days.ts";
import { capitalised, figure, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { freeInWords } from "../../book/freedom-words.ts";
import type { ReadOutline } from "../../book/outlines.ts";
import { htmlPage } from "../html-page.ts";
import { element, type Child, type Markup } from "../markup.ts";
import { seasonCalendar } from "../picture/calendar.ts";
import type { PictureOptions } from "../picture/map-facts.ts";
import { seasonMap } from "../picture/season-map.ts";
import { carrierSeason, type CarrierSeason } from "../season/season-calendar-facts.ts";
import { seasonFacts, type SeasonFacts, type SeasonField } from "../season/season-facts.ts";
import { seasonMapFacts } from "../season/season-map-facts.ts";
import { digsTable, visitsTable, fieldsTable, movesTable, PLAIN, tableMarkup } from "../season/season-tables.ts";
import { ofGrower } from "../season/viewpoint.ts";
import { cautionsOf, methodNotes } from "./method.ts";
import { REPORT_STYLE } from "./report-style.ts";
import { breakSentences, rotationTable, samplesTable } from "./samples-and-rotation.ts";
import { summarySentences } from "./summary-paragraph.ts";

/** What the report needs to know beside the book. */
export interface GrowerReportOptions {
  readonly book: Book;
  /** The id of a grower of the book. */
  readonly grower: string;
  readonly outlines: ReadonlyMap<string, ReadOutline>;
}

const MAP: PictureOptions = { width: 900, prefix: "map", interactive: false };
const CALENDAR: PictureOptions = { width: 900, prefix: "calendar", interactive: false };

/** One grower's season as a page to be sent and printed. Others' fields are in it without a name. */
export function growerReport({ book, grower, outlines }: GrowerReportOptions): string {
  const facts = seasonFacts(ofGrower(book, grower), outlines);
  const carriers = carrierSeason(facts);
  const name = book.season.growers?.find(({ id }) => id === grower)?.name ?? grower;
  const season = facts.season === undefined ? "Season" : `Season ${facts.season}`;
  const title = `${season}: ${name}`;
  return htmlPage(
    title,
    REPORT_STYLE,
    element(
      "header",
      {},
      element("h1", {}, title),
      element("p", { class: "made" }, `Clubroot scouting report, from the records as of ${formatDay(book.asOf)}.`),
    ),
    element(
      "main",
      {},
      section(
        "The season in brief",
        element("p", { class: "lead" }, summarySentences(facts, carriers, name).join(" ")),
      ),
      facts.fields.length > 0 && sections(facts, carriers),
      section("Method and sources", methodList(book)),
      element(
        "section",
        { class: "cautions" },
        element("h2", {}, "Cautions"),
        element(
          "ul",
          {},
          cautionsOf(book).map((caution) => element("li", {}, caution)),
        ),
      ),
    ),
  );
}

function sections(facts: SeasonFacts, carriers: CarrierSeason): Child[] {
  return [
    section("Fields by status", tableMarkup(fieldsTable(facts, PLAIN))),
    section("What to do next, and why", toDoList(facts.fields)),
    section("Map", mapFigure(facts), movesPart(facts), outlineTroubles(facts)),
    section("What each dig shows", digsPart(facts)),
    section("Samples and results", samplesPart(facts)),
    section(
      "Rotation and breaks",
      tableMarkup(rotationTable(facts)),
      breakSentences(facts).map((sentence) => element("p", {}, sentence)),
    ),
    section("Visits and clean-downs", calendarFigure(carriers), visitsPart(carriers)),
  ];
}

function section(head: string, ...children: readonly Child[]): Markup {
  return element("section", {}, element("h2", {}, head), children);
}

function mapFigure(facts: SeasonFacts): Markup {
  const drawn = seasonMap(seasonMapFacts(facts), MAP);
  if (!drawn) return element("p", {}, "No outline and no entrance of these fields is recorded, so there is no map.");
  const others = facts.moves.some(
    ({ carriage }) => !facts.view.isShown(carriage.from) || !facts.view.isShown(carriage.to),
  );
  return element(
    "figure",
    {},
    drawn,
    element(
      "figcaption",
      {},
      "The fields as recorded, with where roots were dug. Arrows show ways that infested soil may have taken; their numbers are those of the table below.",
      others && " An arrow from or to a neighbouring field says nothing of where that field lies.",
    ),
  );
}

function movesPart(facts: SeasonFacts): Markup {
  return facts.moves.length === 0
    ? element(
        "p",
        {},
        "No way is known by which soil of an infested field may have come to these fields or gone from them.",
      )
    : tableMarkup(movesTable(facts, PLAIN));
}

function outlineTroubles({ fields }: SeasonFacts): Child[] {
  return fields.flatMap(({ name, outlineTrouble }) =>
    outlineTrouble === undefined ? [] : [element("p", { class: "note" }, `${name}: ${outlineTrouble}.`)],
  );
}

function digsPart(facts: SeasonFacts): Child[] {
  const together = facts.fields.flatMap(({ name, risk }) => {
    if (risk.plantsDug === 0) return [];
    const shows =
      risk.incidencePercent && risk.dsiPercent !== undefined
        ? `${figure(risk.incidencePercent, 1)} % of the plants rated had galls`
        : risk.detectableIncidence === undefined
          ? "what they show is not known"
          : `clubroot in ${figure(risk.detectableIncidence * 100, 1)} % of the plants or more would have shown`;
    const wanted = risk.plantsWanted !== undefined && risk.plantsDug < risk.plantsWanted;
    const free = risk.probabilityFree === undefined ? "" : `; ${freeInWords(risk.probabilityFree)}`;
    return [
      element(
        "li",
        {},
        `${name}: ${plural(risk.plantsDug, "plant")} in all${wanted ? `, ${risk.plantsWanted} were wanted` : ""}; ${shows}${free}.`,
      ),
    ];
  });
  if (facts.digs.length === 0) return [element("p", {}, "No roots were dug this season.")];
  return [
    together.length > 0 && element("ul", {}, together),
    tableMarkup(digsTable(facts, PLAIN)),
    element(
      "p",
      { class: "note" },
      "Galled plants stand close together, so the plants of one dig tell most of the place where it was made. “Free with” is decision support, not proof.",
    ),
  ];
}

function samplesPart(facts: SeasonFacts): Markup {
  const table = samplesTable(facts);
  return table.rows.length === 0 ? element("p", {}, "No samples are recorded.") : tableMarkup(table);
}

function calendarFigure({ calendar }: CarrierSeason): Markup {
  const drawn = seasonCalendar(calendar, CALENDAR);
  if (!drawn) return element("p", {}, "No visits to these fields are recorded this season.");
  const caption =
    "Where each carrier was, above its line, and how it was cleaned, below it. Boots under disposable covers carry nothing and have no line.";
  return element("figure", {}, drawn, element("figcaption", {}, caption));
}

function visitsPart({ visits }: CarrierSeason): Markup | undefined {
  return visits.length === 0 ? undefined : tableMarkup(visitsTable(visits, PLAIN), "visits");
}

function toDoList(fields: readonly SeasonField[]): Child[] {
  const busy = fields.filter(({ steps }) => steps.length > 0);
  const idle = fields.filter(({ steps }) => steps.length === 0).map(({ name }) => name);
  return [
    ...busy.flatMap(({ name, steps }) => [
      element("h3", {}, name),
      element(
        "ul",
        { class: "to-do" },
        steps.map(({ what, why }) => element("li", {}, element("strong", {}, capitalised(what)), `: ${why}.`)),
      ),
    ]),
    idle.length > 0 &&
      element(
        "p",
        {},
        `Nothing beyond the usual care: ${idle.join(", ")}. Clean covers and tools, the clean fields first.`,
      ),
  ];
}

function methodList(book: Book): Markup {
  return element(
    "dl",
    {},
    methodNotes(book).flatMap(({ what, how, sources }) => [
      element("dt", {}, what),
      element("dd", {}, how),
      sources.map((source) => element("dd", { class: "note" }, `Source: ${source}`)),
    ]),
  );
}
