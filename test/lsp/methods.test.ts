import { strict as assert } from "node:assert";
import { readdirSync, readFileSync } from "node:fs";
import { BOOK, inBook, ABLE, PULLING } from "./session-book.ts";
import { protocolModel } from "./protocol-model.ts";
import { TestClient, type ServerError } from "./test-client.ts";

const METHOD_NOT_FOUND = -32601;
/** Answered, though it is not declared, by the library that keeps the texts of open files. */
const OF_THE_LIBRARY = "textDocument/willSaveWaitUntil";

/** The rows of the table whose first column is headed so: the methods it names, and what stands in the second column. */
function rowsUnder(heading: string): readonly { readonly methods: readonly string[]; readonly second: string }[] {
  const page = readFileSync(new URL("../../DEVELOPERS.md", import.meta.url), "utf8");
  const lines = page.split("\n");
  const start = lines.findIndex((line) => line.startsWith(`| ${heading} |`)) + 2;
  assert.ok(start > 2, `there is no table of what is ${heading}`);
  const end = lines.findIndex((line, i) => i > start && !line.startsWith("|"));
  return lines.slice(start, end).map((line) => {
    const [, first = "", second = ""] = line.split(" | ").join("|").split("|");
    return { methods: [...first.matchAll(/`([^`]+)`/g)].map(([, name]) => name!), second: second.trim() };
  });
}

function methodsUnder(heading: string): string[] {
  return rowsUnder(heading).flatMap(({ methods }) => methods);
}

/** What is asked beyond the protocol, as the source registers it: no client can find out by asking. */
function ownMethods(): string[] {
  const folder = new URL("../../server/src/lsp/", import.meta.url);
  const source = readdirSync(folder).map((name) => readFileSync(new URL(name, folder), "utf8"));
  return [...source.join("\n").matchAll(/onRequest\("(spadework\/\w+)"/g)].map(([, method]) => method!);
}

describe("the table of the language server's methods", () => {
  it("names every request that the server answers, and no other", async () => {
    const client = await TestClient.inMemory({ capabilities: PULLING });
    const named = methodsUnder("asked by the client");
    const answered: string[] = [];
    const asked = [...protocolModel().requests.keys(), ...ownMethods()];
    for (const method of asked.filter((one) => one !== "initialize" && one !== "shutdown")) {
      const code = await client.startAsIs(method, {}).answer.then(
        () => 0,
        (error: ServerError) => error.code,
      );
      if (code !== METHOD_NOT_FOUND) answered.push(method);
    }
    await client.request("shutdown");
    const expected = ["initialize", "shutdown", ...answered.filter((method) => method !== OF_THE_LIBRARY)];
    assert.deepEqual([...named].sort(), expected.sort());
    assert.equal(new Set(named).size, named.length);
  });

  it("names every capability that the server declares, each beside its method", async () => {
    const client = await TestClient.inMemory({ capabilities: PULLING });
    const { capabilities } = client.session;
    const declared = rowsUnder("asked by the client").flatMap(({ second }) => /`(.+)`/.exec(second)?.[1] ?? []);
    for (const path of declared) {
      const value = path
        .split(".")
        .reduce<unknown>((part, key) => (part as Record<string, unknown> | undefined)?.[key], capabilities);
      assert.ok(value, `${path} is not declared`);
    }
    const providers = Object.keys(capabilities).filter((key) => key.endsWith("Provider"));
    assert.deepEqual([...new Set(declared.map((path) => path.split(".")[0]))].sort(), providers.sort());
    const parts = Object.entries(capabilities).flatMap(([key, value]) =>
      Object.entries(value as object).flatMap(([part, on]) => (on === true ? `${key}.${part}` : [])),
    );
    // These say how findings and texts are exchanged, and are no methods of their own.
    const manners = ["textDocumentSync.openClose", "diagnosticProvider.interFileDependencies"];
    assert.deepEqual(
      parts.filter((part) => !manners.includes(part) && !declared.includes(part)),
      [],
    );
    await client.stop();
  });

  it("names every message that the server sends of itself", () =>
    inBook({ ...BOOK, "july.visits.yml": "visits:\n" }, async (folder) => {
      const sent = new Set<string>();
      for (const capabilities of [{}, ABLE, PULLING]) {
        const client = await TestClient.inMemory({ capabilities, folders: [folder.uri()], chooses: "Rename" });
        await client.settled();
        folder.open(client, "august.visits.yaml", "visits:\n");
        await client.settled();
        for (const { method } of client.heard) if (method !== undefined) sent.add(method);
        await client.stop();
      }
      // Nothing has failed here.
      const named = methodsUnder("sent by the server").filter((method) => method !== "window/logMessage");
      assert.deepEqual([...sent].sort(), named.sort());
    }));

  it("names notifications that there are", () => {
    const known = new Set([...protocolModel().notifications.keys(), "$/cancelRequest"]);
    for (const method of methodsUnder("told by the client")) assert.ok(known.has(method), method);
  });
});
