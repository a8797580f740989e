import { strict as assert } from "node:assert";
import type { CodeLens, Diagnostic, Hover, Location } from "vscode-languageserver";
import { shippedRegionText } from "../../server/src/schema/region.ts";
import { ABLE, inBook, textIn } from "./session-book.ts";
import { TestClient } from "./test-client.ts";

const PACK = `region: county
extends: ca-ab
rotation: { break_years_after_find: 5 }
records: { visits: { properties: { permit: { type: string } } } }
checks:
  - { code: county/permit, on: visits, when: "!has(record.permit)", message: no permit }
`;
const VISITS = "visits:\n  - id: v1\n    field: oak\n    arrived: 2026-08-14T09:40\n    purpose: other\n";
const BOOK = {
  "season.yaml": "season: 2026\nregion: county.region.yaml\n",
  "county.region.yaml": PACK,
  "a.fields.yaml": "fields: [{ id: oak }]\n",
  "a.visits.yaml": VISITS,
};

describe("a region pack in a session of the language server", () => {
  it("is checked, explained, followed to what comes with the program, and makes findings in other files at once", () =>
    inBook(BOOK, async (folder) => {
      const packOf = (name: string): string => `file:///program/regions/${name}.region.yaml`;
      const client = await TestClient.inMemory({ capabilities: ABLE, folders: [folder.uri()] }, { packOf });
      const uri = folder.open(client, "county.region.yaml", PACK);
      const position = (text: string, line = PACK.split("\n").findIndex((one) => one.includes(text))) => ({
        line,
        character: PACK.split("\n")[line]!.indexOf(text) + 1,
      });
      const of = (text: string): object => ({ textDocument: { uri }, position: position(text) });
      const shipped = shippedRegionText("ca-ab")!;
      const [figure] = [
        await client.request<Location | Location[]>("textDocument/definition", of("break_years_after_find")),
      ].flat();
      const target = figure as Location & { targetUri?: string; targetSelectionRange?: Location["range"] };
      assert.equal(target.targetUri ?? target.uri, packOf("ca-ab"));
      assert.equal(textIn(shipped, target.targetSelectionRange ?? target.range), "break_years_after_find");
      const hovered = await client.request<Hover>("textDocument/hover", of("break_years_after_find"));
      assert.match(JSON.stringify(hovered.contents), /In `ca-ab`: `3`/);
      const lenses = await client.request<CodeLens[]>("textDocument/codeLens", { textDocument: { uri } });
      assert.ok(lenses.some(({ command }) => command!.title.startsWith("changes no finding in this book")));
      const visits = folder.uri("a.visits.yaml");
      const codes = (): unknown[] => (client.published.get(visits) ?? []).map(({ code }: Diagnostic) => code);
      assert.ok(codes().includes("county/permit"), codes().join());
      // Another word in the pack is heard in the records at once.
      client.notify("textDocument/didChange", {
        textDocument: { uri, version: 2 },
        contentChanges: [{ text: PACK.replace("message: no permit", "message: no paper") }],
      });
      await client.request<Hover>("textDocument/hover", of("region: county"));
      const after = (client.published.get(visits) ?? []).map(({ message }) => message);
      assert.ok(
        after.some((message) => message === "no paper"),
        after.join(),
      );
      await client.stop();
    }));
});
