// Names that package.json's `contributes` and the code must agree on.

/** The language of every YAML file of a record book. */
export const languageId = "season-records";

/** Where the bundled language server lies below the extension's folder. */
export const serverFile = ["dist", "server.cjs"] as const;
