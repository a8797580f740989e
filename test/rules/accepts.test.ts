import { check } from "../support/check.ts";

const VISIT = `  - id: v1
    field: long-meadow
    arrived: 2026-08-14T09:40
    purpose: other`;

describe("accept comments", () => {
  it("speak of the line below the last of several", () => {
    check(
      `#- a.visits.yaml
visits:
${VISIT}
    crew: [mo]
    # accept entry/wet-ground: the only day before harvest
    # accept structure/schema: written as the crew say it
    ground: wet
`,
      { only: (code) => code.startsWith("entry/") },
    );
  });

  it("are told when the colon was forgotten, or two codes share one", () => {
    check(`#- a.visits.yaml
visits:
${VISIT}
    # accept entry/wet-ground the only day before harvest
#   ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ information structure/accept-unused: until it says why
    ground: wet
    #       ^^^ warning entry/wet-ground
`);
  });

  it("are told to move when what they accept stands elsewhere in the record", () => {
    check(`#- a.visits.yaml
visits:
${VISIT}
    ground: wet # accept entry/wet-ground: the only day before harvest
    #       ^^^ warning entry/wet-ground
    #           ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ information structure/accept-unused: stands elsewhere
`);
  });

  it("behind the last value of a record say nothing of the record below", () => {
    check(`#- a.visits.yaml
visits:
${VISIT}
    ground: dry # accept structure/duplicate-id: no
    #           ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ information structure/accept-unused
  - id: v1
#       ^^ error structure/duplicate-id
    field: mill-flat
    arrived: 2026-08-15T09:40
    purpose: other
`);
  });

  it("on a rotation are told when nothing is found, but not of years that are not looked at", () => {
    check(`#- a.rotations.yaml
rotations:
  - field: long-meadow
    crops:
      # accept rotation/volunteers: mown before they flowered
      - { year: 2025, crop: barley }
      # accept rotation/volunteers: mown before they flowered
#     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ information structure/accept-unused
      - { year: 2026, crop: barley }
`);
  });
});

describe("rule levels", () => {
  it("of checks that nobody knows are told at their place", () => {
    check(`#- season.yaml
season: 2026
region: ca-prairies
growers: [{ id: alder-bench }]
rules: { entry/wet-grond: error }
#        ^^^^^^^^^^^^^^^ error structure/unknown-key: did you mean "entry/wet-ground"? [fix]
`);
  });
});
