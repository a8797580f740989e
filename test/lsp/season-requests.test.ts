import { strict as assert } from "node:assert";
import type { Location } from "vscode-languageserver";
import { BOOK, inBook, type BookFolder } from "./session-book.ts";
import { TestClient, type ServerError } from "./test-client.ts";

interface Picture {
  readonly title: string;
  readonly html: string;
  readonly style: string;
  readonly replay: {
    readonly first: number;
    readonly last: number;
    readonly events: readonly { readonly words: string }[];
  };
}

interface List {
  readonly root: string;
  readonly season: number;
  readonly asOf: string;
  readonly fields: readonly Readonly<Record<string, unknown>>[];
}

async function inSession(
  work: (client: TestClient, folder: BookFolder) => Promise<void>,
  files: Readonly<Record<string, string>> = BOOK,
): Promise<void> {
  await inBook(files, async (folder) => {
    const client = await TestClient.inMemory({ folders: [folder.uri()] });
    await client.settled();
    await work(client, folder);
    await client.stop();
  });
}

describe("the season's picture and list of fields, asked of the language server", () => {
  it("draws a book with the outline that a file holds, and what is not saved counts", () =>
    inSession(async (client, folder) => {
      const params = { uri: folder.uri("season.yaml") };
      const before = (await client.request("spadework/seasonPicture", params)) as Picture;
      assert.equal(before.title, "Season 2026");
      assert.match(before.html, /<path class="outline" d="M/);
      assert.match(before.html, /Not drawn, for neither an outline nor an entrance is recorded: Mill Flat\./);
      assert.match(
        before.html,
        /dig-kit from Mill Flat to Long Meadow, 14 Aug; nothing cleaned in between, all of the soil left/,
      );
      assert.ok(before.replay.events.some(({ words }) => words.startsWith("soil 1: dig-kit from Mill Flat")));
      assert.ok(before.replay.first <= before.replay.last);
      folder.open(client, "demo.fields.yaml", BOOK["demo.fields.yaml"]!.replace("Long Meadow", "Short Meadow"));
      const after = (await client.request("spadework/seasonPicture", params)) as Picture;
      assert.match(after.html, /Short Meadow/);
      assert.equal(after.style, before.style);
    }));

  it("lists fields with their status, why, and what to do", () =>
    inSession(async (client, folder) => {
      const [list, ...more] = (await client.request("spadework/fieldList", {})) as List[];
      assert.deepEqual(more, []);
      assert.equal(list!.root, folder.uri());
      assert.equal(list!.season, 2026);
      const [first, second] = list!.fields;
      assert.deepEqual(
        { ...first, place: undefined },
        {
          id: "mill-flat",
          name: "Mill Flat",
          status: "confirmed",
          why: "since 2 Sep 2023, by the field's own record",
          next: "go there last, and clean down in full whatever has been on it before it leaves",
          place: undefined,
        },
      );
      assert.deepEqual(first!.place, {
        uri: folder.uri("demo.fields.yaml"),
        range: { start: { line: 6, character: 8 }, end: { line: 6, character: 17 } },
      });
      assert.deepEqual([second!.id, second!.grower, second!.status], ["long-meadow", "Demo Farm", "suspected"]);
      assert.equal(second!.next, "ask Plains Plant Diagnostics for the result of sample s1");
    }));

  it("tells where the record of each mark stands", () =>
    inSession(async (client, folder) => {
      const params = { uri: folder.uri("season.yaml") };
      const { html } = (await client.request("spadework/seasonPicture", params)) as Picture;
      const opened = [
        ...new Set([...html.matchAll(/data-open="([^"]+)"/g)].map(([, open]) => open!.replaceAll("&quot;", '"'))),
      ];
      const kinds = new Set(opened.map((open) => (JSON.parse(open) as string[])[0]));
      assert.deepEqual([...kinds].sort(), ["cleanings", "fields", "visits"]);
      for (const open of opened) {
        const record = JSON.parse(open) as unknown[];
        const place = (await client.request("spadework/recordPlace", { ...params, record })) as Location;
        assert.ok(place.uri.startsWith(folder.uri()), open);
      }
      const dig = await client.request("spadework/recordPlace", { ...params, record: ["visits", "v2", "digs", 0] });
      assert.equal((dig as Location).range.start.line, 9);
    }));

  it("answers what makes no sense with a sentence", () =>
    inSession(async (client, folder) => {
      const uri = folder.uri("season.yaml");
      const complaint = async (method: string, params: unknown): Promise<string> =>
        client.request(method, params).then(
          () => "",
          (error: ServerError) => error.message,
        );
      for (const params of [{}, { uri: 7 }, { uri: "file:///elsewhere/season.yaml" }])
        for (const method of ["spadework/seasonPicture", "spadework/recordPlace"])
          assert.match(await complaint(method, params), /belongs to no record book/);
      for (const record of [undefined, [], ["visits"], ["visits", "gone"], ["season", ""], ["__proto__", "x"], [1, 2]])
        assert.match(await complaint("spadework/recordPlace", { uri, record }), /not there any more/);
    }));

  it("lets nothing of a hostile book become markup", () => {
    const evil = JSON.stringify(`</title><script>alert(1)</script><img src=x onerror=alert(1)>"'\u202e`);
    const files = {
      ...BOOK,
      "demo.fields.yaml": BOOK["demo.fields.yaml"]!.replace("Long Meadow", evil).replace("Mill Flat", evil),
      "demo.equipment.yaml": `equipment: [{ id: dig-kit, kind: hand tools, name: ${evil} }]\n`,
    };
    return inSession(async (client, folder) => {
      const { html, replay } = (await client.request("spadework/seasonPicture", {
        uri: folder.uri("season.yaml"),
      })) as Picture;
      assert.doesNotMatch(html, /<script|<img|\u202e/);
      assert.match(html, /&lt;script&gt;/);
      assert.ok(replay.events.length > 0);
      const [list] = (await client.request("spadework/fieldList", {})) as List[];
      for (const { name } of list!.fields) assert.doesNotMatch(String(name), /\u202e/);
    }, files);
  });
});
