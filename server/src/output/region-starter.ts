import { isShippedGroup } from "../schema/shipped-groups.ts";

/**
 * The text of a pack to begin with: it says of each part what it is for, and is right as it stands.
 *
 * @param id the region's name, which is also the group of its example's check
 * @param parent the pack it rests on
 * @param year of the small book in its example
 */
export function starterPack(id: string, parent: string, year: number): string {
  const words = id.replace(/[^a-z0-9-]+/g, "-").replace(/^-+|-+$/g, "");
  const group = isShippedGroup(words) ? `${words}-region` : words;
  return `# The figures, duties and checks of one region. Everything that is not said here comes from the parent, ${parent}.
# "spadework region check" looks at this file; a book uses it with "region: ${id}.region.yaml" in its season.yaml.
region: ${id}
title: ${id}
extends: ${parent}

# Figures of this region, in the groups of the parent. Each needs a source below, by its path.
# rotation:
#   break_years: 3
# notice: { required: true, within_days: 7, authority: who is to be told }

# The parent's figures that do not hold here, where none is known: what needs them stays silent.
# unknown:
#   growth.days_seed_to_swath: the parent's is of another crop

# Levels of checks in this region: off, hint, information, warning or error.
# rules:
#   entry/wet-ground: error

# Keys that records have here beside those of the format, in words of JSON Schema.
records:
  visits:
    properties:
      permit:
        title: Permit
        description: The number of the permit to enter, where one is needed.
        type: string
        examples: ["${year}-17"]

# The region's own checks, in the Common Expression Language (CEL). "when" is true for what is to be found. It sees record,
# field, book, region, season and as_of; ask has(...) of what may be missing.
checks:
  - code: ${group}/permit
    on: visits
    at: purpose
    level: "off"
    when: record.purpose == 'soil work' && !has(record.permit)
    message: no permit is recorded for this soil work; write its number under permit
    source: common practice, no source

# Small books with the codes that they must and must not give.
examples:
  - name: soil work without a permit
    as_of: ${year}-06-20
    files:
      season.yaml: |
        season: ${year}
        region: ${id}
        rules: { ${group}/permit: warning }
      a.fields.yaml: |
        fields: [{ id: oak }]
      a.visits.yaml: |
        visits:
          - { id: v1, field: oak, arrived: ${year}-06-18T09:00, left: ${year}-06-18T11:00, purpose: soil work }
    expect: [${group}/permit]
    never: [structure/schema, structure/unknown-key]
  - name: soil work with one
    as_of: ${year}-06-20
    files:
      season.yaml: |
        season: ${year}
        region: ${id}
        rules: { ${group}/permit: warning }
      a.fields.yaml: |
        fields: [{ id: oak }]
      a.visits.yaml: |
        visits:
          - { id: v1, field: oak, arrived: ${year}-06-18T09:00, left: ${year}-06-18T11:00, purpose: soil work, permit: "${year}-17" }
    never: [${group}/permit, structure/schema, structure/unknown-key]

# Where each figure above comes from: a published source with its year, "common practice, no source", or "from memory".
sources: {}
`;
}
