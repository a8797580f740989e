import { parseDay } from "../base/days.ts";
import type { Span } from "../base/text.ts";
import { listed } from "../base/words.ts";
import type { FileProblem, RecordFile } from "./record-file.ts";

/** One day of a weather file: the day since 1970-01-01, temperatures in °C, rain in mm. */
export interface WeatherDay {
  readonly day: number;
  readonly minimum: number;
  readonly maximum: number;
  readonly rain: number | undefined;
}

const REQUIRED_COLUMNS = ["date", "tmin_c", "tmax_c"] as const;
const KNOWN_COLUMNS: readonly string[] = [...REQUIRED_COLUMNS, "rain_mm"];
const NUMBER = /^[-+]?\d+(?:\.\d+)?$/;
/** Nowhere on earth was it ever colder or hotter than this; what lies outside is a slip of the pen. */
const COLDEST_C = -90;
const HOTTEST_C = 60;
const MOST_PROBLEMS = 20;

/** Reads `date,tmin_c,tmax_c[,rain_mm]`. Rows that cannot be read are told and left out; the others count. */
export function readWeatherFile(path: string, text: string): RecordFile {
  const { problems } = readWeather(text);
  return {
    path,
    kind: "weather",
    text,
    entries: [],
    problems,
    accepts: [],
    isSliced: false,
    itemIndent: 0,
    readsBroken: true,
    format: undefined,
  };
}

const daysRead = new WeakMap<RecordFile, readonly WeatherDay[]>();

/** The days of a weather file in order of time, read once for as long as the file is held; none of a file of another kind. */
export function weatherDaysOf(file: RecordFile): readonly WeatherDay[] {
  let days = daysRead.get(file);
  if (!days) daysRead.set(file, (days = file.kind === "weather" ? readWeather(file.text).days : []));
  return days;
}

/** The days of a weather file that lie after one: how many, and where the first of them stands in the file; none if there are none. */
export function weatherDaysAfter(
  file: RecordFile,
  day: number,
): { readonly count: number; readonly date: string; readonly span: Span } | undefined {
  const count = weatherDaysOf(file).filter((one) => one.day > day).length;
  if (count === 0) return undefined;
  const [header, ...rows] = linesOf(file.text);
  const column = header!.cells.findIndex((cell) => cell.text.toLowerCase() === "date");
  for (const { cells } of rows) {
    const cell = cells[column];
    if (cell && (parseDay(cell.text) ?? day) > day) return { count, date: cell.text, span: cell.span };
  }
  return undefined;
}

export function readWeather(text: string): { days: readonly WeatherDay[]; problems: readonly FileProblem[] } {
  const problems: FileProblem[] = [];
  const days: WeatherDay[] = [];
  const report = (span: Span, message: string, code: FileProblem["code"] = "structure/syntax"): void => {
    if (problems.length < MOST_PROBLEMS) problems.push({ code, span, message });
  };
  const lines = linesOf(text);
  const header = lines.shift();
  if (!header || header.cells.every((cell) => cell.text === "")) return { days, problems };
  const columns = header.cells.map((cell) => cell.text.toLowerCase());
  const missing = REQUIRED_COLUMNS.filter((name) => !columns.includes(name));
  if (missing.length > 0) {
    report(
      header.span,
      `the first line of a weather file names its columns: date,tmin_c,tmax_c and, if wanted, rain_mm; ${listed(missing)} ${missing.length === 1 ? "is" : "are"} missing`,
    );
    return { days, problems };
  }
  header.cells.forEach((cell, i) => {
    if (!KNOWN_COLUMNS.includes(columns[i]!) && !columns[i]!.startsWith("x-")) {
      report(
        cell.span,
        `"${cell.text}" is not a column of a weather file (date, tmin_c, tmax_c, rain_mm); start its name with x- to keep it`,
        "structure/unknown-key",
      );
    }
  });
  const seen = new Set<number>();
  for (const { cells, span } of lines) {
    if (cells.length === 1 && cells[0]!.text === "") continue;
    if (cells.length !== columns.length) {
      report(span, `this line has ${cells.length} values where the first line names ${columns.length}`);
      continue;
    }
    const cellOf = (name: string): Cell | undefined => cells[columns.indexOf(name)];
    const date = cellOf("date")!;
    const day = parseDay(date.text);
    if (day === undefined) {
      report(date.span, `"${date.text}" is not a day of the calendar; write it as YYYY-MM-DD`);
      continue;
    }
    if (seen.has(day)) {
      report(date.span, `${date.text} stands twice in this file; the first line is used`);
      continue;
    }
    const figures = ["tmin_c", "tmax_c", "rain_mm"].map((name) => cellOf(name));
    // A station that was down leaves a gap: the day counts as not recorded.
    if (figures[0]!.text === "" || figures[1]!.text === "") continue;
    const broken = figures.find((cell) => cell && cell.text !== "" && !NUMBER.test(cell.text));
    if (broken) {
      report(
        broken.span,
        `"${broken.text}" is not a number; write degrees Celsius and millimetres with a decimal point`,
      );
      continue;
    }
    const minimum = Number(figures[0]!.text);
    const maximum = Number(figures[1]!.text);
    const rain = figures[2] && figures[2].text !== "" ? Number(figures[2].text) : undefined;
    if (minimum < COLDEST_C || maximum > HOTTEST_C) {
      report(
        figures[minimum < COLDEST_C ? 0 : 1]!.span,
        `no place on earth is that cold or hot; temperatures are in degrees Celsius`,
        "structure/schema",
      );
      continue;
    }
    if (minimum > maximum) {
      report(
        figures[0]!.span,
        `the day's lowest temperature (${minimum} °C) is above its highest (${maximum} °C)`,
        "structure/schema",
      );
      continue;
    }
    seen.add(day);
    days.push({ day, minimum, maximum, rain });
  }
  days.sort((a, b) => a.day - b.day);
  return { days, problems };
}

interface Cell {
  readonly text: string;
  readonly span: Span;
}

interface Line {
  readonly cells: readonly Cell[];
  readonly span: Span;
}

/** Plain comma-separated lines; quotes around a value are allowed, commas inside them are not needed by this format. */
function linesOf(text: string): Line[] {
  const lines: Line[] = [];
  let start = text.startsWith("\uFEFF") ? 1 : 0;
  while (start < text.length) {
    let end = start;
    while (end < text.length && text[end] !== "\n" && text[end] !== "\r") end++;
    lines.push({ cells: cellsOf(text, start, end), span: { start, end } });
    start = text[end] === "\r" && text[end + 1] === "\n" ? end + 2 : end + 1;
  }
  return lines;
}

function cellsOf(text: string, start: number, end: number): Cell[] {
  const cells: Cell[] = [];
  let from = start;
  for (let at = start; at <= end; at++) {
    if (at < end && text[at] !== ",") continue;
    const raw = text.slice(from, at);
    const trimmed = raw.trim();
    const lead = raw.length - raw.trimStart().length;
    const unquoted =
      trimmed.length >= 2 && trimmed.startsWith('"') && trimmed.endsWith('"') ? trimmed.slice(1, -1) : trimmed;
    cells.push({ text: unquoted, span: { start: from + lead, end: from + lead + trimmed.length } });
    from = at + 1;
  }
  return cells;
}
