import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import type { ClientCapabilities, Position, Range } from "vscode-languageserver";
import { LineIndex } from "../../server/src/base/line-index.ts";
import type { TestClient } from "./test-client.ts";

/** A small book with something in it for every feature. The emoji before an id takes two UTF-16 units, and four bytes. */
export const BOOK: Readonly<Record<string, string>> = {
  "season.yaml": [
    "season: 2026",
    "region: ca-prairies",
    "growers: [{ id: demo-farm, name: Demo Farm }]",
    "crew: [{ id: mo, name: M. Okafor }]",
    "labs: [{ id: plains-lab, name: Plains Plant Diagnostics, turnaround_days: 21 }]",
    "",
  ].join("\n"),
  "demo.fields.yaml": [
    "fields:",
    "  - id: long-meadow",
    "    name: Long Meadow",
    "    grower: demo-farm",
    "    boundary: edges/long-meadow.geojson",
    "    entrances: [{ id: north-gate, usual: true }]",
    "  - id: mill-flat",
    "    name: Mill Flat",
    "    clubroot: { found_on: 2023-09-02 }",
    "    notices: [{ on: 2023-09-03, authority: county office }]",
    "",
  ].join("\n"),
  "edges/long-meadow.geojson":
    '{ "type": "Polygon", "coordinates": [[[-104.61,50.44],[-104.6,50.44],[-104.6,50.45],[-104.61,50.44]]] }\n',
  "demo.equipment.yaml": "equipment:\n  - id: dig-kit\n    kind: hand tools\n  - id: seeder-2\n    kind: seeder\n",
  "demo.rotations.yaml": [
    "rotations:",
    "  - field: long-meadow",
    "    crops:",
    "      - { year: 2024, crop: wheat }",
    "      - { year: 2025, crop: barley }",
    "      - { year: 2026, crop: canola, seeded: 2026-05-11, swathed: 2026-08-22 }",
    "",
  ].join("\n"),
  "august.visits.yaml": [
    "visits:",
    "  - id: v1",
    "    field: mill-flat",
    "    arrived: 2026-08-14T07:40",
    "    left: 2026-08-14T08:20",
    "    purpose: soil work",
    "    crew: [mo]",
    "    equipment: [dig-kit]",
    "    footwear: disposable",
    '  - { id: v2, note: "🌱🌱 ripe", field: long-meadow, entrance: north-gate, arrived: 2026-08-14T09:40, left: 2026-08-14T11:05, purpose: scouting, crew: [mo], equipment: [dig-kit], footwear: disposable, ground: wet, stage: 83, digs: [{ id: d1, place: entrance, plants: 20, ratings: [18, 1, 1, 0] }] }',
    "",
  ].join("\n"),
  "august.cleanings.yaml": [
    "cleanings:",
    "  - id: c1",
    "    at: 2026-08-14T12:00",
    "    place: farmyard",
    "    equipment: [dig-kit]",
    "    by: mo",
    "    steps:",
    "      - step: remove soil",
    "      - { step: disinfect, product: bleach, stock_percent: 5.25, stock_l: 2, water_l: 8.5, contact_minutes: 20 }",
    "",
  ].join("\n"),
  "lab.samples.yaml": [
    "samples:",
    "  - { id: s1, field: long-meadow, material: soil, taken: 2026-08-14, lab: plains-lab, sent: 2026-08-15 }",
    "",
  ].join("\n"),
};

/** A folder with files that a test may change; gone after `work`. */
export async function inBook<T>(
  files: Readonly<Record<string, string | Uint8Array>>,
  work: (folder: BookFolder) => Promise<T>,
): Promise<T> {
  const root = realpathSync(mkdtempSync(join(tmpdir(), "spadework lsp-")));
  const folder = new BookFolder(root);
  try {
    for (const [path, text] of Object.entries(files)) folder.write(path, text);
    return await work(folder);
  } finally {
    rmSync(root, { recursive: true, force: true });
  }
}

export class BookFolder {
  readonly root: string;

  constructor(root: string) {
    this.root = root;
  }

  uri(path = ""): string {
    return pathToFileURL(join(this.root, path)).href;
  }

  write(path: string, text: string | Uint8Array): void {
    const full = join(this.root, path);
    mkdirSync(dirname(full), { recursive: true });
    writeFileSync(full, text);
  }

  delete(path: string): void {
    rmSync(join(this.root, path), { recursive: true });
  }

  open(client: TestClient, path: string, text: string, version = 1): string {
    const uri = this.uri(path);
    client.notify("textDocument/didOpen", {
      textDocument: { uri, languageId: "season-records", version, text },
    });
    return uri;
  }
}

/** The place right before the nth `needle` (counted from 0), in lines and UTF-16 units; `into` it by some. */
export function at(text: string, needle: string, into = 0, nth = 0): Position {
  let offset = -1;
  for (let i = 0; i <= nth; i++) offset = text.indexOf(needle, offset + 1);
  if (offset < 0) throw new Error(`there is no ${needle}`);
  return new LineIndex(text).position(offset + into);
}

export function textIn(text: string, { start, end }: Range): string {
  const lines = new LineIndex(text);
  return text.slice(lines.offset(start), lines.offset(end));
}

/** A client that can do all that this server makes use of. */
export const ABLE: ClientCapabilities = {
  general: { positionEncodings: ["utf-8", "utf-16"] },
  window: { workDoneProgress: true, showMessage: {} },
  workspace: {
    applyEdit: true,
    configuration: true,
    workspaceFolders: true,
    workspaceEdit: { documentChanges: true, resourceOperations: ["create", "rename", "delete"] },
    didChangeConfiguration: { dynamicRegistration: true },
    didChangeWatchedFiles: { dynamicRegistration: true },
    codeLens: { refreshSupport: true },
    inlayHint: { refreshSupport: true },
    semanticTokens: { refreshSupport: true },
    diagnostics: { refreshSupport: true },
  },
  textDocument: {
    publishDiagnostics: { relatedInformation: true, codeDescriptionSupport: true, versionSupport: true },
    completion: { completionItem: { snippetSupport: true, resolveSupport: { properties: ["documentation"] } } },
    definition: { linkSupport: true },
    hover: { contentFormat: ["markdown", "plaintext"] },
    rename: { prepareSupport: true },
    codeAction: {
      codeActionLiteralSupport: { codeActionKind: { valueSet: [] } },
      resolveSupport: { properties: ["edit"] },
      dataSupport: true,
      isPreferredSupport: true,
    },
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
  },
};

export const PULLING: ClientCapabilities = {
  ...ABLE,
  textDocument: { ...ABLE.textDocument, diagnostic: { dynamicRegistration: false } },
};
