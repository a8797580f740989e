/**
 * A small book in one string, with what is expected of it underlined:
 *
 *     #! as-of: 2026-09-30
 *     #- 2026/june.visits.yaml
 *     visits:
 *       - id: v1
 *         field: long-medow
 *         #      ^^^^^^^^^^ error structure/unknown-id: no field "long-medow" [fix]
 *
 * A mark stands on a comment line of its own below the place; what follows the code's colon must be in the message, and
 * `[fix]` says that the finding offers a replacement. `#!` lines set options (`as-of`, `today`, `all-seasons`). Where the string has no
 * `season.yaml`, a plain one is added, and a set of fields, equipment and rotations for the ids that examples use.
 */
export interface Fixture {
  readonly files: ReadonlyMap<string, string>;
  readonly asOf: string;
  readonly today: string;
  readonly allSeasons: boolean;
  readonly marks: readonly Mark[];
  /** Offset of `$0` in its file, which is taken out of the text. */
  readonly cursor: { readonly file: string; readonly offset: number } | undefined;
}

export interface Mark {
  readonly file: string;
  readonly line: number;
  readonly character: number;
  readonly width: number;
  readonly level: string;
  readonly code: string;
  readonly message: string;
  readonly hasFix: boolean;
}

const MARK = /^(\s*#\s*)(\^+)\s+(error|warning|information|hint)\s+([\w.-]+\/[\w.-]+)(?::\s*(.*?))?\s*(\[fix\])?\s*$/;
export const DEFAULT_AS_OF = "2026-10-31";

const PLAIN_SEASON = `season: 2026
region: ca-prairies
growers:
  - { id: alder-bench, name: Alder Bench Farm }
crew:
  - { id: mo, name: M. Okafor }
  - { id: ines, name: I. Vale }
labs:
  - { id: plains-lab, name: Plains Plant Diagnostics, turnaround_days: 21 }
`;

const PLAIN_BASICS: Readonly<Record<string, string>> = {
  "basics.fields.yaml": `fields:
  - { id: long-meadow, name: Long Meadow, grower: alder-bench }
  - { id: mill-flat, name: Mill Flat, grower: alder-bench }
  - { id: east-rise, name: East Rise, grower: alder-bench }
`,
  "basics.equipment.yaml": `equipment:
  - { id: dig-kit, kind: hand tools, owner: crew }
  - { id: seeder-1, kind: seeder, owner: alder-bench }
  - { id: sprayer-1, kind: sprayer, owner: alder-bench }
`,
};

export function parseFixture(source: string, { withBasics = true } = {}): Fixture {
  const files = new Map<string, string[]>();
  const options = new Map<string, string>();
  let current: string[] | undefined;
  for (const line of source.split("\n")) {
    const option = /^#!\s*([a-z-]+)(?::\s*(.*))?$/.exec(line);
    const file = /^#-\s+(\S+)\s*$/.exec(line);
    if (option) options.set(option[1]!, option[2] ?? "yes");
    else if (file) files.set(file[1]!, (current = []));
    else if (current) current.push(line);
    else if (line.trim() !== "") throw new Error(`a fixture begins with "#- path": ${line}`);
  }
  const texts = new Map<string, string>();
  const marks: Mark[] = [];
  let cursor: Fixture["cursor"];
  for (const [file, lines] of files) {
    let above = -1;
    lines.forEach((line, number) => {
      const parts = MARK.exec(line);
      if (!parts) {
        above = number;
        return;
      }
      const [, lead, carets, level, code, message, fix] = parts;
      marks.push({
        file,
        line: above,
        character: lead!.length,
        width: carets!.length,
        level: level!,
        code: code!,
        message: message ?? "",
        hasFix: fix !== undefined,
      });
    });
    const text = lines.join("\n");
    const at = text.indexOf("$0");
    if (at >= 0) cursor = { file, offset: at };
    texts.set(file, at >= 0 ? text.slice(0, at) + text.slice(at + 2) : text);
  }
  if (withBasics) {
    if (!texts.has("season.yaml")) texts.set("season.yaml", PLAIN_SEASON);
    const hasFields = [...texts.keys()].some((path) => path.endsWith(".fields.yaml"));
    const hasEquipment = [...texts.keys()].some((path) => path.endsWith(".equipment.yaml"));
    if (!hasFields) texts.set("basics.fields.yaml", PLAIN_BASICS["basics.fields.yaml"]!);
    if (!hasEquipment) texts.set("basics.equipment.yaml", PLAIN_BASICS["basics.equipment.yaml"]!);
  }
  const asOf = options.get("as-of") ?? DEFAULT_AS_OF;
  return {
    files: texts,
    asOf,
    today: options.get("today") ?? asOf,
    allSeasons: options.has("all-seasons"),
    marks,
    cursor,
  };
}
