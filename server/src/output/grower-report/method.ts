import { mixingCautions } from "../../agronomy/mixing.ts";
import { figure, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import { samplingGoal } from "../../book/sampling-goal.ts";

/** How something in the report is worked out, and where its figures come from. */
export interface MethodNote {
  readonly what: string;
  readonly how: string;
  readonly sources: readonly string[];
}

export function methodNotes(book: Book): MethodNote[] {
  const { region } = book;
  const notes: (MethodNote | undefined)[] = [
    {
      what: "Status",
      how: "The first that holds: confirmed (a lab result, or an older find on record), suspected (galls that no lab has cleared, or a sample without a clear result), exposed (soil of a confirmed field may have come), unscouted, not found, no host this season, waiting.",
      sources: [],
    },
    goalNote(book),
    {
      what: "Severity",
      how: "Roots are rated 0 to 3; the index is the sum of the ratings over three times the plants, in percent.",
      sources: ["Kuginuki et al. 1999 (scale, from memory); Horsfall and Heuberger 1942 (index, from memory)"],
    },
    windowNote(book),
    cleaningNote(book),
    region.trace?.look_back_days === undefined
      ? undefined
      : {
          what: "Where soil may have gone",
          how: `A confirmed field's soil counts as infested from ${plural(region.trace.look_back_days, "day")} before the find on. From there it is followed on everything that touches soil, until a full clean-down. What may have come is a way that was open, not a find.`,
          sources: sourcesOf(book, "trace.look_back_days"),
        },
    region.freedom
      ? {
          what: "Chance of being free",
          how: "From what is taken of a field nothing is known of, through each arrival of soil and each season's clean digs. It is decision support, not proof.",
          sources: ["Martin, Cameron and Greiner 2007 (from memory)", ...sourcesOf(book, "freedom")],
        }
      : undefined,
    {
      what: "Breaks",
      how: "Recorded years without a host between two host crops; a year with host volunteers counts as a host year, a year without a record counts neither way.",
      sources: sourcesOf(book, "rotation"),
    },
    {
      what: "Map",
      how: "Outlines and places as recorded (RFC 7946), in Mercator's projection with north up; sizes measured on a sphere, within 0.6 % of the ellipsoid. Colours by Okabe and Ito 2008; a pattern, shape, mark or word says the same.",
      sources: [],
    },
  ];
  return notes.filter((note) => note !== undefined);
}

function goalNote(book: Book): MethodNote | undefined {
  const goal = samplingGoal(book);
  if (!goal) return undefined;
  const percent = (share: number): string => `${figure(share * 100, 1)} %`;
  return {
    what: "Plants to dig",
    how: `${goal.plants} plants make it ${percent(goal.confidence)} sure that clubroot in ${percent(goal.designIncidence)} of the plants is noticed, where a galled root is seen to be one ${figure(goal.rootSensitivity * 100)} times in 100. Galled plants stand close together: plants dug in one place tell most of that place.`,
    sources: [
      "binomial sampling, as in ISPM 31 (FAO 2008)",
      ...sourcesOf(book, "sampling.confidence", "sampling.design_incidence", "sampling.root_sensitivity"),
    ],
  };
}

function windowNote(book: Book): MethodNote | undefined {
  const scouting = book.region.scouting ?? {};
  const { opens_days_before_swath: before, closes_days_after_swath: after } = scouting;
  const { opens_days_after_seeding: from, closes_days_after_seeding: to } = scouting;
  const isFromSeeding = from !== undefined && to !== undefined;
  const figures = isFromSeeding
    ? ["scouting.opens_days_after_seeding", "scouting.closes_days_after_seeding"]
    : ["scouting.opens_days_before_swath", "scouting.closes_days_after_swath"];
  const how =
    from !== undefined && to !== undefined
      ? `From ${plural(from, "day")} to ${plural(to, "day")} after seeding.`
      : before !== undefined && after !== undefined
        ? `From ${plural(before, "day")} before swathing to ${plural(after, "day")} after it.`
        : undefined;
  return how === undefined ? undefined : { what: "Scouting window", how, sources: sourcesOf(book, ...figures) };
}

function cleaningNote(book: Book): MethodNote {
  const { strength_percent: strength, contact_minutes: minutes } = book.region.cleaning ?? {};
  const asked = [
    strength === undefined ? undefined : `at ${figure(strength)} %`,
    minutes === undefined ? undefined : `for ${plural(minutes, "minute")}`,
  ].filter((part) => part !== undefined);
  return {
    what: "Full clean-down",
    how: `Soil removed, then washed, then disinfected${asked.length === 0 ? "" : `, ${asked.join(" ")}`}. The product's label comes first.`,
    sources: sourcesOf(book, "cleaning.strength_percent", "cleaning.contact_minutes"),
  };
}

/** The region's sources of figures, or of groups of figures, each once. */
function sourcesOf(book: Book, ...paths: readonly string[]): string[] {
  const sources = Object.entries(book.region.sources ?? {});
  const found = sources.filter(([key]) => paths.some((path) => key === path || key.startsWith(`${path}.`)));
  return [...new Set(found.map(([, source]) => source))];
}

/** What a grower is to mind; how long a mix keeps is the region's figure. */
export function cautionsOf({ region }: Book): string[] {
  return [
    "A clean dig is evidence, not proof: clubroot may be where nobody dug.",
    ...mixingCautions(region.cleaning?.mix_keeps_hours).map(({ text }) => text),
    "The product's label also says when a sprayed field may be entered again, and with what protection.",
    "Shut machines down and secure them before anyone cleans them.",
    "What must be reported, and to whom, is for the authority to say.",
    "Galls can be mistaken for other swellings; when in doubt, a lab test tells.",
  ];
}
