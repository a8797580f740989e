import { strict as assert } from "node:assert";
import { join } from "node:path";
import { RULES } from "../../server/generated/rules.ts";
import { parseDay } from "../../server/src/base/days.ts";
import { Workspace } from "../../server/src/lsp/workspace.ts";
import { ABLE, BOOK, inBook, type BookFolder } from "./session-book.ts";
import { TestClient, TODAY, type ClientOptions } from "./test-client.ts";

const [CREATED, , DELETED] = [1, 2, 3] as const;
const JULY = "visits:\n  - id: v9\n    field: no-such-field\n";
const files = { ...BOOK, "2026/july.visits.yml": JULY, "2026/Lab.Samples.yaml": "samples:\n", "notes.yml": "a: 1\n" };
const RENAME_BOTH = "Rename all 2";

/** What was shown to the keeper, in order. */
function shown(client: TestClient): string[] {
  return client.heard.flatMap(({ method, params }) =>
    method === "window/showMessage" || method === "window/showMessageRequest"
      ? (params as { message: string }).message
      : [],
  );
}

/** The renamings that the client was asked for, by paths. */
function renames(client: TestClient, folder: BookFolder): [string, string][] {
  return client.heardOf("workspace/applyEdit").flatMap(({ params }) => {
    const { edit } = params as { edit: { documentChanges: { kind: string; oldUri: string; newUri: string }[] } };
    return edit.documentChanges.map(({ kind, oldUri, newUri }): [string, string] => {
      assert.equal(kind, "rename");
      return [oldUri.replace(folder.uri(), ""), newUri.replace(folder.uri(), "")];
    });
  });
}

function watched(client: TestClient, folder: BookFolder, path: string, type: 1 | 2 | 3): void {
  client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri: folder.uri(path), type }] });
}

function inSession(
  written: Readonly<Record<string, string>>,
  options: ClientOptions,
  work: (client: TestClient, folder: BookFolder) => Promise<void> | void,
): Promise<void> {
  return inBook(written, async (folder) => {
    const client = await TestClient.inMemory({ folders: [folder.uri()], ...options });
    await client.settled();
    // What was chosen of a message comes after that, and what comes of it.
    await client.settled();
    await work(client, folder);
    await client.stop();
  });
}

describe("files that their names keep out of the books", () => {
  const message =
    "2026/Lab.Samples.yaml is passed over for its name; rename it to Lab.samples.yaml; so is 1 more file.";

  it("are told of once, in a message", () =>
    inSession(files, {}, async (client, folder) => {
      assert.deepEqual(shown(client), [message]);
      // The books are looked for anew.
      watched(client, folder, "season.yaml", CREATED);
      await client.settled();
      assert.deepEqual(shown(client), [message]);
    }));

  it("are told of once where folders lie in one another", () =>
    inBook(files, async (folder) => {
      const client = await TestClient.inMemory({ folders: [folder.uri(), folder.uri("2026")] });
      await client.settled();
      assert.deepEqual(shown(client), [message.replace("2026/", "")]);
      await client.stop();
    }));

  it("get their right names where the client can rename files and the keeper says so", () =>
    inSession(files, { capabilities: ABLE, chooses: RENAME_BOTH }, async (client, folder) => {
      assert.deepEqual(renames(client, folder), [
        ["/2026/Lab.Samples.yaml", "/2026/Lab.samples.yaml"],
        ["/2026/july.visits.yml", "/2026/july.visits.yaml"],
      ]);
      folder.delete("2026/july.visits.yml");
      folder.write("2026/july.visits.yaml", JULY);
      watched(client, folder, "2026/july.visits.yml", DELETED);
      watched(client, folder, "2026/july.visits.yaml", CREATED);
      await client.settled();
      const found = client.published.get(folder.uri("2026/july.visits.yaml"));
      assert.ok(found?.some(({ code }) => code === "structure/unknown-id"));
      assert.equal(shown(client).length, 1);
    }));

  it("stay as they are where the keeper chooses nothing", () =>
    inSession(files, { capabilities: ABLE }, (client) => {
      assert.equal(shown(client).length, 1);
      assert.deepEqual(client.heardOf("workspace/applyEdit"), []);
    }));

  it("stay as they are where there is a file of the right name, and the keeper hears of it", () =>
    inSession(
      { ...BOOK, "july.visits.yml": JULY, "july.visits.yaml": JULY, "june.visits.yml": JULY, "june.visits.YAML": JULY },
      { capabilities: ABLE, chooses: "Rename all 3" },
      (client, folder) => {
        assert.deepEqual(renames(client, folder), [["/june.visits.YAML", "/june.visits.yaml"]]);
        assert.equal(
          shown(client)[1],
          "july.visits.yml, and 1 more: not renamed, since there is a file of the right name already.",
        );
      },
    ));

  it("are told of in a message where the client refuses to ask", () =>
    inSession(files, { capabilities: ABLE, refuses: ["window/showMessageRequest"] }, (client) => {
      assert.deepEqual(shown(client), [message, message]);
    }));

  it("stay as they are where the client refuses the edit or cannot carry it out, and the keeper hears of it", async () => {
    const renaming = { capabilities: ABLE, chooses: RENAME_BOTH };
    await inSession(files, { ...renaming, refuses: ["workspace/applyEdit"] }, (client) =>
      assert.deepEqual(shown(client), [message, "Renaming failed."]),
    );
    await inSession(files, { ...renaming, appliesNone: "the folder is locked" }, (client) =>
      assert.deepEqual(shown(client), [message, "Renaming failed: the folder is locked."]),
    );
  });

  it("are told of when they are made while a book is open", () =>
    inSession(BOOK, {}, async (client, folder) => {
      folder.write("july.visits.yml", JULY);
      folder.write("node_modules/a/july.visits.yml", JULY);
      for (const path of ["july.visits.yml", "node_modules/a/july.visits.yml", "gone.visits.yml"])
        watched(client, folder, path, CREATED);
      await client.settled();
      assert.deepEqual(shown(client), ["july.visits.yml is passed over for its name; rename it to july.visits.yaml."]);
    }));

  it("come and go without any book being read again", () =>
    inBook(BOOK, async (folder) => {
      const options = { asOf: parseDay(TODAY)!, today: parseDay(TODAY)!, allSeasons: false };
      const workspace = new Workspace({ rules: RULES, optionsOf: () => options });
      await workspace.setFolders([folder.root]);
      const [book] = workspace.books;
      const path = join(folder.root, "july.visits.yml");
      folder.write("july.visits.yml", JULY);
      await workspace.filesChanged([path]);
      assert.deepEqual(workspace.misnamed, [{ path, inFolder: "july.visits.yml" }]);
      folder.delete("july.visits.yml");
      await workspace.filesChanged([path]);
      assert.deepEqual(workspace.misnamed, []);
      assert.equal(workspace.books[0], book);
    }));

  it("are told of where one was to begin a book, and not where there is none", async () => {
    await inSession({ "season.yml": "season: 2026\n" }, {}, (client) => {
      assert.deepEqual(shown(client), ["season.yml is passed over for its name; rename it to season.yaml."]);
    });
    await inSession({ "july.visits.yml": JULY }, {}, (client) => assert.deepEqual(shown(client), []));
  });

  it("make no link in a message, whatever they are called", () => {
    const name = `[Mend it](command:workbench.action.quit)${"x".repeat(150)}.visits.yml`;
    return inSession({ ...BOOK, [name]: JULY }, {}, (client) => {
      const [told] = shown(client);
      assert.ok(told!.includes("Mend it") && told!.length < 420);
      assert.doesNotMatch(told!, /\]\(/);
    });
  });
});
