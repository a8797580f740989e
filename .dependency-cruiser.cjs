// The layering of the house: imports run downward only. Each room names the rooms it may touch.
const rooms = {
  base: [],
  syntax: ["base"],
  schema: ["base", "syntax"],
  records: ["base", "syntax", "schema"],
  agronomy: ["base"],
  soil: ["base"],
  book: ["base", "syntax", "schema", "records", "agronomy", "soil"],
  rules: ["base", "syntax", "schema", "records", "agronomy", "soil", "book"],
  features: ["base", "syntax", "schema", "records", "agronomy", "soil", "book", "rules"],
  output: ["base", "syntax", "schema", "records", "agronomy", "soil", "book", "rules"],
  host: ["base", "syntax", "schema", "records", "agronomy", "soil", "book", "rules", "features", "output"],
  lsp: ["base", "syntax", "schema", "records", "agronomy", "soil", "book", "rules", "features", "output", "host"],
  cli: [
    "base",
    "syntax",
    "schema",
    "records",
    "agronomy",
    "soil",
    "book",
    "rules",
    "features",
    "output",
    "host",
    "lsp",
  ],
};

module.exports = {
  forbidden: [
    ...Object.entries(rooms).map(([room, below]) => ({
      name: `${room}-imports-downward-only`,
      severity: "error",
      comment: `${room} may import ${below.length ? below.join(", ") : "no other room"}`,
      from: { path: `^server/src/${room}/` },
      to: { path: "^server/src/", pathNot: `^server/src/(${[room, ...below].join("|")})/` },
    })),
    {
      name: "yaml-parsers-only-in-syntax",
      severity: "error",
      from: { path: "^(server|client)/src/", pathNot: "^server/src/syntax/" },
      to: { path: "node_modules/(js-yaml|yaml)/" },
    },
    {
      name: "core-does-no-io",
      severity: "error",
      from: { path: "^server/src/", pathNot: "^server/src/(host|lsp|cli)/" },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "client-never-sees-server-internals",
      severity: "error",
      from: { path: "^client/" },
      to: { path: "^server/" },
    },
    { name: "no-cycles", severity: "error", from: { path: "^(server|client)/src/" }, to: { circular: true } },
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: { extensions: [".ts", ".mjs", ".js"] },
  },
};
