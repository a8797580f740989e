import { strict as assert } from "node:assert";
import { problemsOf, problemsOfMessage } from "./message-check.ts";
import { protocolModel } from "./protocol-model.ts";

const model = protocolModel();
const start = { line: 0, character: 0 };
const range = { start, end: { line: 0, character: 4 } };
const diagnostic = { range, message: "what is wrong" };

function problems(message: object, answers?: string): string[] {
  return problemsOfMessage({ jsonrpc: "2.0", ...message }, model, answers);
}

function published(...diagnostics: readonly object[]): object {
  return { method: "textDocument/publishDiagnostics", params: { uri: "file:///a.visits.yaml", diagnostics } };
}

describe("the check of the server's messages", () => {
  it("knows the requests and notifications of the protocol", () => {
    assert.ok(model.requests.size > 60 && model.notifications.size > 20);
    for (const method of ["textDocument/hover", "workspace/diagnostic", "textDocument/semanticTokens/full/delta"])
      assert.ok(model.requests.has(method), method);
    assert.ok(model.notifications.has("textDocument/publishDiagnostics"));
  });

  it("says nothing of sound messages", () => {
    assert.deepEqual(
      problems(published({ ...diagnostic, severity: 2, code: "a/b", codeDescription: { href: "file:///a%20b.md" } })),
      [],
    );
    assert.deepEqual(problems({ id: 1, result: null }, "textDocument/hover"), []);
    assert.deepEqual(
      problems({ id: 1, result: { contents: { kind: "markdown", value: "" }, range } }, "textDocument/hover"),
      [],
    );
    assert.deepEqual(problems({ id: 1, result: { data: [0, 1, 2, 3, 0] } }, "textDocument/semanticTokens/full"), []);
    assert.deepEqual(problems({ id: 1, error: { code: -32601, message: "no such method" } }, "textDocument/hover"), []);
    assert.deepEqual(problems({ id: 1, result: null }, "shutdown"), []);
    assert.deepEqual(problems({ method: "$/progress", params: { token: "a", value: { kind: "end" } } }), []);
    assert.deepEqual(
      problems({ id: 1, result: { changes: { "file:///a": [{ range, newText: "" }] } } }, "textDocument/rename"),
      [],
    );
    assert.deepEqual(problems({ id: 1, result: "anything" }, "spadework/season"), [], "a request of the server's own");
  });

  const watchers = [{ globPattern: "**/season.yaml", kind: 9 }];
  const registration = { id: "1", method: "workspace/didChangeWatchedFiles", registerOptions: { watchers } };
  const wrong: readonly (readonly [string, object, RegExp, string?])[] = [
    ["a property that is missing", published({ message: "" }), /diagnostics\[0\]\.range: is missing from Diagnostic/],
    [
      "a property that there is not",
      published({ ...diagnostic, colour: 1 }),
      /\.colour: Diagnostic has no such property/,
    ],
    [
      "a property deep down that there is not",
      published({ ...diagnostic, range: { ...range, x: 1 } }),
      /\.range\.x: Range has/,
    ],
    ["a number outside a closed list", published({ ...diagnostic, severity: 5 }), /\.severity: 5 is none of 4 types/],
    [
      "a number below zero",
      published({ ...diagnostic, range: { start: { line: -1, character: 0 }, end: start } }),
      /\.line: -1 is no uinteger/,
    ],
    [
      "half a line",
      published({ ...diagnostic, range: { start: { line: 0.5, character: 0 }, end: start } }),
      /0\.5 is no uinteger/,
    ],
    [
      "a path for a URI",
      { method: "textDocument/publishDiagnostics", params: { uri: "/a b", diagnostics: [] } },
      /no DocumentUri/,
    ],
    ["a space in a URI", published({ ...diagnostic, codeDescription: { href: "file:///a b" } }), /no URI/],
    [
      "null for a list",
      { method: "textDocument/publishDiagnostics", params: { uri: "file:///a", diagnostics: null } },
      /null is no list/,
    ],
    ["null for what may be left out", published({ ...diagnostic, source: null }), /\.source: null is no string/],
    [
      "a result of no kind that is expected",
      { id: 1, result: [{ uri: "file:///a" }] },
      /definition result/,
      "textDocument/definition",
    ],
    [
      "a text for a mark-up",
      { id: 1, result: { contents: { kind: "html", value: "" } } },
      /none of/,
      "textDocument/hover",
    ],
    [
      "a value of a map",
      { id: 1, result: { changes: { "file:///a": [{ newText: "" }] } } },
      /\.range: is missing/,
      "textDocument/rename",
    ],
    [
      "a path for a file's URI in a map",
      { id: 1, result: { changes: { "/a b": [] } } },
      /name in .*no DocumentUri/,
      "textDocument/rename",
    ],
    ["a tuple that is too short", { id: 1, result: [{ label: [1] }] }, /none of|label/, "textDocument/signatureHelp"],
    ["a result where there is to be none", { id: 1, result: true }, /shutdown result: true is no null/, "shutdown"],
    [
      "both a result and an error",
      { id: 1, result: null, error: { code: 1, message: "" } },
      /a result and an error/,
      "shutdown",
    ],
    ["neither of them", { id: 1 }, /neither/, "textDocument/hover"],
    ["an error without a message", { id: 1, error: { code: 1 } }, /error\.message: is missing/, "textDocument/hover"],
    ["an answer to nothing", { id: 7, result: null }, /answers no request/],
    ["a request that there is not", { id: 1, method: "workspace/applyEdits", params: {} }, /there is no request/],
    ["a notification that there is not", { method: "workspace/applyEdit", params: {} }, /there is no notification/],
    [
      "params where there are to be none",
      { id: 1, method: "workspace/codeLens/refresh", params: {} },
      /takes no params/,
    ],
    ["more than belongs in a message", { id: 1, method: "workspace/codeLens/refresh", extra: 1 }, /message\.extra/],
    [
      "options of a registration",
      {
        id: 1,
        method: "client/registerCapability",
        params: { registrations: [{ ...registration, registerOptions: { watchers: [{ kind: 1 }] } }] },
      },
      /registration of .*globPattern: is missing/,
    ],
  ];
  for (const [what, message, expected, answers] of wrong)
    it(`tells of ${what}`, () => {
      assert.match(problems(message, answers).join("\n"), expected);
    });

  it("tells of another version of JSON-RPC, and of what is no object", () => {
    assert.match(problemsOfMessage({ jsonrpc: "1.0", id: 1, result: null }, model, "shutdown").join(), /jsonrpc/);
    assert.equal(problemsOfMessage([], model, undefined).length, 1);
  });

  it("lets a list of its own hold words that the protocol leaves open", () => {
    assert.deepEqual(problemsOf("source.fixAll.spadework", model.typeNamed("CodeActionKind"), "kind"), []);
    assert.equal(problemsOf(27, model.typeNamed("SymbolKind"), "kind").length > 0, true);
  });
});
