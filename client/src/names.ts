// Names that package.json's `contributes`, the server and the code must agree on.

/** The language of every YAML file of a record book. */
export const languageId = "season-records";

/** The language of a soil movement, for which package.json turns line numbers off and line breaks on. */
export const soilLanguageId = "season-soil";

/** The language of what a change does to the season, with the same settings. */
export const changeLanguageId = "season-change";

/** The scheme of the read-only documents that tell what a change does to the season. */
export const changeScheme = "spadework-change";

/** The scheme of the read-only documents that tell a field's soil movement. */
export const soilScheme = "spadework-soil";

/** Where the bundled language server lies below the extension's folder. */
export const serverFile = ["dist", "server.cjs"] as const;

/** The script of a season's panel below the extension's folder. */
export const panelScript = ["dist", "season-panel.js"] as const;

/** The kind of webview that shows a season. */
export const seasonPanelType = "spadework.season";

/** The view of the fields in the explorer. */
export const fieldViewId = "spadework.fields";

/** True in `when` clauses while that view is grouped by grower. */
export const groupedByGrowerContext = "spadework.fieldsByGrower";

/** True in `when` clauses while a record book is in the workspace. */
export const hasBookContext = "spadework.hasBook";

export const commands = {
  newSeason: "spadework.newSeason",
  addVisit: "spadework.addVisit",
  checkSeason: "spadework.checkSeason",
  showSoilOfField: "spadework.showSoilOfField",
  reviewChange: "spadework.reviewChange",
  showSeason: "spadework.showSeason",
  fieldsByStatus: "spadework.groupFieldsByStatus",
  fieldsByGrower: "spadework.groupFieldsByGrower",
  restart: "spadework.restart",
  /** The server's code lenses call these two: (title, places) and (uri, field, places). */
  showPlaces: "spadework.showPlaces",
  showSoil: "spadework.showSoil",
} as const;
