import { MINUTES_PER_DAY } from "../../base/days.ts";
import { dayInWords } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import type { FieldHistory } from "../../book/field-history.ts";
import { fieldRisk } from "../../book/field-risk.ts";
import {
  plantsDugInWords,
  soilLeftInWords,
  statusInWords,
  windowStandingInWords,
} from "../../book/field-risk-words.ts";
import { freedomInWords } from "../../book/freedom-words.ts";
import type { FieldFreedom } from "../../book/freedom.ts";
import { BOOTS_PREFIX } from "../../book/references.ts";
import { windowInWords } from "../../book/window-words.ts";
import type { EquipmentRecord } from "../../schema/facts.ts";
import { crewNames, labelled, titleOf, type Brief } from "./brief.ts";
import { capitalised, regionSources, type Figure } from "./figure.ts";

/** Name, grower, status, the season's crop, the window, and what was dug. */
export function fieldBrief(id: string, book: Book): Brief | undefined {
  const field = book.fieldHistory(id);
  if (!field.record) return undefined;
  const { name, grower, area_ha, soil } = field.record.facts;
  const risk = fieldRisk(field, book);
  const { window } = risk;
  const soilWords = [
    soil?.texture,
    soil?.ph === undefined ? undefined : `pH ${soil.ph}`,
    soil?.drainage && `drainage ${soil.drainage}`,
  ];
  return {
    title: titleOf(name, id),
    lines: [
      labelled("Status", statusInWords(field, risk, book)),
      labelled("Grower", book.season.growers?.find((one) => one.id === grower)?.name ?? grower),
      cropLine(field, book),
      window && `Scouting window: ${windowInWords(window, book)}; ${windowStandingInWords(window, book)}`,
      plantsDugInWords(risk),
      labelled("Area", area_ha, "ha"),
      labelled("Soil", soilWords.filter((word) => word !== undefined).join(", ")),
    ],
    figure: risk.freedom && freedomFigure(risk.freedom, book),
  };
}

/** That the field is free, with every term of it. */
function freedomFigure(freedom: FieldFreedom, book: Book): Figure {
  const { says, formulas, figures } = freedomInWords(freedom, book);
  const [whole = "", ...terms] = says;
  return {
    says: capitalised(whole),
    formulas: formulas.map(({ formula }) => formula),
    notes: terms,
    sources: [...formulas.flatMap(({ sources }) => sources), ...regionSources(book, ...figures)],
  };
}

function cropLine(field: FieldHistory, book: Book): string | undefined {
  const crop = field.crops.findLast(({ year, facts }) => year === book.seasonYear && facts.crop)?.facts;
  if (!crop) return undefined;
  const details = [
    crop.variety,
    crop.resistance?.rating && `rated ${crop.resistance.rating}`,
    crop.seeded && `seeded ${crop.seeded}`,
  ];
  const known = details.filter((detail) => detail !== undefined && detail !== "");
  return `Crop of ${book.seasonYear ?? "the season"}: ${[crop.crop, ...known].join(", ")}`;
}

/** A piece of equipment, or a person's boots: what it is, where it was last, and when it was last cleaned. */
export function carrierBrief(id: string, book: Book): Brief | undefined {
  const wearer = id.startsWith(BOOTS_PREFIX) ? id.slice(BOOTS_PREFIX.length) : undefined;
  const facts = book.record("equipment", id)?.facts;
  if (!facts && (wearer === undefined || !book.season.crew?.some((member) => member.id === wearer))) return undefined;
  const { stays, cleanings } = book.carrierHistory(id);
  const [stay, cleaning] = [stays[stays.length - 1], cleanings[cleanings.length - 1]];
  const on = (minute: number): string => dayInWords(Math.floor(minute / MINUTES_PER_DAY), book.seasonYear);
  const cleaned =
    cleaning && (cleaning.result.full ? "in full" : `in part, ${soilLeftInWords(cleaning.result.soilLeft)}`);
  return {
    title: wearer === undefined ? titleOf(facts?.name, id) : `Boots of ${crewNames([wearer], book)} (${id})`,
    lines: [
      ...(facts ? equipmentLines(facts, book) : []),
      stay && `Last on a field: ${book.fieldName(stay.field)}, ${on(stay.left)}`,
      cleaning ? `Last cleaned: ${on(cleaning.at)}, ${cleaned}` : "No clean-down recorded",
    ],
  };
}

function equipmentLines({ kind, owner, touches_soil, acquired }: EquipmentRecord, book: Book): (string | undefined)[] {
  return [
    labelled("Kind", kind),
    labelled("Owner", book.season.growers?.find((grower) => grower.id === owner)?.name ?? owner),
    touches_soil === false ? "Stays on the road: it carries no soil" : undefined,
    labelled(
      "Acquired",
      [acquired?.on, acquired?.from && `from ${acquired.from}`, acquired?.place].filter(Boolean).join(", "),
    ),
  ];
}
