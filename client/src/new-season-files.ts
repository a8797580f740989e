// The files of a new record book, from a short form. Knows no editor, so that plain tests can read it.

/** What the form asks. Names are the keeper's own words; ids are made of them. */
export interface SeasonAnswers {
  readonly season: number;
  /** The id of a region pack. */
  readonly region: string;
  readonly grower: string;
  readonly field: string;
  /** What grows on the field this season. */
  readonly crop: string;
  readonly crewMember: string;
}

/** The texts of a new book's files by their names; they check clean. */
export function newSeasonFiles({
  season,
  region,
  grower,
  field,
  crop,
  crewMember,
}: SeasonAnswers): Map<string, string> {
  const growerId = idOf(grower, "grower");
  const fieldId = idOf(field, "field");
  const crewId = idOf(crewMember, "crew");
  return new Map([
    [
      "season.yaml",
      lines(
        "# The record book: every file below this folder belongs to it.",
        `season: ${season}`,
        `region: ${written(region)}`,
        "growers:",
        `  - { id: ${written(growerId)}, name: ${written(grower)} }`,
        "crew:",
        `  - { id: ${written(crewId)}, name: ${written(crewMember)} }`,
      ),
    ],
    [
      `${growerId}.fields.yaml`,
      lines(
        "fields:",
        `  - id: ${written(fieldId)}`,
        `    name: ${written(field)}`,
        `    grower: ${written(growerId)}`,
      ),
    ],
    [
      "crew.equipment.yaml",
      lines(
        "# All that can carry soil from field to field; boots need no record of their own.",
        "equipment:",
        "  - { id: dig-kit, kind: hand tools, owner: crew }",
      ),
    ],
    [
      `${growerId}.rotations.yaml`,
      lines(
        "rotations:",
        `  - field: ${written(fieldId)}`,
        "    crops:",
        `      - { year: ${season}, crop: ${written(crop)} }`,
      ),
    ],
    [
      `${season}.visits.yaml`,
      lines("# Every entry to a field, on foot or with a machine. “Spadework: Add a visit” writes one.", "visits: []"),
    ],
  ]);
}

/** An id of a name, as the format has them: `Mélanie's Farm` gives `melanie-s-farm`. */
export function idOf(name: string, otherwise: string): string {
  const plain = name
    .normalize("NFD")
    .replace(/\p{Mark}/gu, "")
    .toLowerCase();
  return (
    plain
      .replace(/[^a-z0-9]+/g, "-")
      .replace(/^-+|-+$/g, "")
      .slice(0, 60) || `${otherwise}-1`
  );
}

/** A text as YAML holds it, between braces too: plain where nothing in it could mean something else. */
function written(text: string): string {
  const isPlain = /^\p{Letter}(?:[\p{Letter}\p{Number} .'-]*[\p{Letter}\p{Number}.])?$/u.test(text);
  const isWord = /^(?:true|false|yes|no|on|off|null|y|n)$/i.test(text);
  return isPlain && !isWord ? text : JSON.stringify(text);
}

function lines(...all: readonly string[]): string {
  return `${all.join("\n")}\n`;
}
