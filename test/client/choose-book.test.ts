import { strict as assert } from "node:assert";
import { booksMeant } from "../../client/src/choose-book.ts";

describe("the book that a review is of", () => {
  const roots = ["/w/farms/alder", "/w/farms/birch", "/w/farms/birch/old", "/other/season"];
  const meant = (repository?: string, activeFile?: string): readonly string[] =>
    booksMeant({ roots, repository, activeFile });

  it("is that of the file that is looked at, the innermost", () => {
    assert.deepEqual(meant(undefined, "/w/farms/birch/may.visits.yaml"), ["/w/farms/birch"]);
    assert.deepEqual(meant(undefined, "/w/farms/birch/old/may.visits.yaml"), ["/w/farms/birch/old"]);
  });

  it("lies in the repository whose title was clicked, whatever is looked at", () => {
    assert.deepEqual(meant("/other", "/w/farms/birch/may.visits.yaml"), ["/other/season"]);
    assert.deepEqual(meant("/other/season"), ["/other/season"]);
    assert.deepEqual(meant("/w/farms", "/w/farms/alder/a.visits.yaml"), ["/w/farms/alder"]);
    assert.deepEqual(meant("/w/farms"), ["/w/farms/alder", "/w/farms/birch", "/w/farms/birch/old"]);
  });

  it("may hold the repository, and is not one whose name only begins like another's", () => {
    assert.deepEqual(meant("/w/farms/birch/old/photos"), ["/w/farms/birch/old"]);
    assert.deepEqual(meant("/w/farms/ald"), []);
    assert.deepEqual(meant(undefined, "/w/farms/alder-2/a.visits.yaml"), roots);
    assert.deepEqual(booksMeant({ roots: ["/"], repository: "/", activeFile: "/a.visits.yaml" }), ["/"]);
  });

  it("is found by paths of Windows, too", () => {
    const windows = { roots: ["c:\\farms\\alder", "c:\\farms\\birch"], repository: "c:\\farms" };
    assert.deepEqual(booksMeant({ ...windows, activeFile: "c:\\farms\\birch\\a.visits.yaml" }), ["c:\\farms\\birch"]);
  });
});
