import { severity } from "../../agronomy/severity.ts";
import { dayInWords, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { plantsWithGalls, type FieldHistory } from "../../book/field-history.ts";
import type { Outline } from "../../book/outlines.ts";
import type { FieldWork } from "../../planning/field-work.ts";
import type { Markup } from "../markup.ts";
import { fieldMap } from "../picture/field-map.ts";
import type { MapDig, MapPatch } from "../picture/map-facts.ts";

const WIDTH = 360;

/** The field with its entrances, this season's digs and patches, and the stops of the walk; undefined where nothing has a place. */
export function sheetMap(
  work: FieldWork,
  field: FieldHistory,
  outline: Outline | undefined,
  book: Book,
): Markup | undefined {
  const season = field.visits.filter(({ year }) => year === book.seasonYear);
  const day = (at: number): string => dayInWords(at, book.seasonYear);
  const digs = season.flatMap((visit) =>
    visit.digs.flatMap((dig): MapDig[] => {
      if (!dig.position) return [];
      const found = dig.ratings && severity(dig.ratings);
      const label = `dig of ${day(visit.day)}: ${plural(dig.plants ?? 0, "plant")}, ${plantsWithGalls(dig)} with galls`;
      return [{ position: dig.position, dsiPercent: found?.ok ? found.value.dsiPercent : undefined, label }];
    }),
  );
  const patches = season.flatMap((visit) =>
    (visit.record.facts.patches ?? []).flatMap(({ id, symptom, area_m2: areaM2, position }): MapPatch[] =>
      position
        ? [{ position, areaM2, label: `patch ${id ?? ""} of ${day(visit.day)}${symptom ? `: ${symptom}` : ""}` }]
        : [],
    ),
  );
  const entrances = (field.record?.facts.entrances ?? []).flatMap(({ id, name, position, usual }, i) =>
    position ? [{ label: name ?? id ?? `entrance ${i + 1}`, position, usual: usual === true }] : [],
  );
  const stops = work.stops.flatMap(({ number, position }) =>
    position ? [{ number, position, label: `stop ${number}` }] : [],
  );
  const { name, status } = work;
  return fieldMap(
    {
      title: `Map of ${name}`,
      description: `North is up. ${plural(entrances.length, "entrance")}, ${plural(digs.length, "dig")} and ${plural(patches.length, "patch", "patches")} of this season, ${plural(stops.length, "stop")}. The list of stops says the same in words.`,
      field: { label: `${name}: ${status}`, name, status, outline, entrances },
      digs,
      patches,
      stops,
    },
    { width: WIDTH, prefix: "map", interactive: false },
  );
}
