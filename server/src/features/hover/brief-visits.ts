import { figure, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { severity } from "../../agronomy/severity.ts";
import { crewNames, labelled, timeInWords, titleOf, type Brief } from "./brief.ts";
import { digsInWords } from "../lenses/visit-lenses.ts";

export function visitBrief(id: string, book: Book): Brief | undefined {
  const facts = book.record("visits", id)?.facts;
  if (!facts) return undefined;
  const times = [
    timeInWords(facts.arrived, book),
    facts.left && facts.left.slice(0, 10) === facts.arrived?.slice(0, 10)
      ? facts.left.slice(11)
      : timeInWords(facts.left, book),
  ];
  const field = facts.field === undefined ? "" : `, ${book.fieldName(facts.field)}`;
  return {
    title: `${id}: ${facts.purpose ?? "visit"}${field}`,
    lines: [
      times.filter((time) => time !== undefined).join(" to "),
      labelled("Crew", crewNames(facts.crew ?? [], book)),
      labelled("Equipment", facts.equipment?.join(", ")),
      labelled("Footwear", facts.footwear),
      labelled("Ground", facts.ground),
      ...digsInWords(facts.digs ?? [], book),
    ],
  };
}

export function digBrief(visit: string, id: string, book: Book): Brief | undefined {
  const facts = book.record("visits", visit)?.facts;
  const dig = facts?.digs?.find((one) => one.id === id);
  if (!dig) return undefined;
  const found = dig.ratings && severity(dig.ratings);
  const place = [
    dig.place,
    dig.patch && `patch ${dig.patch}`,
    dig.metres_in === undefined ? undefined : `${dig.metres_in} m in`,
  ];
  const samples = [...book.records("samples")].filter(
    (sample) => sample.facts.visit === visit && sample.facts.dig === id,
  );
  return {
    title: `Dig ${id} of ${visit}`,
    lines: [
      labelled("Where", place.filter(Boolean).join(", ")),
      dig.plants === undefined ? undefined : `${plural(dig.plants, "plant")} dug`,
      found?.ok
        ? `DSI ${figure(found.value.dsiPercent, 1)} %, incidence ${figure(found.value.incidencePercent, 1)} %`
        : undefined,
      dig.look_alikes ? plural(dig.look_alikes, "look-alike") : undefined,
      labelled("Samples", samples.map((sample) => sample.id).join(", ")),
    ],
  };
}

export function patchBrief(visit: string, id: string, book: Book): Brief | undefined {
  const facts = book.record("visits", visit)?.facts;
  const patch = facts?.patches?.find((one) => one.id === id);
  if (!patch) return undefined;
  const seen = timeInWords(facts?.arrived, book);
  return {
    title: `Patch ${id} of ${visit}`,
    lines: [labelled("Symptom", patch.symptom), labelled("Area", patch.area_m2, "m²"), labelled("Seen", seen)],
  };
}

export function entranceBrief(field: string, id: string, book: Book): Brief | undefined {
  const entrance = book.record("fields", field)?.facts.entrances?.find((one) => one.id === id);
  if (!entrance) return undefined;
  return {
    title: `Entrance ${titleOf(entrance.name, id)} of ${book.fieldName(field)}`,
    lines: [
      entrance.usual ? "The entrance by which machines usually come in" : undefined,
      labelled("Position", entrance.position?.join(", "), "(longitude, latitude)"),
    ],
  };
}
