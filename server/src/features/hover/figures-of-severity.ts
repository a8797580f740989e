import type { Interval } from "../../agronomy/interval.ts";
import { severityFormula, yieldLossFormula } from "../../agronomy/severity-formula.ts";
import { severity, severityByPlace, severityIntervals, type Severity } from "../../agronomy/severity.ts";
import { figure, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { samplingGoal } from "../../book/sampling-goal.ts";
import { yieldAtStake } from "../../book/yield-loss.ts";
import type { DigRecord } from "../../schema/facts.ts";
import type { Figure } from "./figure.ts";

type Ratings = readonly number[];

/** DSI and incidence of one dig, with exact intervals at the book's confidence, and the yield at stake. */
export function severityFigure({ ratings, plants }: DigRecord, book: Book): Figure | undefined {
  const found = ratings && severity(ratings);
  if (!ratings || !found?.ok) return undefined;
  const other =
    plants === undefined || plants === found.value.plants
      ? []
      : [`The ratings are of ${plural(found.value.plants, "plant")}, where ${plants} were dug.`];
  return figureOf(severityInWords(found.value, ratings, book), found.value, ratings, [], other, book);
}

/** The same over all digs of a visit, and place by place. */
export function digsFigure(digs: readonly DigRecord[], book: Book): Figure | undefined {
  const rated = digs.flatMap(({ place = "place not recorded", ratings }) => (ratings ? [{ place, ratings }] : []));
  const found = severityByPlace(rated);
  if (!found.ok) return undefined;
  const { pooled, places } = found.value;
  const apart = places.map(
    (one) => `${one.place}: ${plural(one.plants, "plant")}, ${severityInWords(one, one.ratings, book)}`,
  );
  const sickPlaces = pooled.infected > 0 && places.some(({ place }) => place === "patch");
  const caution = sickPlaces
    ? ["Patches are dug because they look sick: with them, all plants together are worse than the field's mean."]
    : [];
  const says = `All ${plural(pooled.plants, "plant")}: ${severityInWords(pooled, pooled.ratings, book)}`;
  return figureOf(says, pooled, pooled.ratings, apart, caution, book);
}

function figureOf(
  says: string,
  found: Severity,
  ratings: Ratings,
  before: readonly string[],
  after: readonly string[],
  book: Book,
): Figure {
  const formulas = [severityFormula(ratings, found)];
  const sources = book.region.sources ?? {};
  const loss =
    found.infected === 0
      ? undefined
      : yieldAtStake(found, book.region.severity, (path) => (Object.hasOwn(sources, path) ? sources[path] : undefined));
  const notes = [...before];
  if (loss) {
    formulas.push(yieldLossFormula(found, loss));
    const [low, high] = [figure(loss.lowPercent, 1), figure(loss.highPercent, 1)];
    notes.push(`Yield at stake where plants are like these: ${low} to ${high} %, over what the region's sources found`);
  }
  const confidence = samplingGoal(book)?.confidence;
  if (confidence !== undefined) {
    notes.push(
      `In brackets: exact intervals at ${figure(confidence * 100, 1)} % (Clopper & Pearson 1934, from memory); ` +
        "the DSI's is the mean of those of its classes, each widened so that together they hold (Bonferroni).",
    );
  }
  return {
    says,
    formulas: formulas.map(({ formula }) => formula),
    notes: [...notes, ...after],
    sources: formulas.flatMap((one) => one.sources),
  };
}

/** `DSI 11.3 % (6.1 to 18.9 %), incidence 20 % (12.7 to 29.2 %)` */
function severityInWords({ dsiPercent, incidencePercent }: Severity, ratings: Ratings, book: Book): string {
  const goal = samplingGoal(book);
  const intervals = goal && severityIntervals(ratings, goal.confidence);
  const between = (interval: Interval | undefined): string =>
    interval ? ` (${figure(interval.lower, 1)} to ${figure(interval.upper, 1)} %)` : "";
  const { dsi, incidence } = intervals?.ok ? intervals.value : {};
  return (
    `DSI ${figure(dsiPercent, 1)} %${between(dsi?.clopperPearson)}, ` +
    `incidence ${figure(incidencePercent, 1)} %${between(incidence?.clopperPearson)}`
  );
}
