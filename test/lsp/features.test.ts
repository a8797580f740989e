import { strict as assert } from "node:assert";
import type {
  CallHierarchyIncomingCall,
  CallHierarchyItem,
  CallHierarchyOutgoingCall,
  CodeAction,
  CodeLens,
  CompletionItem,
  DocumentHighlight,
  DocumentLink,
  DocumentSymbol,
  FoldingRange,
  Hover,
  InlayHint,
  Location,
  LocationLink,
  Range,
  SelectionRange,
  SemanticTokens,
  SymbolInformation,
  TextEdit,
  WorkspaceEdit,
} from "vscode-languageserver";
import { ABLE, at, BOOK, inBook, textIn, type BookFolder } from "./session-book.ts";
import { ServerError, TestClient } from "./test-client.ts";

const VISITS = "august.visits.yaml";
const visits = BOOK[VISITS]!;
const settings = (): unknown => ({ format: { enabled: true } });

/** A session on the small book with its visits open; every message of the server is looked at. */
async function inSession(
  work: (client: TestClient, uri: string, folder: BookFolder) => Promise<void>,
  capabilities = ABLE,
): Promise<void> {
  await inBook(BOOK, async (folder) => {
    const client = await TestClient.inMemory({ capabilities, folders: [folder.uri()], settings });
    const uri = folder.open(client, VISITS, visits);
    await work(client, uri, folder);
    await client.stop();
  });
}

describe("what the language server answers", () => {
  it("shows a lens above each record, and what it opens", () =>
    inSession(async (client, uri, folder) => {
      const lenses = await client.request<CodeLens[]>("textDocument/codeLens", { textDocument: { uri } });
      assert.deepEqual(
        lenses.map(({ range }) => textIn(visits, range)),
        ["id"],
      );
      assert.match(lenses[0]!.command!.title, /2 of 20 plants/);
      assert.equal(lenses[0]!.command!.command, "spadework.showPlaces");
      const fields = { textDocument: { uri: folder.uri("demo.fields.yaml") } };
      const ofFields = await client.request<CodeLens[]>("textDocument/codeLens", fields);
      assert.ok(ofFields.some(({ command }) => command!.command === "spadework.showSoil"));
    }));

  it("shows hints behind values, in a part of the text alone where that is asked", () =>
    inSession(async (client, uri) => {
      const whole: Range = { start: { line: 0, character: 0 }, end: at(visits, "\n", 1, 9) };
      const hints = await client.request<InlayHint[]>("textDocument/inlayHint", {
        textDocument: { uri },
        range: whole,
      });
      assert.ok(hints.some(({ label }) => /10/.test(label as string)));
      const range = { start: { line: 0, character: 0 }, end: { line: 1, character: 0 } };
      assert.deepEqual(await client.request("textDocument/inlayHint", { textDocument: { uri }, range }), []);
    }));

  it("says under the cursor what an id beyond an emoji stands for, in UTF-16 columns", () =>
    inSession(async (client, uri) => {
      const position = at(visits, "long-meadow", 3);
      const found = await client.request<Hover>("textDocument/hover", { textDocument: { uri }, position });
      assert.equal(textIn(visits, found.range!), "long-meadow");
      assert.match((found.contents as { value: string }).value, /Long Meadow/);
    }));

  it("completes ids, replacing what stands there, and keys as snippets where the client has them", () =>
    inSession(async (client, uri) => {
      const position = at(visits, "long-meadow", 4);
      const items = await client.request<CompletionItem[]>("textDocument/completion", {
        textDocument: { uri },
        position,
      });
      const item = items.find(({ label }) => label === "mill-flat")!;
      const edit = item.textEdit as TextEdit;
      assert.equal(textIn(visits, edit.range), "long-meadow");
      assert.equal(edit.newText, "mill-flat");
      const records = await client.request<CompletionItem[]>("textDocument/completion", {
        textDocument: { uri },
        position: at(visits, "  - id: v1"),
      });
      assert.ok(Array.isArray(records));
    }));

  it("gives plain texts alone to a client without snippets", () =>
    inSession(async (client, uri) => {
      client.notify("textDocument/didChange", {
        textDocument: { uri, version: 2 },
        contentChanges: [{ text: `${visits}  - ` }],
      });
      const position = { line: visits.split("\n").length - 1, character: 4 };
      const items = await client.request<CompletionItem[]>("textDocument/completion", {
        textDocument: { uri },
        position,
      });
      assert.ok(items.length > 0 && items.every(({ insertTextFormat }) => insertTextFormat !== 2));
    }, {}));

  it("offers quick fixes with their edits, and works out a fix of many once it is chosen", () =>
    inSession(async (client, uri, folder) => {
      const wrong = visits.replaceAll("mill-flat", "mill-flt").replace("field: long-meadow", "field: mill-flt");
      client.notify("textDocument/didChange", { textDocument: { uri, version: 2 }, contentChanges: [{ text: wrong }] });
      await client.settled();
      const range = { start: at(wrong, "mill-flt"), end: at(wrong, "mill-flt") };
      const context = { diagnostics: [...client.published.get(uri)!] };
      const actions = await client.request<CodeAction[]>("textDocument/codeAction", {
        textDocument: { uri },
        range,
        context,
      });
      const change = actions.find(({ title }) => title === "Change to mill-flat")!;
      assert.equal(change.isPreferred, true);
      assert.equal(change.diagnostics?.[0]?.code, "structure/unknown-id");
      const all = actions.find(
        ({ title }) => title.startsWith("Mend all 2 findings") || title.startsWith("Mend all findings"),
      )!;
      assert.equal(all.edit, undefined);
      const resolved = await client.request<CodeAction>("codeAction/resolve", all);
      assert.equal(editsOf(resolved.edit!, uri).length, 2);
      const only = await client.request<CodeAction[]>("textDocument/codeAction", {
        textDocument: { uri },
        range,
        context: { ...context, only: ["refactor"] },
      });
      assert.deepEqual(only, []);
      assert.ok(folder);
    }));

  it("works out a fix of many at once for a client that cannot ask for it later, as plain changes of texts", () =>
    inSession(
      async (client, uri) => {
        const text = visits.replaceAll("mill-flat", "mill-flt").replace("field: long-meadow", "field: mill-flt");
        client.notify("textDocument/didChange", { textDocument: { uri, version: 2 }, contentChanges: [{ text }] });
        const range = { start: at(text, "mill-flt"), end: at(text, "mill-flt") };
        const context = { diagnostics: [] };
        const actions = await client.request<CodeAction[]>("textDocument/codeAction", {
          textDocument: { uri },
          range,
          context,
        });
        const all = actions.find(({ title }) => title.startsWith("Mend all"))!;
        assert.equal(all.edit!.changes![uri]!.length, 2);
      },
      { textDocument: { codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: [] } } } } },
    ));

  it("gives simpler answers to a client that can do nothing: no marks, no symbols within symbols, no actions", () =>
    inSession(
      async (client, uri) => {
        const textDocument = { uri };
        const position = at(visits, "long-meadow", 3);
        const hover = await client.request<Hover>("textDocument/hover", { textDocument, position });
        const { kind, value } = hover.contents as { kind: string; value: string };
        assert.equal(kind, "plaintext");
        assert.doesNotMatch(value, /\*\*|\\|`/);
        assert.match(value, /Long Meadow/);
        const symbols = await client.request<SymbolInformation[]>("textDocument/documentSymbol", { textDocument });
        assert.ok(symbols.some(({ location, containerName }) => location.uri === uri && containerName !== undefined));
        const range = { start: position, end: position };
        const context = { diagnostics: [] };
        assert.deepEqual(await client.request("textDocument/codeAction", { textDocument, range, context }), []);
        assert.ok(await client.request("textDocument/rename", { textDocument, position, newName: "east-meadow" }));
      },
      { textDocument: { hover: { contentFormat: ["plaintext"] } } },
    ));

  it("finds the definition, and gives a plain place to a client without links", async () => {
    await inSession(async (client, uri, folder) => {
      const params = { textDocument: { uri }, position: at(visits, "long-meadow", 1) };
      const [link] = await client.request<LocationLink[]>("textDocument/definition", params);
      assert.equal(link!.targetUri, folder.uri("demo.fields.yaml"));
      assert.equal(textIn(visits, link!.originSelectionRange!), "long-meadow");
      assert.equal(textIn(BOOK["demo.fields.yaml"]!, link!.targetSelectionRange), "long-meadow");
    });
    await inSession(async (client, uri, folder) => {
      const params = { textDocument: { uri }, position: at(visits, "long-meadow", 1) };
      const place = await client.request<Location>("textDocument/definition", params);
      assert.equal(place.uri, folder.uri("demo.fields.yaml"));
    }, {});
  });

  it("finds every use over all files, with the definition or without", () =>
    inSession(async (client, uri) => {
      const params = { textDocument: { uri }, position: at(visits, "long-meadow", 1) };
      const context = { includeDeclaration: true };
      const all = await client.request<Location[]>("textDocument/references", { ...params, context });
      assert.equal(all.length, 4);
      const uses = await client.request<Location[]>("textDocument/references", {
        ...params,
        context: { includeDeclaration: false },
      });
      assert.equal(uses.length, 3);
      const here = await client.request<DocumentHighlight[]>("textDocument/documentHighlight", params);
      assert.deepEqual(
        here.map(({ range }) => textIn(visits, range)),
        ["long-meadow"],
      );
    }));

  it("renames an id over all files, and says why one cannot be", () =>
    inSession(async (client, uri) => {
      const params = { textDocument: { uri }, position: at(visits, "long-meadow", 1) };
      const prepared = await client.request<{ range: Range; placeholder: string }>(
        "textDocument/prepareRename",
        params,
      );
      assert.equal(prepared.placeholder, "long-meadow");
      const edit = await client.request<WorkspaceEdit>("textDocument/rename", { ...params, newName: "east-meadow" });
      const texts = edit.documentChanges!.map((change) => ("edits" in change ? change.edits.length : 0));
      assert.deepEqual(texts, [1, 1, 1, 1]);
      for (const [method, more] of [
        ["textDocument/rename", { newName: "Not An Id" }],
        ["textDocument/rename", { newName: "mill-flat" }],
        ["textDocument/prepareRename", { position: at(visits, "wet") }],
      ] as const) {
        await assert.rejects(
          client.request(method, { ...params, ...more }),
          (error: ServerError) => error.code === -32803 && error.message.length > 10,
        );
      }
    }));

  it("names the records of a file and of all books", () =>
    inSession(async (client, uri) => {
      const symbols = await client.request<DocumentSymbol[]>("textDocument/documentSymbol", { textDocument: { uri } });
      const inside = (outer: Range, inner: Range): boolean => textIn(visits, outer).includes(textIn(visits, inner));
      const check = (list: readonly DocumentSymbol[]): number =>
        list.reduce((sum, { name, range, selectionRange, children = [] }) => {
          assert.ok(name.trim() !== "" && inside(range, selectionRange));
          for (const child of children) assert.ok(inside(range, child.range));
          return sum + 1 + check(children);
        }, 0);
      assert.ok(check(symbols) >= 3);
      const found = await client.request<SymbolInformation[]>("workspace/symbol", { query: "meadow" });
      assert.equal(found[0]!.name.includes("Meadow") || found[0]!.name.includes("meadow"), true);
    }));

  it("folds, selects and links", () =>
    inSession(async (client, uri, folder) => {
      const folds = await client.request<FoldingRange[]>("textDocument/foldingRange", { textDocument: { uri } });
      assert.ok(folds.length > 0 && folds.every(({ startLine, endLine }) => startLine < endLine));
      const [selection] = await client.request<SelectionRange[]>("textDocument/selectionRange", {
        textDocument: { uri },
        positions: [at(visits, "north-gate", 2)],
      });
      const steps: string[] = [];
      for (let one: SelectionRange | undefined = selection; one; one = one.parent)
        steps.push(textIn(visits, one.range));
      assert.ok(steps.includes("north-gate"));
      for (let i = 1; i < steps.length; i++) assert.ok(steps[i]!.includes(steps[i - 1]!));
      const links = await client.request<DocumentLink[]>("textDocument/documentLink", {
        textDocument: { uri: folder.uri("demo.fields.yaml") },
      });
      assert.deepEqual(
        links.map(({ target }) => target),
        [folder.uri("edges/long-meadow.geojson")],
      );
    }));

  it("walks the ways of the soil as a call hierarchy, in both directions", () =>
    inSession(async (client, uri) => {
      const prepare = (field: string): Promise<CallHierarchyItem[]> =>
        client.request("textDocument/prepareCallHierarchy", { textDocument: { uri }, position: at(visits, field, 1) });
      const [meadow] = await prepare("long-meadow");
      const incoming = await client.request<CallHierarchyIncomingCall[]>("callHierarchy/incomingCalls", {
        item: meadow,
      });
      assert.ok(incoming.length > 0, "soil came from Mill Flat");
      const [flat] = await prepare("mill-flat");
      const outgoing = await client.request<CallHierarchyOutgoingCall[]>("callHierarchy/outgoingCalls", { item: flat });
      assert.ok(outgoing.length > 0);
      const further = await client.request<CallHierarchyOutgoingCall[]>("callHierarchy/outgoingCalls", {
        item: outgoing[0]!.to,
      });
      assert.deepEqual(further, [], "nothing went on from there");
    }));

  it("gives colours for all of the text and for a part, within the legend", () =>
    inSession(async (client, uri) => {
      const { legend } = client.session.capabilities.semanticTokensProvider!;
      const { data } = await client.request<SemanticTokens>("textDocument/semanticTokens/full", {
        textDocument: { uri },
      });
      let [line, character] = [0, 0];
      const lines = visits.split("\n");
      for (let i = 0; i < data.length; i += 5) {
        const [down, along, length, type, modifiers] = data.slice(i, i + 5) as [number, number, number, number, number];
        character = down === 0 ? character + along : along;
        line += down;
        assert.ok(length > 0 && character + length <= lines[line]!.length, `line ${line}`);
        assert.ok(type < legend.tokenTypes.length && modifiers < 1 << legend.tokenModifiers.length);
      }
      assert.ok(data.length > 100);
      const range = { start: { line: 1, character: 0 }, end: { line: 3, character: 0 } };
      const part = await client.request<SemanticTokens>("textDocument/semanticTokens/range", {
        textDocument: { uri },
        range,
      });
      assert.ok(part.data.length > 0 && part.data.length < data.length);
    }));

  it("formats the text where the keeper wants that, all of it or a part", () =>
    inSession(async (client, uri) => {
      const untidy = visits.replace("    field: mill-flat", "    field:   mill-flat");
      client.notify("textDocument/didChange", {
        textDocument: { uri, version: 2 },
        contentChanges: [{ text: untidy }],
      });
      const options = { tabSize: 2, insertSpaces: true };
      const edits = await client.request<TextEdit[]>("textDocument/formatting", { textDocument: { uri }, options });
      assert.deepEqual(
        edits.map(({ range }) => textIn(untidy, range)),
        ["  "],
      );
      const range = { start: { line: 9, character: 6 }, end: { line: 9, character: 8 } };
      assert.deepEqual(
        await client.request("textDocument/rangeFormatting", { textDocument: { uri }, range, options }),
        [],
      );
    }));

  it("answers the editor's own commands, and says why one cannot be done", () =>
    inSession(async (client, uri, folder) => {
      const story = await client.request<{ text: string; links: object[] }>("spadework/soilMovement", {
        uri,
        position: at(visits, "long-meadow"),
      });
      assert.match(story.text, /Mill Flat/);
      assert.ok(story.links.length > 0);
      const [season] = await client.request<{ root: string }[]>("spadework/season", {});
      assert.equal(season!.root, folder.uri().replace(/\/$/, ""));
      const visit = await client.request<{ uri: string }>("spadework/newVisit", { uri, field: "mill-flat" });
      assert.equal(visit.uri, folder.uri("november.visits.yaml"));
      assert.ok((await client.request<object[]>("spadework/regions", {})).length > 0);
      for (const params of [{}, null, { uri: 4 }, { uri, field: "no-field" }, { uri: "file:///nowhere.visits.yaml" }])
        await assert.rejects(client.request("spadework/soilMovement", params), ServerError);
    }));

  it("answers for a file of no book with nothing, and does not trip over it", () =>
    inSession(async (client) => {
      const textDocument = { uri: "untitled:Untitled-1" };
      const position = { line: 0, character: 0 };
      const range = { start: position, end: position };
      for (const [method, more, expected] of [
        ["textDocument/codeLens", {}, []],
        ["textDocument/inlayHint", { range }, []],
        ["textDocument/hover", { position }, null],
        ["textDocument/completion", { position }, []],
        ["textDocument/codeAction", { range, context: { diagnostics: [] } }, []],
        ["textDocument/definition", { position }, null],
        ["textDocument/references", { position, context: { includeDeclaration: true } }, []],
        ["textDocument/documentHighlight", { position }, []],
        ["textDocument/prepareRename", { position }, null],
        ["textDocument/rename", { position, newName: "a" }, null],
        ["textDocument/documentSymbol", {}, []],
        ["textDocument/foldingRange", {}, []],
        ["textDocument/selectionRange", { positions: [position] }, []],
        ["textDocument/documentLink", {}, []],
        ["textDocument/prepareCallHierarchy", { position }, null],
        ["textDocument/semanticTokens/full", {}, { data: [] }],
        ["textDocument/formatting", { options: { tabSize: 2, insertSpaces: true } }, []],
      ] as const)
        assert.deepEqual(await client.request(method, { textDocument, ...more }), expected, method);
    }));
});

function editsOf(edit: WorkspaceEdit, uri: string): readonly object[] {
  return (edit.documentChanges ?? []).flatMap((change) =>
    "edits" in change && change.textDocument.uri === uri ? change.edits : [],
  );
}
