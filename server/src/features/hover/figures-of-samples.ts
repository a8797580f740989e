import { numberText } from "../../agronomy/calculated.ts";
import { yearsUntilLevelFormula } from "../../agronomy/spores-formula.ts";
import { sporeBand, sporeBands, yearsUntilLevel } from "../../agronomy/spores.ts";
import { figure } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { sporeDecline, SPORE_MODEL_PATHS, SPORE_MODELS, type SporeModel } from "../../book/spore-decline.ts";
import { regionSources, type Figure } from "./figure.ts";

/** What a count of spores per gram means: its band, what a lab finds, and how long it would last without a host. */
export function sporesFigure(sporesPerG: number | undefined, book: Book): Figure | undefined {
  const {
    bands_per_g: limits = [],
    symptoms_from_per_g: symptoms,
    detection_limit_per_g: limit,
    reporting_limit_per_g: reporting,
  } = book.region.spores ?? {};
  if (sporesPerG === undefined) return undefined;
  const band = sporeBand(sporesPerG, sporeBands(limits));
  const said = [
    band.ok ? `in the region's band ${band.value.name}` : undefined,
    symptoms === undefined ? undefined : `symptoms are seen from about ${numberText(symptoms)}`,
  ].filter((part) => part !== undefined);
  const lasting = limit === undefined ? [] : SPORE_MODELS.flatMap((model) => lastingBy(model, sporesPerG, limit, book));
  if (said.length === 0 && limit === undefined) return undefined;
  const notes =
    limit === undefined ? [] : [labInWords(sporesPerG, limit, reporting), ...lasting.map(({ says }) => says)];
  if (lasting.length > 1) notes.push("The sources on the decline disagree, so both are shown");
  return {
    says: [`${numberText(sporesPerG)} spores/g`, ...said].join("; "),
    formulas: lasting.map(({ formula }) => formula),
    notes,
    sources: [
      ...regionSources(
        book,
        "spores.bands_per_g",
        "spores.symptoms_from_per_g",
        "spores.detection_limit_per_g",
        "spores.reporting_limit_per_g",
      ),
      ...lasting.flatMap(({ sources }) => sources),
    ],
  };
}

function labInWords(sporesPerG: number, limit: number, reporting: number | undefined): string {
  const reports = reporting === undefined ? "" : `, and labs often report from ${numberText(reporting)}`;
  const weak = sporesPerG < Math.max(limit, reporting ?? 0) ? "; a clean result proves little" : "";
  return `About ${numberText(limit)} spores/g or more are found${reports}${weak}`;
}

function lastingBy(
  model: SporeModel,
  sporesPerG: number,
  limit: number,
  book: Book,
): { says: string; formula: string; sources: readonly string[] }[] {
  const decline = sporeDecline(model, book.region.spores);
  const years = decline && yearsUntilLevel(sporesPerG, limit, decline);
  if (!decline || !years?.ok || years.value === 0) return [];
  const path = SPORE_MODEL_PATHS[model];
  const sources = regionSources(book, path, `${path}.fast_share`);
  const name = decline.kind === "half-life" ? `a single half-life of ${figure(decline.halfLifeYears)} years` : model;
  return [
    {
      says: `Without a host a lab would find them for ${figure(years.value, 1)} years, by ${name}`,
      formula: yearsUntilLevelFormula(sporesPerG, limit, decline, years.value, sources).formula,
      sources,
    },
  ];
}
