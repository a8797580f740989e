import { formatDay } from "../../base/days.ts";
import { dayInWords, durationInWords, figure, plural, timeOfDay } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { plantsWithGalls, type FieldHistory } from "../../book/field-history.ts";
import { fieldRisk } from "../../book/field-risk.ts";
import { reasonInWords } from "../../book/field-risk-words.ts";
import type { Outline } from "../../book/outlines.ts";
import type { FieldWork, Stop } from "../../planning/field-work.ts";
import type { PlannedDay, PlannedField } from "../../planning/season-plan.ts";
import { htmlPage } from "../html-page.ts";
import { element, type Markup } from "../markup.ts";
import {
  dugSoFarInWords,
  entranceInWords,
  entranceName,
  patchInWords,
  placeInWords,
  standingInWords,
  weekdayInWords,
} from "../plan-words.ts";
import { qrCode, wellFormed } from "./qr-code.ts";
import { cautions, cleanDown, keys, section } from "./sheet-keys.ts";
import { sheetMap } from "./sheet-map.ts";
import { sheetStyle, type Paper } from "./sheet-style.ts";

export interface SheetOptions {
  readonly paper: Paper;
  readonly outline: Outline | undefined;
  /** Where the record of the visit goes, from the book's root. */
  readonly recordPath: string;
  /** What stands before that path in the code, such as `vscode://file/home/me/records/`; empty: the path alone. */
  readonly links: string;
}

/** One page for the one who walks a field: map, stops, blanks to fill in, keys, clean-down, cautions. */
export function fieldSheet(day: PlannedDay, field: PlannedField, book: Book, options: SheetOptions): string {
  const { work } = field;
  const history = book.fieldHistory(work.field);
  const map = sheetMap(work, history, options.outline, book);
  return htmlPage(
    `Field sheet: ${work.name}, ${formatDay(day.day)}`,
    sheetStyle(options.paper),
    head(day, field, history, book, options),
    element(
      "main",
      {},
      map && element("figure", {}, map),
      stops(field, book),
      lastFindings(history, book),
      toFillIn(book),
      keys(book),
      cleanDown(day, book),
      cautions(field, book),
    ),
    element(
      "footer",
      {},
      `Made from the records as of ${formatDay(book.asOf)}. A clean dig is evidence, not proof; what must be reported, and to whom, is for the authority to say.`,
    ),
  );
}

function head(day: PlannedDay, field: PlannedField, history: FieldHistory, book: Book, options: SheetOptions): Markup {
  const { work, arrived, left, waitedForReEntry } = field;
  const year = book.seasonYear;
  const grower = book.season.growers?.find(({ id }) => id === work.grower)?.name ?? work.grower;
  const why = reasonInWords(history, fieldRisk(history, book), book);
  const link = options.links === "" ? options.recordPath : options.links + encodeURI(wellFormed(options.recordPath));
  const code = qrCode(link, `QR code of the record's file: ${link}`);
  return element(
    "header",
    {},
    element(
      "div",
      {},
      element("h1", {}, work.name),
      element(
        "p",
        {},
        grower !== undefined && `${grower}. `,
        element("strong", {}, `${weekdayInWords(day.day, year)}, ${timeOfDay(arrived)} to ${timeOfDay(left)}`),
        `, ${day.walker.name}. Window ${dayInWords(work.window.opens, year)} to ${dayInWords(work.window.closes, year)}.`,
      ),
      element(
        "p",
        {},
        element("span", { class: `standing ${work.standing}` }, standingInWords(work)),
        why && ` ${why}`,
      ),
      waitedForReEntry &&
        element(
          "p",
          {},
          element("strong", {}, `Not before ${timeOfDay(arrived)}: `),
          "it was sprayed; the product's label decides who may go in, and with what protection.",
        ),
      element(
        "p",
        {},
        `Dig ${plural(work.plants, "plant")}`,
        work.plantsDug > 0 && ` (${dugSoFarInWords(work)})`,
        `; about ${durationInWords(work.minutes.all)} with the clean-down. Way in: ${entranceName(work)}`,
        work.entrance?.position && ` at ${placeInWords(work.entrance.position)}`,
        ".",
        otherEntrances(history, work.entrance?.id),
      ),
    ),
    code && element("figure", { class: "link" }, code, element("figcaption", {}, "The record: ", link)),
  );
}

function otherEntrances(history: FieldHistory, usual: string | undefined): string {
  const others = (history.record?.facts.entrances ?? []).filter(({ id }) => id !== usual);
  const names = others.map(
    ({ id, name, position }) => `${name ?? id ?? "one more"}${position ? ` at ${placeInWords(position)}` : ""}`,
  );
  return names.length > 0 ? ` Other entrances: ${names.join("; ")}.` : "";
}

const RATINGS = ["0", "1", "2", "3"];

function stops({ work }: PlannedField, book: Book): Markup {
  const headings = ["Stop", "Where", "Plants"].map((text) => element("th", { scope: "col" }, text));
  const boxes = [...RATINGS, "alike"].map((text) => element("th", { scope: "col", class: "box" }, text));
  return section(
    "Stops, in the order of the walk",
    element(
      "p",
      {},
      "Write how many plants were rated 0, 1, 2 and 3; they add up to the plants dug. Swellings that are firm and white and no galls (look-alikes) go under alike.",
    ),
    element(
      "table",
      {},
      element("thead", {}, element("tr", {}, headings, boxes)),
      element(
        "tbody",
        {},
        work.stops.map((stop) =>
          element(
            "tr",
            {},
            element("th", { scope: "row" }, String(stop.number)),
            element("td", {}, whereIs(stop, work, book)),
            element("td", {}, String(stop.plants)),
            boxes.map(() => element("td", { class: "box" })),
          ),
        ),
      ),
    ),
  );
}

function whereIs(stop: Stop, work: FieldWork, book: Book): string {
  const reach = book.region.scouting?.entrance_reach_m;
  if (stop.place === "patch") return patchInWords(stop);
  const place = stop.position ? `, ${placeInWords(stop.position)}` : "";
  if (stop.place === "entrance")
    return `${entranceInWords(stop, work)}${reach === undefined ? "" : `, within ${figure(reach)} m of it`}${place}`;
  return `along the route${place}`;
}

const MOST_VISITS = 3;

function lastFindings(history: FieldHistory, book: Book): Markup {
  const visits = history.visits.filter(({ digs, isScouting }) => isScouting && digs.length > 0).slice(-MOST_VISITS);
  const rows = visits.reverse().map((visit) => {
    const plants = visit.digs.reduce((sum, dig) => sum + (dig.plants ?? 0), 0);
    const galls = visit.digs.reduce((sum, dig) => sum + plantsWithGalls(dig), 0);
    const alike = visit.digs.reduce((sum, dig) => sum + (dig.look_alikes ?? 0), 0);
    const note = visit.record.facts.note;
    return element(
      "li",
      {},
      `${dayInWords(visit.day, book.seasonYear)}: ${plural(plants, "plant")} dug at ${plural(visit.digs.length, "place")}, ${galls === 0 ? "none" : galls} with galls${alike > 0 ? `, ${plural(alike, "look-alike")}` : ""}${note ? `. ${note}` : ""}`,
    );
  });
  const pending = history.samples.filter(({ finding }) => finding === undefined).length;
  return section(
    "Last findings",
    rows.length > 0 ? element("ul", {}, rows) : element("p", {}, "No roots have been dug here, by these records."),
    pending > 0 && element("p", {}, `${plural(pending, "sample")} without a result yet.`),
  );
}

function blank(label: string): Markup {
  return element("p", {}, element("span", {}, label), element("span", { class: "rule" }));
}

function choice(label: string, options: readonly string[]): Markup {
  const boxes = options.map((option) => [element("span", { class: "tick" }), ` ${option}`]);
  return element("p", {}, element("span", {}, `${label}:`, boxes));
}

function toFillIn(book: Book): Markup {
  const from = book.region.scouting?.stage_from;
  return element(
    "section",
    { class: "fill" },
    element("h2", {}, "Fill in"),
    element(
      "p",
      {},
      element("span", {}, "Arrived"),
      element("span", { class: "rule" }),
      element("span", {}, "left"),
      element("span", { class: "rule" }),
      element("span", {}, `stage (BBCH${from === undefined ? "" : `, from ${from} on`})`),
      element("span", { class: "rule" }),
    ),
    choice("Ground", ["dry", "moist", "wet: turn back"]),
    choice("Footwear", ["single-use covers", "disinfected", "unprotected"]),
    blank("Patches seen (what, how large, where)"),
    blank("Samples (stop, how many roots, in a paper bag, label)"),
    blank("Notes"),
    blank(""),
  );
}
