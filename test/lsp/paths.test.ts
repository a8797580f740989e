import { strict as assert } from "node:assert";
import { pathOfUri, pathWithin, uriOfPath } from "../../server/src/lsp/paths.ts";
import { BOOK } from "./session-book.ts";
import { TestClient } from "./test-client.ts";

describe("paths and URIs", () => {
  it("call a file by the same path however its client writes the drive, and give a URI back", () => {
    const paths = [
      "file:///c%3A/Users/mo/book/a.visits.yaml",
      "file:///C:/Users/mo/book/a.visits.yaml",
      "file:///c:/Users/mo/book/a.visits.yaml",
    ].map(pathOfUri);
    assert.equal(new Set(paths).size, 1);
    assert.match(paths[0]!, /^c:[/\\]Users[/\\]mo[/\\]book[/\\]a\.visits\.yaml$/);
    assert.equal(uriOfPath(paths[0]!), "file:///c%3A/Users/mo/book/a.visits.yaml");
  });

  it("find what lies within a folder, and nothing else", () => {
    const [book, file] = ["file:///c%3A/Users/mo/book", "file:///c%3A/Users/mo/book/2026/a.visits.yaml"].map((uri) =>
      pathOfUri(uri)!,
    );
    assert.equal(pathWithin(book!, file!), "2026/a.visits.yaml");
    assert.equal(pathWithin(book!, book!), "");
    for (const other of [
      "file:///c%3A/Users/mo/book-two/a.visits.yaml",
      "file:///d%3A/Users/mo/book/a.visits.yaml",
      "file:///c%3A/Users/mo",
    ])
      assert.equal(pathWithin(book!, pathOfUri(other)!), undefined, other);
    assert.equal(pathWithin("/records", "/records/..notes/a.visits.yaml"), "..notes/a.visits.yaml");
  });

  it("keep spaces, percent signs and letters beyond ASCII", () => {
    for (const path of ["/tmp/a b/100 %/füllen#1.visits.yaml", "/tmp/🌱/a+b.visits.yaml"])
      assert.equal(pathOfUri(uriOfPath(path)), path);
  });

  it("know only files", () => {
    for (const uri of [
      "untitled:Untitled-1",
      "git:/a/b.visits.yaml",
      "http://example.test/a.visits.yaml",
      "",
      "nothing",
      "__proto__",
    ])
      assert.equal(pathOfUri(uri), undefined, uri);
  });

  it("let a book be edited whose client writes Windows' URIs as it likes", async () => {
    const [folder, asOpened] = ["file:///C:/Users/mo/book", "file:///c%3A/Users/mo/book"];
    const client = await TestClient.inMemory({ folders: [folder] });
    for (const [path, text] of Object.entries(BOOK))
      client.notify("textDocument/didOpen", {
        textDocument: { uri: `${asOpened}/${path}`, languageId: "season-records", version: 1, text },
      });
    await client.settled();
    assert.ok(client.published.get(`${asOpened}/august.visits.yaml`)!.length > 0);
    assert.ok([...client.published.keys()].every((uri) => uri.startsWith(asOpened)));
    await client.stop();
  });
});
