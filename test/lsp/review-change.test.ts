import { strict as assert } from "node:assert";
import { execFileSync } from "node:child_process";
import { rmSync } from "node:fs";
import { join } from "node:path";
import type { Location, Range } from "vscode-languageserver";
import { spadework } from "../support/command-line.ts";
import { git } from "../support/repository.ts";
import { ABLE, BOOK, inBook, textIn, type BookFolder } from "./session-book.ts";
import { ServerError, TestClient } from "./test-client.ts";

interface Review {
  root: string;
  text: string;
  links: { range: Range; target: Location }[];
}

const VISITS = "august.visits.yaml";
const visits = BOOK[VISITS]!;

function commitAll({ root }: BookFolder): void {
  git(root, "init", "-q");
  git(root, "add", "-A");
  git(root, "commit", "-q", "-m", "Records");
}

/** A session on the files, all committed unless told otherwise. */
function inSession(
  work: (client: TestClient, folder: BookFolder, review: (path?: string) => Promise<Review>) => Promise<void>,
  files = BOOK,
  before = commitAll,
): Promise<void> {
  return inBook(files, async (folder) => {
    before(folder);
    const client = await TestClient.inMemory({ capabilities: ABLE, folders: [folder.uri()] });
    await work(client, folder, (path = "") => client.request("spadework/reviewChange", { uri: folder.uri(path) }));
    await client.stop();
  });
}

async function refusal(asked: Promise<unknown>): Promise<string> {
  const error: unknown = await asked.then(
    () => undefined,
    (reason: unknown) => reason,
  );
  assert.ok(error instanceof ServerError, String(error));
  return error.message;
}

describe("the review of what is not committed", () => {
  it("tells what diff tells of the same folder, and writes nothing", () =>
    inSession(async (_client, folder, review) => {
      const nothing = await review();
      assert.match(nothing.text, /^Nothing changes from HEAD to the working tree, as of 2026-11-25; /);
      assert.deepEqual(nothing.links, []);
      folder.write(VISITS, visits.replace("field: long-meadow", "field: long-medow"));
      folder.write(
        "lab.samples.yaml",
        BOOK["lab.samples.yaml"]!.replace(" }\n", ", result: { reported: 2026-09-01, finding: detected } }\n"),
      );
      folder.delete("august.cleanings.yaml");
      _client.notify("workspace/didChangeWatchedFiles", {
        changes: [VISITS, "lab.samples.yaml", "august.cleanings.yaml"].map((path) => ({
          uri: folder.uri(path),
          type: 2,
        })),
      });
      const indexed = git(folder.root, "status", "--porcelain");
      const { text, root } = await review(VISITS);
      assert.equal(text, (await spadework(["diff", "HEAD", folder.root])).out);
      assert.match(text, /Long Meadow: suspected → confirmed/);
      assert.match(text, /^New: \d/m);
      assert.equal(root, folder.uri());
      assert.equal(git(folder.root, "status", "--porcelain"), indexed);
    }));

  it("counts what is not saved, follows each edit, and leads to the places of now alone", () =>
    inSession(async (client, folder, review) => {
      const uri = folder.open(client, VISITS, visits);
      const edited = `# a line more\n${visits.replace("field: long-meadow", "field: long-medow")}`;
      const change = (text: string, version: number): void =>
        client.notify("textDocument/didChange", { textDocument: { uri, version }, contentChanges: [{ text }] });
      change(edited, 2);
      const { text, links } = await review(VISITS);
      const told = links.map(({ range, target }) => [textIn(text, range), target.uri, textIn(edited, target.range)]);
      assert.deepEqual(
        told.find(([words]) => words!.startsWith(`${VISITS}:11:`)),
        [`${VISITS}:11:41`, uri, "long-medow"],
      );
      assert.ok(
        told.some(([words, target]) => words === "demo.fields.yaml:2" && target === folder.uri("demo.fields.yaml")),
      );
      // What is gone has no place to go to.
      const gone = text.split("\n").findIndex((line) => line.startsWith("Gone: "));
      assert.ok(gone > 0 && links.every(({ range }) => range.start.line < gone));
      change(visits, 3);
      assert.match((await review()).text, /^Nothing changes/);
    }));

  it("leads to the accept comments that are new", () =>
    inSession(async (client, folder, review) => {
      const edited = visits.replace("  - id: v1\n", "  - id: v1 # accept entry/wet-ground: frozen hard\n");
      const uri = folder.open(client, VISITS, edited);
      const { text, links } = await review();
      assert.match(text, /^New accept comments\n {2}august\.visits\.yaml:2 entry\/wet-ground: frozen hard$/m);
      const [link] = links.filter(({ range }) => textIn(text, range) === `${VISITS}:2`);
      assert.deepEqual([link?.target.uri, link?.target.range.start.line], [uri, 1]);
    }));

  it("knows when something was committed", () =>
    inSession(async (client, folder, review) => {
      const wet = visits.replace("purpose: soil work", "purpose: soil work\n    ground: wet");
      folder.open(client, VISITS, wet);
      assert.match((await review()).text, /entry\/wet-ground/);
      folder.write(VISITS, wet);
      git(folder.root, "commit", "-q", "-a", "-m", "Wet");
      assert.match((await review()).text, /^Nothing changes/);
    }));

  it("looks at the book asked about, of several in one repository", () => {
    const twice = ["east", "west"].flatMap((name) =>
      Object.entries(BOOK).map(([path, text]) => [`${name}/${path}`, text]),
    );
    return inSession(
      async (client, folder, review) => {
        folder.open(client, `west/${VISITS}`, visits.replace("field: long-meadow", "field: long-medow"));
        assert.match((await review("east")).text, /^Nothing changes/);
        assert.match((await review(`east/${VISITS}`)).text, /^Nothing changes/);
        const west = await review("west");
        assert.match(west.text, /^ {2}august\.visits\.yaml:10:\d+ error structure\/unknown-id$/m);
        assert.equal(west.root, folder.uri("west"));
        assert.ok(west.links.some(({ target }) => target.uri === folder.uri(`west/${VISITS}`)));
        assert.match(await refusal(review()), /belongs to no record book/);
      },
      Object.fromEntries(twice) as Record<string, string>,
    );
  });

  it("says in a sentence why there is nothing to compare with", async () => {
    await inSession(
      async (_client, folder, review) => {
        assert.match(
          await refusal(review()),
          /^\S.* lies in no git repository, so there is no earlier revision to compare with\.$/,
        );
        git(folder.root, "init", "-q");
        assert.match(await refusal(review()), /^There is no commit in this repository yet/);
        const path = process.env.PATH;
        process.env.PATH = join(folder.root, "nowhere");
        try {
          assert.match(await refusal(review()), /^Git is not installed/);
        } finally {
          process.env.PATH = path;
        }
      },
      BOOK,
      () => undefined,
    );
  });

  it("runs nothing that a repository's own settings name", () =>
    inSession(async (client, folder, review) => {
      const trap = `touch "${join(folder.root, "sprung")}"; false`;
      for (const [name, value] of [
        ["core.fsmonitor", trap],
        ["core.pager", trap],
        ["core.sshCommand", trap],
        ["core.hooksPath", folder.root],
        ["alias.ls-tree", `!${trap}`],
        ["alias.rev-parse", `!${trap}`],
        ["filter.own.smudge", trap],
        ["diff.external", trap],
        ["core.repositoryFormatVersion", "1"],
        ["extensions.partialClone", "origin"],
        ["remote.origin.url", "ssh://localhost/nowhere"],
        ["remote.origin.promisor", "true"],
      ] as const)
        git(folder.root, "config", name, value);
      folder.write(".gitattributes", "* filter=own diff=own\n");
      folder.open(client, VISITS, `${visits}# more\n`);
      assert.match((await review()).text, /^Nothing changes/);
      // A file that the clone lacks: git itself would fetch it from the repository that the settings name, by their program.
      git(folder.root, "commit", "-q", "--allow-empty", "-m", "More");
      const blob = git(folder.root, "rev-parse", `HEAD:${VISITS}`).trim();
      rmSync(join(folder.root, ".git/objects", blob.slice(0, 2), blob.slice(2)));
      rmSync(join(folder.root, "sprung"), { force: true });
      assert.match(await refusal(review()), /^This clone lacks files of /);
      assert.throws(() => execFileSync("ls", [join(folder.root, "sprung")], { stdio: "ignore" }));
    }));
});
