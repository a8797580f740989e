import { strict as assert } from "node:assert";
import { ABLE, BOOK, inBook } from "./session-book.ts";
import { TestClient } from "./test-client.ts";

const [CREATED, , DELETED] = [1, 2, 3] as const;
const JULY = "visits:\n  - id: v9\n    field: no-such-field\n";
const files = { ...BOOK, "2026/july.visits.yml": JULY, "2026/Lab.Samples.yaml": "samples:\n", "notes.yml": "a: 1\n" };

/** What was shown to the keeper, in order. */
function shown(client: TestClient): string[] {
  return [...client.heardOf("window/showMessage"), ...client.heardOf("window/showMessageRequest")].map(
    ({ params }) => (params as { message: string }).message,
  );
}

describe("files that their names keep out of the books", () => {
  it("are told of once, in a message", () =>
    inBook(files, async (folder) => {
      const client = await TestClient.inMemory({ folders: [folder.uri()] });
      await client.settled();
      const message =
        "Spadework: 2026/Lab.Samples.yaml is passed over for its name; rename it to lab.samples.yaml; so is 1 more file.";
      assert.deepEqual(shown(client), [message]);
      // The books are looked for anew.
      client.notify("workspace/didChangeWatchedFiles", {
        changes: [{ uri: folder.uri("season.yaml"), type: CREATED }],
      });
      await client.settled();
      assert.deepEqual(shown(client), [message]);
      await client.stop();
    }));

  it("get their right names where the client can rename files and the keeper says so", () =>
    inBook(files, async (folder) => {
      const client = await TestClient.inMemory({ capabilities: ABLE, folders: [folder.uri()], chooses: "Rename" });
      const [{ params }] = await Promise.all([client.next("workspace/applyEdit"), client.settled()]);
      const rename = (from: string, to: string): object => {
        return { kind: "rename", oldUri: folder.uri(`2026/${from}`), newUri: folder.uri(`2026/${to}`) };
      };
      assert.deepEqual((params as { edit: object }).edit, {
        documentChanges: [
          rename("Lab.Samples.yaml", "lab.samples.yaml"),
          rename("july.visits.yml", "july.visits.yaml"),
        ],
      });
      folder.delete("2026/july.visits.yml");
      folder.write("2026/july.visits.yaml", JULY);
      const changes = [
        { uri: folder.uri("2026/july.visits.yml"), type: DELETED },
        { uri: folder.uri("2026/july.visits.yaml"), type: CREATED },
      ];
      client.notify("workspace/didChangeWatchedFiles", { changes });
      await client.settled();
      assert.ok(
        client.published.get(folder.uri("2026/july.visits.yaml"))?.some(({ code }) => code === "structure/unknown-id"),
      );
      assert.equal(shown(client).length, 1);
      await client.stop();
    }));

  it("stay as they are where the keeper chooses nothing", () =>
    inBook(files, async (folder) => {
      const client = await TestClient.inMemory({ capabilities: ABLE, folders: [folder.uri()] });
      await client.settled();
      assert.equal(shown(client).length, 1);
      assert.deepEqual(client.heardOf("workspace/applyEdit"), []);
      await client.stop();
    }));

  it("are told of when they are made while the books are open, and not where there is no book", () =>
    inBook(BOOK, async (folder) => {
      const client = await TestClient.inMemory({ folders: [folder.uri()] });
      await client.settled();
      folder.write("july.visits.yml", JULY);
      client.notify("workspace/didChangeWatchedFiles", {
        changes: [{ uri: folder.uri("july.visits.yml"), type: CREATED }],
      });
      await client.settled();
      assert.deepEqual(shown(client), [
        "Spadework: july.visits.yml is passed over for its name; rename it to july.visits.yaml.",
      ]);
      await client.stop();
    }).then(() =>
      inBook({ "july.visits.yml": JULY }, async (folder) => {
        const client = await TestClient.inMemory({ folders: [folder.uri()] });
        await client.settled();
        assert.deepEqual(shown(client), []);
        await client.stop();
      }),
    ));

  it("are told of where one was to begin a book", () =>
    inBook({ "season.yml": "season: 2026\n" }, async (folder) => {
      const client = await TestClient.inMemory({ folders: [folder.uri()] });
      await client.settled();
      assert.deepEqual(shown(client), ["Spadework: season.yml is passed over for its name; rename it to season.yaml."]);
      await client.stop();
    }));
});
