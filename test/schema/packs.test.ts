import { strict as assert } from "node:assert";
import { shippedRegions } from "../../server/generated/regions.ts";
import { decodeRegion } from "../../server/src/schema/decode.ts";
import type { RegionPack } from "../../server/src/schema/facts.ts";
import { figurePaths, figureSources, mergePacks } from "../../server/src/schema/merge-packs.ts";
import { resolveRegion } from "../../server/src/schema/region.ts";
import { parseText } from "../../server/src/syntax/parse.ts";
import { toPlain } from "../../server/src/syntax/tree-queries.ts";
import { validatorOfFile } from "./outside.ts";

function packOf(text: string): RegionPack {
  const { value, problems } = decodeRegion(parseText(text).root);
  assert.deepEqual(problems, []);
  return value!;
}

const none = (): undefined => undefined;

describe("the shipped region packs", () => {
  for (const [name, text] of shippedRegions) {
    it(`${name} is right by its own schema, here and in a general-purpose validator`, () => {
      const tree = parseText(text);
      assert.deepEqual(tree.problems, []);
      assert.equal(packOf(text).region, name);
      const validate = validatorOfFile("region");
      assert.ok(validate(JSON.parse(JSON.stringify(toPlain(tree.root!)))), JSON.stringify(validate.errors));
    });

    it(`${name} gives a source for every figure, and none for a figure that it does not give`, () => {
      const pack = packOf(text);
      const sources = figureSources([pack]);
      for (const [path, { source }] of sources) assert.ok(source, `${path} has no source`);
      for (const path of Object.keys(pack.sources ?? {})) {
        const isGiven = figurePaths(pack).some((figure) => figure === path || figure.startsWith(`${path}.`));
        assert.ok(isGiven, `the source ${path} belongs to no figure`);
      }
    });
  }

  it("have keys and checks of their own that are right, as those of a book's pack must be", () => {
    for (const [name, text] of shippedRegions) {
      const { problems } = resolveRegion("copy.region.yaml", (path) =>
        path === "copy.region.yaml" ? text : undefined,
      );
      assert.deepEqual(problems, [], name);
    }
  });

  it("call unknown only what some pack gives, and give none of it themselves", () => {
    const given = [...shippedRegions.keys()].flatMap((name) => figurePaths(resolveRegion(name, none).pack));
    let count = 0;
    for (const [name, text] of shippedRegions) {
      const pack = packOf(text);
      for (const path of Object.keys(pack.unknown ?? {})) {
        const isIn = (figure: string): boolean => figure === path || figure.startsWith(`${path}.`);
        assert.ok(given.some(isIn), `${name}: ${path} is no figure`);
        assert.ok(!figurePaths(pack).some(isIn), `${name}: ${path} is unknown and given`);
        assert.ok(!figurePaths(resolveRegion(name, none).pack).some(isIn), `${name}: ${path} is still there`);
        count++;
      }
    }
    assert.ok(count > 20);
  });

  it("hold together: fast then slow leaves under a tenth after a break of two years", () => {
    // Peng et al. 2015: over 90 % fewer after a break of two years. Wallenhammar 1996: a half-life of 3.6 years, below
    // detection after 17.3: 0.5^(17.3/3.6) = 0.0358.
    const { spores } = resolveRegion("ca-prairies", none).pack;
    const { fast_share, fast_half_life_years, slow_half_life_years } = spores!.fast_slow!;
    const left = (years: number): number =>
      fast_share! * 0.5 ** (years / fast_half_life_years!) + (1 - fast_share!) * 0.5 ** (years / slow_half_life_years!);
    assert.ok(left(2) < 0.1, `${left(2)}`);
    assert.ok(left(1) > 0.1, `${left(1)}`);
    assert.equal((0.5 ** (spores!.undetected_after_years! / spores!.half_life_years!)).toFixed(4), "0.0358");
  });

  it("ask of the Prairies what Prairie sources ask", () => {
    const { pack } = resolveRegion("ca-prairies", none);
    // Canadian extension services 2017, 2020: two years between canola crops. St. Paul County, Alberta: three after a find.
    assert.deepEqual({ ...pack.rotation }, { break_years: 2, break_years_after_find: 3 });
    // Manitoba's clubroot advice: bleach at 1 % for 15 to 20 minutes.
    assert.equal(pack.cleaning?.strength_percent, 1);
    assert.equal(pack.cleaning?.contact_minutes, 15);
    // Grainews: 90 % of the soil off by rough cleaning, 99 % with pressure washing.
    const left = pack.cleaning!.soil_left!;
    assert.equal((left["remove soil"]! * left.wash!).toFixed(2), "0.01");
    // Spring types take 85 to 110 days.
    assert.ok(pack.growth!.days_seed_to_swath! >= 85 && pack.growth!.days_seed_to_swath! <= 110);
    assert.ok(pack.hosts?.includes("canola"));
  });
});

describe("packs that extend one another", () => {
  it("merge groups key by key, and replace lists and single values", () => {
    const merged = mergePacks([
      packOf(
        "region: a\nhosts: [canola, mustard]\nrotation: { break_years: 2, break_years_after_find: 3 }\nspores: { bands_per_g: [1, 2] }",
      ),
      packOf("region: b\nhosts: [canola]\nrotation: { break_years: 4 }\ncleaning: { soil_left: { wash: 0.5 } }"),
      packOf("region: c\nspores: { bands_per_g: [7] }\ncleaning: { soil_left: { disinfect: 0.1 } }"),
    ]);
    assert.deepEqual(JSON.parse(JSON.stringify(merged)), {
      region: "c",
      hosts: ["canola"],
      rotation: { break_years: 4, break_years_after_find: 3 },
      spores: { bands_per_g: [7] },
      cleaning: { soil_left: { wash: 0.5, disinfect: 0.1 } },
    });
  });

  it("do not lend a source to a figure that another pack changed", () => {
    const chain = [
      packOf("region: a\nrotation: { break_years: 2, break_years_after_find: 3 }\nsources: { rotation: a bylaw }"),
      packOf("region: b\nrotation: { break_years: 4 }"),
    ];
    const sources = figureSources(chain);
    assert.deepEqual(sources.get("rotation.break_years"), { pack: "b", source: undefined });
    assert.deepEqual(sources.get("rotation.break_years_after_find"), { pack: "a", source: "a bylaw" });
  });

  it("lose what a child calls unknown, a figure or a whole group, with its source", () => {
    const chain = [
      packOf(
        "region: a\nrotation: { break_years: 2, break_years_after_find: 3 }\ngrowth: { base_c: 0, days_seed_to_swath: 105 }\n" +
          "sources: { rotation: a bylaw, growth: a book }",
      ),
      packOf("region: b\nunknown: { rotation.break_years_after_find: not read, growth: of spring crops }"),
      packOf("region: c\ngrowth: { days_seed_to_swath: 320 }\nsources: { growth: another }"),
    ];
    const shown = (packs: readonly RegionPack[]): unknown => {
      const { rotation, growth } = mergePacks(packs);
      return JSON.parse(JSON.stringify({ rotation, growth }));
    };
    assert.deepEqual(shown(chain.slice(0, 2)), { rotation: { break_years: 2 } });
    assert.deepEqual(shown(chain), { rotation: { break_years: 2 }, growth: { days_seed_to_swath: 320 } });
    assert.deepEqual([...figureSources(chain).keys()], ["rotation.break_years", "growth.days_seed_to_swath"]);
    // The parent itself stays whole.
    assert.equal(chain[0]!.growth?.base_c, 0);
    assert.equal(mergePacks(chain.slice(0, 1)).rotation?.break_years_after_find, 3);
  });

  it("are safe from keys that every object has", () => {
    const hostile = JSON.parse(
      '{ "__proto__": { "polluted": 1 }, "constructor": { "prototype": { "polluted": 1 } } }',
    ) as RegionPack;
    mergePacks([hostile, hostile]);
    assert.equal(({} as Record<string, unknown>)["polluted"], undefined);
  });
});

describe("the region that a book asks for", () => {
  const resolve = (asked: string, files: Record<string, string> = {}): string[] => {
    const { problems } = resolveRegion(asked, (path) => (Object.hasOwn(files, path) ? files[path] : undefined));
    return problems.map(
      ({ file, pointer, message, suggestion }) =>
        `${file} ${pointer.join("/")}: ${message}${suggestion === undefined ? "" : ` => ${suggestion}`}`,
    );
  };

  it("is a shipped pack by its name, with its parents below it", () => {
    const { chain, sources, pack } = resolveRegion("ca-prairies", none);
    assert.deepEqual(
      chain.map(({ name, isShipped }) => [name, isShipped]),
      [
        ["base", true],
        ["ca-prairies", true],
      ],
    );
    assert.equal(sources.get("notice.within_days")?.pack, "ca-prairies");
    assert.equal(sources.get("spores.half_life_years")?.source, "Wallenhammar 1996, Plant Pathol. 45:710");
    assert.equal(pack.sources?.["growth.degree_days.60"], sources.get("growth.degree_days.60")?.source);
  });

  it("is a file of the book by its path, whose parents are found from its own folder", () => {
    const files: Record<string, string> = {
      "packs/county/a.region.yaml": "region: a\nextends: ../b.region.yaml\nrotation: { break_years: 5 }",
      "packs/b.region.yaml": "region: b\nextends: ca-prairies\nrotation: { break_years: 4, break_years_after_find: 6 }",
    };
    const { pack, chain, problems } = resolveRegion("./packs/county/a.region.yaml", (path) => files[path]);
    assert.deepEqual(problems, []);
    assert.deepEqual(
      chain.map(({ name }) => name),
      ["base", "ca-prairies", "packs/b.region.yaml", "packs/county/a.region.yaml"],
    );
    assert.deepEqual({ ...pack.rotation }, { break_years: 5, break_years_after_find: 6 });
    assert.equal(pack.cleaning?.contact_minutes, 15);
  });

  it("may be mistyped", () => {
    assert.deepEqual(resolve("ca-prairie"), [
      'season.yaml region: no region pack is called "ca-prairie"; did you mean "ca-prairies"? => ca-prairies',
    ]);
    assert.deepEqual(resolve("atlantis"), [
      'season.yaml region: no region pack is called "atlantis"; there are au, base, ca-ab, ca-mb, ca-prairies, gb and se, or give the path of a *.region.yaml file in this book',
    ]);
    assert.deepEqual(resolve("a.region.yaml", { "a.region.yaml": "region: a\nextends: bse" }), [
      'a.region.yaml extends: no region pack is called "bse"; did you mean "base"? => base',
    ]);
  });

  it("falls back on the base pack where it cannot be had", () => {
    const { pack, chain } = resolveRegion("atlantis", none);
    assert.deepEqual(
      chain.map(({ name }) => name),
      ["base"],
    );
    assert.equal(pack.cleaning?.strength_percent, 1);
  });

  it("may not be there, or be no region pack", () => {
    assert.deepEqual(resolve("a.region.yaml"), [
      'season.yaml region: there is no file "a.region.yaml" in this record book; correct the path or add the file',
    ]);
    assert.deepEqual(resolve("mo.visits.yaml", { "mo.visits.yaml": "visits: []" }), [
      'season.yaml region: "mo.visits.yaml" is not a region pack: the name of its file must end in .region.yaml',
    ]);
  });

  for (const path of [
    "../a.region.yaml",
    "x/../../a.region.yaml",
    "/etc/a.region.yaml",
    "~/a.region.yaml",
    "c:\\a.region.yaml",
    "https://x/a.region.yaml",
  ]) {
    it(`never leaves the book: ${path}`, () => {
      const asked: string[] = [];
      const { problems } = resolveRegion(path, (name) => void asked.push(name));
      assert.deepEqual(asked, []);
      assert.deepEqual(
        problems.map(({ message }) => message),
        [`"${path}" lies outside this record book; copy the pack into the book and give its path from here`],
      );
    });
  }

  it("wants forward slashes, which every system understands", () => {
    assert.deepEqual(resolve("packs\\a.region.yaml"), [
      'season.yaml region: "packs\\a.region.yaml" must be written with forward slashes => packs/a.region.yaml',
    ]);
  });

  it("may go round in a circle, which is told where it closes", () => {
    const files = {
      "a.region.yaml": "region: a\nextends: p/b.region.yaml",
      "p/b.region.yaml": "region: b\nextends: ../a.region.yaml",
    };
    assert.deepEqual(resolve("a.region.yaml", files), [
      'p/b.region.yaml extends: these region packs extend each other in a circle: a.region.yaml extends p/b.region.yaml extends a.region.yaml; take one "extends" out',
    ]);
    assert.deepEqual(resolve("a.region.yaml", { "a.region.yaml": "region: a\nextends: a.region.yaml" }), [
      'a.region.yaml extends: these region packs extend each other in a circle: a.region.yaml extends a.region.yaml; take one "extends" out',
    ]);
  });

  it("is not followed without end", () => {
    const endless = (path: string): string => `region: a\nextends: ${Number(/\d+/.exec(path)![0]) + 1}.region.yaml`;
    const { problems, chain } = resolveRegion("0.region.yaml", endless);
    assert.equal(problems.length, 1);
    assert.match(problems[0]!.message, /more than 20 region packs/);
    assert.equal(chain.length, 21);
  });

  it("keeps what can be read of a broken pack, and says what cannot", () => {
    const { pack, chain } = resolveRegion(
      "a.region.yaml",
      () => "region: a\nextends: base\nrotation: { break_years: two, break_years_after_find: 9 }\nhosts: [canola",
    );
    assert.equal(pack.rotation?.break_years, 2);
    assert.deepEqual(
      chain.at(-1)!.problems.map(({ pointer }) => pointer.join("/")),
      ["rotation/break_years"],
    );
  });
});
