// Names that package.json's `contributes`, the server and the code must agree on.

/** The language of every YAML file of a record book. */
export const languageId = "season-records";

/** The language of a soil movement, for which package.json turns line numbers off and line breaks on. */
export const soilLanguageId = "season-soil";

/** The scheme of the read-only documents that tell a field's soil movement. */
export const soilScheme = "spadework-soil";

/** Where the bundled language server lies below the extension's folder. */
export const serverFile = ["dist", "server.cjs"] as const;

/** True in `when` clauses while a record book is in the workspace. */
export const hasBookContext = "spadework.hasBook";

export const commands = {
  newSeason: "spadework.newSeason",
  addVisit: "spadework.addVisit",
  checkSeason: "spadework.checkSeason",
  showSoilOfField: "spadework.showSoilOfField",
  restart: "spadework.restart",
  /** The server's code lenses call these two: (title, places) and (uri, field, places). */
  showPlaces: "spadework.showPlaces",
  showSoil: "spadework.showSoil",
} as const;
