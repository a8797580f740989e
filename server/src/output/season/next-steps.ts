import { parseDay } from "../../base/days.ts";
import { dayInWords, plural } from "../../base/words.ts";
import { usualEntrance } from "../../book/entrances.ts";
import { plantsWithGalls, type FieldHistory } from "../../book/field-history.ts";
import type { FieldRisk } from "../../book/field-risk.ts";
import { reasonInWords } from "../../book/field-risk-words.ts";
import { isCleared } from "../../book/field-status.ts";
import { labOf } from "../../book/labs.ts";
import { undugPatches } from "../../book/patches.ts";
import { plantsDug, seasonScouting } from "../../book/scouting-window.ts";
import { hostYears, isGrown, type HostYear } from "../../book/rotation.ts";
import { exposureSentence } from "./soil-moves.ts";
import type { Viewpoint } from "./viewpoint.ts";

/** Something to do about a field, and the reason. Both begin small and have no full stop. */
export interface NextStep {
  readonly what: string;
  readonly why: string;
}

/** What there is to do about a field, the most pressing first; none where nothing is. */
export function nextSteps(field: FieldHistory, risk: FieldRisk, view: Viewpoint): NextStep[] {
  const samples = ofSamples(field, view);
  return [
    ...samples.filter(({ canWait }) => !canWait),
    ...ofStatus(field, risk, view),
    ...samples.filter(({ canWait }) => canWait),
    ...ofPatches(field, risk, view),
    ...ofRotation(field, view),
  ];
}

/** The first of them in one line, for a list; undefined where there is nothing to do. */
export function nextAction(field: FieldHistory, risk: FieldRisk, view: Viewpoint): string | undefined {
  return nextSteps(field, risk, view)[0]?.what;
}

function ofStatus(field: FieldHistory, risk: FieldRisk, view: Viewpoint): NextStep[] {
  switch (risk.status) {
    case "confirmed":
      return ofConfirmed(field, view);
    case "suspected":
      return ofSuspected(field, risk, view);
    case "exposed":
      return [
        {
          what: `${whenToDig(field, risk, view)}, after the clean fields and first ${whereToDig(field, risk, view)}`,
          why: risk.exposure ? exposureSentence(risk.exposure, view) : "soil of an infested field may have come here",
        },
      ];
    case "unscouted":
      return [
        isOpen(risk, view)
          ? {
              what: whenToDig(field, risk, view),
              why: "it grows a host crop, and no roots have been dug in the scouting window yet",
            }
          : {
              what:
                risk.window?.seeded === undefined
                  ? "look at roots in the stubble if any still stands, or have a soil sample tested"
                  : "dig while the crop still stands, or have a soil sample tested",
              why: "no roots were dug in the scouting window of its host crop, so clubroot may be there unseen",
            },
      ];
    case "not found":
      return ofClean(field, risk, view);
    case "waiting":
      return [
        {
          what: risk.window
            ? whenToDig(field, risk, view)
            : "record when it was seeded, so that the scouting window is known",
          why: "it grows a host crop this season",
        },
      ];
    case "no host this season":
      return [];
  }
}

function ofConfirmed(field: FieldHistory, { book }: Viewpoint): NextStep[] {
  const since = field.confirmed ? dayInWords(field.confirmed.day, book.seasonYear) : undefined;
  const { notice } = book.region;
  const isTold = (field.record?.facts.notices ?? []).some(({ on }) => (parseDay(on ?? "") ?? Infinity) <= book.asOf);
  const steps: NextStep[] = [];
  if (notice?.required === true && !isTold)
    steps.push({
      what: `ask whether the find must be told: ${notice.authority ?? "the authority for plant pests"}`,
      why: `the region asks for notice of a find${notice.within_days === undefined ? "" : ` within ${plural(notice.within_days, "day")}`}, and none is recorded; what the duty is, the authority says`,
    });
  steps.push({
    what: "go there last, and clean down in full whatever has been on it before it leaves",
    why: `clubroot ${since === undefined ? "is confirmed here" : `has been confirmed here since ${since}`}, and its soil carries it`,
  });
  return steps;
}

function ofSuspected(field: FieldHistory, risk: FieldRisk, { book }: Viewpoint): NextStep[] {
  const steps: NextStep[] = [];
  for (const visit of field.visits) {
    if (visit.year !== book.seasonYear) continue;
    for (const dig of visit.digs) {
      if (plantsWithGalls(dig) === 0 || isCleared(field, visit.record.id, dig.id)) continue;
      const isSampled = field.samples.some(
        ({ record: { facts } }) =>
          facts.material === "roots" && facts.visit === visit.record.id && facts.dig === dig.id && dig.id !== undefined,
      );
      if (isSampled) continue;
      const which = dig.id === undefined ? "the dig" : `dig ${dig.id}`;
      steps.push({
        what: `send roots of ${which} of ${dayInWords(visit.day, book.seasonYear)} to a lab`,
        why: `${plural(plantsWithGalls(dig), "plant")} had galls there, and only a test settles whether it is clubroot`,
      });
    }
  }
  steps.push({
    what: "treat it as confirmed until a lab has answered: go there last, and clean down in full",
    why: reasonInWords(field, risk, book) ?? "it is not settled yet whether clubroot is there",
  });
  return steps;
}

/** Of samples that no clear result has come of yet. */
function ofSamples(field: FieldHistory, { book }: Viewpoint): (NextStep & { readonly canWait: boolean })[] {
  return field.samples.flatMap(({ record: { id, facts }, sent, finding }) => {
    const canWait = false;
    const lab = labOf(book, facts.lab);
    const name = lab?.name ?? facts.lab ?? "the lab";
    if (finding === "inconclusive")
      return [{ canWait, what: "take another sample", why: `sample ${id} was inconclusive` }];
    if (finding !== undefined) return [];
    if (sent === undefined)
      return [
        { canWait, what: `send sample ${id} to ${name}, or take a fresh one`, why: "it has been taken, and not sent" },
      ];
    const due = lab?.turnaround_days === undefined ? undefined : sent + lab.turnaround_days;
    const late = due === undefined ? 0 : book.asOf - due;
    const ending =
      due === undefined
        ? ""
        : late > 0
          ? `, and is ${plural(late, "day")} late`
          : `, and is due by ${dayInWords(due, book.seasonYear)}`;
    return [
      {
        canWait: late <= 0,
        what: late > 0 ? `ask ${name} for the result of sample ${id}` : `wait for the result of sample ${id}`,
        why: `it was sent on ${dayInWords(sent, book.seasonYear)}${ending}`,
      },
    ];
  });
}

function ofClean(field: FieldHistory, risk: FieldRisk, view: Viewpoint): NextStep[] {
  const dug = dugSoFar(field, risk, view);
  if ((risk.plantsWanted ?? 0) <= dug) return [];
  const sure = risk.confidence === undefined ? "as sure as planned" : `${Math.round(risk.confidence * 100)} % sure`;
  const where = dug === risk.plantsDug ? "" : " in the scouting window";
  const why = `${dug === 0 ? "none" : dug} were dug${where}, and it takes ${risk.plantsWanted} to be ${sure}`;
  const isPast = risk.window === undefined || view.book.asOf > risk.window.closes;
  return [
    {
      what: isPast ? `dig all ${risk.plantsWanted} plants ${nextHost(field, view)}` : whenToDig(field, risk, view),
      why,
    },
  ];
}

/** Plants that count towards the book's goal: those of the scouting window, where that is known. */
function dugSoFar(field: FieldHistory, risk: FieldRisk, { book }: Viewpoint): number {
  const scouting = book.seasonYear === undefined ? undefined : seasonScouting(field, book.seasonYear, book);
  return scouting?.window ? plantsDug(scouting.inWindow) : risk.plantsDug;
}

function ofPatches(field: FieldHistory, risk: FieldRisk, { book }: Viewpoint): NextStep[] {
  if (risk.status === "confirmed") return [];
  return undugPatches(field)
    .filter(({ seen }) => seen.year === book.seasonYear)
    .map(({ seen, patch }) => ({
      what: `dig patch ${patch.id ?? ""}`.trim(),
      why: `it was seen on ${dayInWords(seen.day, book.seasonYear)} and never dug, and above ground clubroot looks like other diseases`,
    }));
}

/** Of host crops that can still be changed: too early after the last, or not resistant where clubroot is known. */
function ofRotation(field: FieldHistory, { book }: Viewpoint): NextStep[] {
  const { break_years: plain, break_years_after_find: afterFind } = book.region.rotation ?? {};
  const asked = field.confirmed ? (afterFind ?? plain) : plain;
  const planned = hostYears(field).filter(
    ({ crop }) => !isGrown(crop, book) && crop.year > (book.seasonYear ?? -Infinity),
  );
  return planned.flatMap((host) => [...tooEarly(host, asked, field), ...notResistant(host, field)]);
}

function tooEarly({ crop, rest }: HostYear, asked: number | undefined, field: FieldHistory): NextStep[] {
  if (asked === undefined || !rest || rest.years >= asked) return [];
  const from = rest.since.year + asked + rest.missing.length + 1;
  const after = field.confirmed ? " after a find" : "";
  return [
    {
      what: `grow no host crop there before ${from}`,
      why: `${crop.facts.crop ?? "a host crop"} is planned for ${crop.year}, after ${plural(rest.years, "year")} without a host; ${asked} are asked${after}`,
    },
  ];
}

function notResistant({ crop }: HostYear, field: FieldHistory): NextStep[] {
  const rating = crop.facts.resistance?.rating;
  if (!field.confirmed || rating === "R" || rating === "MR") return [];
  return [
    {
      what: `choose a resistant variety for ${crop.year}, or better a crop that is no host`,
      why: `${crop.facts.crop ?? "the host crop"} planned there ${rating === undefined ? "has no rating on record" : `is rated ${rating}`}, and clubroot is in the field`,
    },
  ];
}

function isOpen({ window }: FieldRisk, { book }: Viewpoint): boolean {
  return window !== undefined && book.asOf >= window.opens && book.asOf <= window.closes;
}

function whenToDig(field: FieldHistory, risk: FieldRisk, view: Viewpoint): string {
  const { window, plantsWanted } = risk;
  const { asOf } = view.book;
  const dug = dugSoFar(field, risk, view);
  const missing = (plantsWanted ?? 0) - dug;
  const plants = missing > 0 ? plural(missing, dug > 0 ? "more plant" : "plant") : "roots";
  // What was dug is enough for this season, as the plan counts it.
  const isEnough = dug > 0 && missing <= 0;
  if (window && asOf < window.opens) return `dig from ${dayOf(window.opens, view)} to ${dayOf(window.closes, view)}`;
  if (window && asOf <= window.closes && !isEnough) return `dig ${plants} by ${dayOf(window.closes, view)}`;
  return `dig ${nextHost(field, view)}`;
}

/** `in 2029, when it grows canola again` */
function nextHost(field: FieldHistory, { book }: Viewpoint): string {
  const next = field.crops.find((crop) => crop.isHost && crop.year > book.seasonOfDay(book.asOf));
  return next
    ? `in ${next.year}, when it grows ${next.facts.crop ?? "a host crop"} again`
    : "the next time it grows a host crop (none is planned yet)";
}

function whereToDig(field: FieldHistory, { exposure }: FieldRisk, { book }: Viewpoint): string {
  const last = exposure?.chain.at(-1);
  const used = last && book.visitOfCarrier(last.carrier, last.visitArrived)?.facts.entrance;
  if (used) return `near the ${used} entrance, where it came in`;
  const usual = usualEntrance(field)?.name;
  return usual ? `near the ${usual} entrance` : "near the entrance";
}

function dayOf(day: number, { book }: Viewpoint): string {
  return dayInWords(day, book.seasonYear);
}
