import { strict as assert } from "node:assert";
import fc from "fast-check";
import { pathInBook } from "../../server/src/book/path-in-book.ts";
import { documentLinks } from "../../server/src/features/document-links.ts";
import { inFile } from "../support/feature.ts";

function links(source: string, path?: string): string[] {
  const context = inFile(source, path);
  return documentLinks(context).map(({ span, path }) => `${context.file.text.slice(span.start, span.end)} -> ${path}`);
}

describe("document links", () => {
  it("lead to boundary files, from the folder of the file that names them", () => {
    const fields = `fields:
  - { id: a, boundary: boundaries/a.geojson }
  - { id: b, boundary: "../b 🌱.geojson" }
  - { id: c, boundary: ../../c.geojson }
  - { id: d, boundary: /etc/d.geojson }
  - { id: e, boundary: { type: Polygon, coordinates: [] } }
  - { id: f, boundary: f.txt }
`;
    assert.deepEqual(links(`#- farm/a.fields.yaml\n${fields}`), [
      "boundaries/a.geojson -> farm/boundaries/a.geojson",
      '"../b 🌱.geojson" -> b 🌱.geojson',
    ]);
  });

  it("lead to region packs that are in the book", () => {
    const book = `#- season.yaml
season: 2026
region: packs/our.region.yaml
#- packs/our.region.yaml
region: our
extends: ../county.region.yaml
#- county.region.yaml
region: county
extends: gone.region.yaml
`;
    assert.deepEqual(links(book), ["packs/our.region.yaml -> packs/our.region.yaml"]);
    assert.deepEqual(links(book, "packs/our.region.yaml"), ["../county.region.yaml -> county.region.yaml"]);
    assert.deepEqual(links(book, "county.region.yaml"), []);
    assert.deepEqual(links("#- season.yaml\nseason: 2026\nregion: ca-prairies\n"), []);
  });

  it("never leave the book", () => {
    for (const asked of [
      "",
      "..",
      "../x.geojson",
      "a/../../x",
      "C:/x",
      "\\\\host\\x",
      "file:///x",
      "~/x",
      "a\0b",
      "/x",
      ".",
    ]) {
      assert.equal(pathInBook("", asked), undefined, asked);
    }
    assert.equal(pathInBook("a/b/", "./../c//d.geojson"), "a/c/d.geojson");
    const step = fc.constantFrom("..", ".", "a", "", "b.geojson", "..a", "...", "\\..", "%2e%2e");
    fc.assert(
      fc.property(fc.array(step), fc.constantFrom("", "x/", "x/y/"), (steps, folder) => {
        const path = pathInBook(folder, steps.join("/"));
        if (path === undefined) return;
        assert.ok(!path.split("/").some((one) => one === "" || one === "." || one === ".."), path);
        assert.equal(new URL(path.replaceAll("%", "%25"), "file:///book/").pathname.startsWith("/book/"), true);
      }),
    );
  });
});
