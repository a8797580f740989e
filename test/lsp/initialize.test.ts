import { strict as assert } from "node:assert";
import type { ClientCapabilities, CodeLens, Diagnostic } from "vscode-languageserver";
import { ABLE, at, BOOK, inBook, PULLING } from "./session-book.ts";
import { TestClient } from "./test-client.ts";

const VISITS = "august.visits.yaml";

function registered(client: TestClient): string[] {
  return client
    .heardOf("client/registerCapability")
    .flatMap(({ params }) => (params as { registrations: { method: string }[] }).registrations)
    .map(({ method }) => method)
    .sort();
}

const MIDDLING: ClientCapabilities = {
  workspace: { configuration: true, codeLens: { refreshSupport: true } },
  textDocument: { publishDiagnostics: {} },
};

describe("a session of the language server", () => {
  for (const [what, capabilities] of [
    ["can do nothing", {}],
    ["can do some things", MIDDLING],
    ["can do all", ABLE],
  ] as const)
    it(`pushes the findings of all files to a client that ${what}, and of it asks nothing that it cannot do`, () =>
      inBook(BOOK, async (folder) => {
        const client = await TestClient.inMemory({ capabilities, folders: [folder.uri()] });
        assert.equal(client.session.capabilities.diagnosticProvider, undefined);
        assert.ok([undefined, "utf-16"].includes(client.session.capabilities.positionEncoding));
        await client.settled();
        for (const file of [VISITS, "august.cleanings.yaml", "demo.fields.yaml"])
          assert.ok(client.published.get(folder.uri(file))!.length > 0, file);
        const all = [...client.published.values()].flat();
        assert.equal(
          all.some(({ relatedInformation }) => relatedInformation !== undefined),
          capabilities === ABLE,
        );
        assert.equal(
          all.some(({ codeDescription }) => codeDescription !== undefined),
          capabilities === ABLE,
        );
        await client.stop();
      }));

  it("works over the standard streams of a process of its own, to the end", () =>
    inBook(BOOK, async (folder) => {
      const client = await TestClient.overStdio({ capabilities: ABLE, folders: [folder.uri()] });
      assert.equal(client.session.serverInfo?.name, "spadework");
      await client.settled();
      const uri = folder.open(client, VISITS, BOOK[VISITS]!.replace("field: mill-flat", "field: mill-flt"));
      await client.settled();
      assert.ok(client.published.get(uri)!.some(({ code }) => code === "structure/unknown-id"));
      const lenses = await client.request<CodeLens[]>("textDocument/codeLens", { textDocument: { uri } });
      assert.ok(lenses.length > 0);
      await client.stop();
    }));

  it("tells of its progress while it reads for the first time", () =>
    inBook(BOOK, async (folder) => {
      const client = await TestClient.inMemory({ capabilities: ABLE, folders: [folder.uri()] });
      await client.settled();
      const [create] = client.heardOf("window/workDoneProgress/create");
      const { token } = create!["params"] as { token: string };
      const steps = client
        .heardOf("$/progress")
        .map(({ params }) => params as { token: string; value: { kind: string } });
      assert.ok(steps.every((step) => step.token === token));
      const kinds = steps.map(({ value }) => value.kind);
      assert.deepEqual([kinds[0], kinds.at(-1)], ["begin", "end"]);
      assert.ok(kinds.slice(1, -1).length > 0 && kinds.slice(1, -1).every((kind) => kind === "report"));
      await client.stop();
    }));

  it("asks to be told of files and settings where a client can do that", () =>
    inBook(BOOK, async (folder) => {
      const client = await TestClient.inMemory({ capabilities: ABLE, folders: [folder.uri()] });
      await client.settled();
      assert.deepEqual(registered(client), ["workspace/didChangeConfiguration", "workspace/didChangeWatchedFiles"]);
      await client.stop();
    }));

  it("takes a single root folder where a client knows no others, and none at all", async () => {
    await inBook(BOOK, async (folder) => {
      const client = await TestClient.inMemory({ folders: [folder.uri()], onlyRoot: true });
      await client.settled();
      assert.ok(client.published.size > 0);
      await client.stop();
    });
    const client = await TestClient.inMemory({});
    await client.settled();
    assert.equal(client.published.size, 0);
    await client.stop();
  });

  it("leaves an answer unworked that a client does not want any more", () =>
    inBook(BOOK, async (folder) => {
      const client = await TestClient.inMemory({ folders: [folder.uri()] });
      const uri = folder.uri(VISITS);
      const position = at(BOOK[VISITS]!, "long-meadow");
      // While the books are read for the first time, both have to wait.
      const hover = client.start("textDocument/hover", { textDocument: { uri }, position });
      const symbols = client.start("workspace/symbol", { query: "" });
      const kept = client.start("textDocument/hover", { textDocument: { uri }, position });
      for (const { id } of [hover, symbols]) client.notify("$/cancelRequest", { id });
      const isCancelled = (error: { code: number }): boolean => error.code === -32800;
      await Promise.all([hover, symbols].map(({ answer }) => assert.rejects(answer, isCancelled)));
      assert.ok(await kept.answer);
      await client.stop();
    }));

  it("answers a client that pulls, with result ids and with no more than has changed", () =>
    inBook(BOOK, async (folder) => {
      const client = await TestClient.inMemory({ capabilities: PULLING, folders: [folder.uri()] });
      assert.equal(client.session.capabilities.diagnosticProvider?.workspaceDiagnostics, true);
      type Report = { kind: string; resultId: string; items?: Diagnostic[]; uri: string; version: number | null };
      const uri = folder.uri(VISITS);
      const pull = (previousResultId?: string): Promise<Report> =>
        client.request("textDocument/diagnostic", {
          textDocument: { uri },
          ...(previousResultId !== undefined && { previousResultId }),
        });
      const pullAll = async (known: readonly { uri: string; value: string }[]): Promise<Report[]> => {
        const { items } = await client.request<{ items: Report[] }>("workspace/diagnostic", {
          previousResultIds: known,
        });
        return items;
      };
      const first = await pull();
      assert.ok(first.items!.length > 0);
      assert.ok(
        first.items!.some(({ relatedInformation }) => relatedInformation),
        "related places, as for pushing",
      );
      assert.deepEqual(await pull(first.resultId), { kind: "unchanged", resultId: first.resultId });
      const all = await pullAll([]);
      assert.equal(all.length, 7);
      const known = all.map((report) => ({ uri: report.uri, value: report.resultId }));
      assert.ok((await pullAll(known)).every(({ kind }) => kind === "unchanged"));

      folder.open(client, VISITS, BOOK[VISITS]!.replace("ground: wet", "ground: dry"), 5);
      await client.settled();
      const second = await pull(first.resultId);
      assert.equal(second.kind, "full");
      assert.equal(second.items!.length, first.items!.length - 1);
      const changed = (await pullAll(known)).filter(({ kind }) => kind === "full");
      assert.deepEqual(
        changed.map((report) => [report.uri, report.version]),
        [[uri, 5]],
      );
      // Findings of a file that is gone are taken back.
      folder.delete("august.cleanings.yaml");
      const gone = folder.uri("august.cleanings.yaml");
      client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri: gone, type: 3 }] });
      const after = await pullAll(known);
      assert.deepEqual(after.find((report) => report.uri === gone)?.items, []);
      assert.ok(client.heardOf("workspace/diagnostic/refresh").length > 0);
      assert.deepEqual(client.heardOf("textDocument/publishDiagnostics"), []);
      await client.stop();
    }));

  it("pushes to a client that could pull where that is asked for", () =>
    inBook(BOOK, async (folder) => {
      const initializationOptions = { diagnostics: "push" };
      const client = await TestClient.inMemory({
        capabilities: PULLING,
        folders: [folder.uri()],
        initializationOptions,
      });
      await client.settled();
      assert.equal(client.session.capabilities.diagnosticProvider, undefined);
      assert.ok(client.published.size > 0);
      await client.stop();
    }));

  it("makes what was due yesterday overdue when midnight has passed", () =>
    inBook(BOOK, async (folder) => {
      let today = 20_685; // 2026-08-20
      const client = await TestClient.inMemory({ folders: [folder.uri()] }, { today: () => today });
      await client.settled();
      const codes = (): unknown[] =>
        (client.published.get(folder.uri("lab.samples.yaml")) ?? []).map(({ code }) => code);
      assert.deepEqual(codes(), []);
      today += 60;
      folder.open(client, VISITS, BOOK[VISITS]!);
      await client.settled();
      assert.deepEqual(codes(), ["sample/overdue"]);
      await client.stop();
    }));
});
