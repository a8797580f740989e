import { strict as assert } from "node:assert";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { CALCULATIONS } from "../../server/src/cli/calc/index.ts";
import { near, printed } from "../agronomy/value-of.ts";
import { inFolder, spadework } from "../support/command-line.ts";

type Json = Record<string, unknown>;

async function json(...args: string[]): Promise<Json> {
  const { code, out, error } = await spadework(["calc", ...args, "--format", "json"]);
  assert.equal(code, 0, error);
  return JSON.parse(out) as Json;
}

async function text(...args: string[]): Promise<string> {
  const { code, out, error } = await spadework(["calc", ...args]);
  assert.equal(code, 0, error);
  return out;
}

/** The one line on standard error; exit code 2 and nothing else printed. */
async function refused(...args: string[]): Promise<string> {
  const { code, out, error } = await spadework(["calc", ...args]);
  assert.equal(code, 2, args.join(" "));
  assert.equal(out, "");
  assert.equal(error.trim().split("\n").length, 1, error);
  assert.doesNotMatch(error, /undefined|NaN|Error|\bat \w+ \(/);
  return error;
}

const range = (value: unknown): [number, number] => {
  const { lower, upper } = value as { lower: number; upper: number };
  return [lower, upper];
};

describe("spadework calc plants", () => {
  it("does the example of its help", async () => {
    const found = await json(
      ..."plants --incidence 2% --confidence 95% --population 2000 --sensitivity 0.9".split(" "),
    );
    const n = found.plants as number;
    assert.ok((found.probability as number) >= 0.95);
    // The smallest that is enough: one plant fewer is not.
    const fewer = await json(
      ..."detect --incidence 2% --population 2000 --sensitivity 0.9 --plants".split(" "),
      String(n - 1),
    );
    assert.ok((fewer.probability as number) < 0.95);
  });

  it("agrees with ISPM 31, tables 1 and 3 (FAO 2008)", async () => {
    const plants = async (...args: string[]) => (await json("plants", "--confidence", "95%", ...args)).plants;
    // Table 1, hypergeometric, 95 %, every root looked at rightly.
    for (const [population, incidence, n] of [
      ["100", "5%", 45],
      ["2000", "2%", 143],
      ["10000", "1%", 294],
      ["20000", "0.1%", 2781],
      ["50", "5%", 39],
    ] as const) {
      assert.equal(await plants("--sensitivity", "100%", "--population", population, "--incidence", incidence), n);
    }
    // Table 3, binomial, by the efficacy of detection.
    for (const [sensitivity, incidence, n] of [
      ["100%", "5%", 59],
      ["95%", "2%", 157],
      ["0.8", "0.01", 373],
      ["50%", "0.1%", 5990],
    ] as const) {
      assert.equal(await plants("--sensitivity", sensitivity, "--incidence", incidence), n);
    }
  });

  it("takes what is not given from the region, and says from where", async () => {
    // ISPM 31, table 3: 157 plants at 2 %, 95 % and an efficacy of 95 %, the base pack's own figures.
    const found = await json("plants");
    assert.equal(found.plants, 157);
    const { name, figures } = found.region as {
      name: string;
      figures: Record<string, { value: number; source: string }>;
    };
    assert.equal(name, "base");
    assert.deepEqual(Object.keys(figures), [
      "sampling.confidence",
      "sampling.design_incidence",
      "sampling.root_sensitivity",
    ]);
    for (const { source } of Object.values(figures)) assert.ok(source.length > 0);
    await inFolder(
      {
        "own.region.yaml":
          "region: own\ntitle: Own\nextends: base\nsampling: { design_incidence: 0.01 }\nsources: { sampling.design_incidence: test }\n",
      },
      async (folder) => {
        const own = await spadework(["calc", "plants", "--region", "own.region.yaml", "--format", "json"], {
          workingFolder: folder,
        });
        // ISPM 31, table 3: 1 %, efficacy 95 %.
        assert.equal((JSON.parse(own.out) as Json).plants, 314);
      },
    );
  });

  it("in stops, takes the fewest that are enough", async () => {
    const found = await json(..."plants --incidence 2% --sensitivity 1 --correlation 0.1 --per-stop 10".split(" "));
    const stops = found.stops as number;
    assert.equal(found.plants, stops * 10);
    const detection = async (n: number) =>
      (await json("detect", "--incidence", "2%", "--sensitivity", "1", "--correlation", "0.1", "--stops", `${n}x10`))
        .probability as number;
    assert.ok((await detection(stops)) >= 0.95 && (await detection(stops - 1)) < 0.95);
  });
});

describe("spadework calc detect", () => {
  it("gives RSurveillance's test vectors", async () => {
    // p = .05, Se = .9, n = 10 … 100.
    const published = ".368994 .601831 .748753 .841461 .899961 .936875 .960168 .974866 .984140 .989992".split(" ");
    for (const [i, figure] of published.entries()) {
      const found = await json("detect", "--plants", String((i + 1) * 10), "--incidence", "5%", "--sensitivity", "90%");
      printed(found.probability as number, figure);
    }
    // Risk-weighted: RR 5, 3, 1 on shares .1, .1, .8.
    const weighted = await json(
      ..."detect --parts 5:10%:5,3:10%:5,1:80%:5 --incidence 10% --sensitivity 90%".split(" "),
    );
    printed(weighted.probability as number, "0.9430056");
    assert.deepEqual(
      (weighted.adjusted_risk as number[]).map((risk) => risk.toFixed(3)),
      ["3.125", "1.875", "0.625"],
    );
  });

  it("gives the beta-binomial table (Hughes & Madden 1993; recomputed)", async () => {
    for (const [correlation, incidence, figure] of [
      ["0", "1%", ".634"],
      ["0.1", "2%", ".756"],
      ["0.33", "5%", ".873"],
      ["0.1", "10%", ".999"],
    ] as const) {
      const args = [
        "--stops",
        "10x10",
        "--sensitivity",
        "100%",
        "--correlation",
        correlation,
        "--incidence",
        incidence,
      ];
      printed((await json("detect", ...args)).probability as number, figure);
    }
  });

  it("the other way round: the incidence caught is the one at which the probability is the confidence", async () => {
    const { detectable_incidence: least } = await json("detect", "--plants", "60", "--sensitivity", "0.9");
    const again = await json("detect", "--plants", "60", "--sensitivity", "0.9", "--incidence", String(least));
    near(again.probability as number, 0.95, 1e-12);
    assert.equal((await json("detect", "--plants", "0")).detectable_incidence, null);
    assert.match(await text("detect", "--plants", "0"), /No plants have been dug, so no incidence can be ruled out/);
    // One plant at a sensitivity of 95 %, all infected, is noticed with just 95 %.
    assert.match(
      await text("detect", "--plants", "1"),
      /^1 plant dug: .*\nAll clean, it rules out no less than every plant/,
    );
  });
});

describe("spadework calc severity and interval", () => {
  it("gives DSI and incidence (Horsfall & Heuberger 1942, recomputed)", async () => {
    for (const [ratings, incidence, dsi] of [
      ["80 10 6 4", 20, "11.33"],
      ["50 20 20 10", 50, "30.0"],
      ["0 0 0 25", 100, "100"],
    ] as const) {
      const found = await json("severity", ...ratings.split(" "));
      near(found.incidence_percent as number, incidence, 1e-12);
      printed(found.dsi_percent as number, dsi);
      const [lower, upper] = range((found.dsi_percent_interval as Json).clopper_pearson);
      assert.ok(lower <= (found.dsi_percent as number) && (found.dsi_percent as number) <= upper);
    }
    assert.deepEqual(await json("severity", "80,10,6,4"), await json("severity", "80", "10", "6", "4"));
  });

  it("gives yield loss as a range over the region's sources, never one number", async () => {
    const found = await json("severity", "80", "10", "6", "4");
    const { low, high } = found.yield_loss_percent as { low: number; high: number };
    // Botero-Ramirez et al. 2022: 0.26 % of the yield per 1 % DSI in the field; half of the incidence (extension 2011).
    near(low, 0.26 * (34 / 3), 1e-9);
    near(high, 10, 1e-9);
  });

  it("gives both intervals to the published digits", async () => {
    const cases: [count: string, exact: [string, string], wilson: [string, string]][] = [
      ["81/263", [".2527", ".3676"], [".2553", ".3662"]], // Newcombe 1998
      ["7/50", [".058192", ".267396"], [".0695", ".2619"]], // SciPy's documentation; recomputed
      ["25/200", [".082552", ".178974"], [".086120", ".178014"]], // RSurveillance
      ["0/20", ["0", ".1684"], ["0", ".1611"]], // from memory, recomputed
      ["1/29", [".0009", ".1776"], [".0061", ".1718"]], // from memory, recomputed
      ["0/100", ["0", ".0362"], ["0", ".0370"]], // recomputed
    ];
    for (const [count, exact, wilson] of cases) {
      const found = await json("interval", count);
      range(found.clopper_pearson).forEach((value, i) => printed(value, exact[i]!));
      range(found.wilson).forEach((value, i) => printed(value, wilson[i]!));
    }
  });
});

describe("spadework calc mix", () => {
  it("gives the dilution table (CDC, Environmental Cleaning, appendix E; recomputed)", async () => {
    for (const [stock, strength, ml] of [
      ["5.25%", "1%", "1905"],
      ["5.25%", "2%", "3810"],
      ["8.25%", "1%", "1212"],
      ["6%", "1%", "1667"],
      ["12%", "0.01", "833"],
    ] as const) {
      const found = await json("mix", "--stock", stock, "--strength", strength, "--litres", "10");
      printed(found.stock_ml as number, ml);
      near((found.stock_ml as number) + (found.water_ml as number), 10000, 1e-9);
    }
    near((await json(..."mix --stock 3.5% --strength 0.5% --litres 1".split(" "))).parts_water as number, 6, 1e-9);
    near((await json(..."mix --stock 5% --strength 0.1% --litres 1".split(" "))).parts_water as number, 49, 1e-9);
    printed(
      (await json(..."mix --powder 35% --strength 0.5% --litres 1".split(" "))).grams_per_litre as number,
      "14.3",
    );
  });

  it("says what the published traps really give", async () => {
    const ratio = await json("mix", "--stock", "5.25%", "--recipe", "1:10");
    printed(ratio.strength_percent as number, "0.48");
    assert.equal(ratio.too_weak, true);
    const share = await json("mix", "--stock", "5.25%", "--recipe", "10 % bleach");
    near(share.strength_percent as number, 0.525, 1e-12);
    assert.match(await text("mix", "--stock", "5.25%", "--recipe", "10%"), /0\.53 %, less than the 1 % wanted/);
    assert.match(
      await refused("mix", "--stock", "5.25%", "--strength", "10%", "--litres", "5"),
      /"10 % bleach" is .* 0\.53 %/,
    );
  });

  it("tells every recipe of a text, and the volumes of it for an amount", async () => {
    const both = await text("mix", "--stock", "5.25%", "--recipe", "10 % bleach, or 1:10", "--litres", "11");
    // A tenth of 5.25 % is 0.525 %; 1 part to 10 is 0.477 %. 11 L of the first are 1.1 L of stock.
    assert.match(both, /gives 0\.53 %/);
    assert.match(both, /gives 0\.48 %/);
    assert.match(both, /^11 L of it are 1100 mL of stock and 9900 mL of water\.$/m);
  });

  it("prints the cautions with every mix", async () => {
    for (const args of [
      ["--stock", "5.25%", "--litres", "10"],
      ["--stock", "5.25%", "--recipe", "1:10"],
      ["--stock", "5.25%", "--stock-litres", "2", "--water-litres", "8.5"],
      ["--powder", "35%", "--litres", "10"],
    ]) {
      const out = await text("mix", ...args);
      for (const caution of [
        /label and local rules/,
        /acids or ammonia/,
        /gloves and eye protection/,
        /into the water/,
        /24 hours/,
      ])
        assert.match(out, caution);
      const { cautions } = await json("mix", ...args);
      assert.ok((cautions as { text: string; source: string }[]).every(({ source }) => source.length > 0));
    }
  });
});

describe("spadework calc degree-days", () => {
  // data/seattle-weather.csv of the npm package vega-datasets (BSD), daily 2012 to 2015.
  const seattle = readFileSync(
    new URL("../../node_modules/vega-datasets/data/seattle-weather.csv", import.meta.url),
    "utf8",
  )
    .trim()
    .split("\n")
    .slice(1)
    .map((line) => {
      const [date, , tmax, tmin] = line.split(",");
      return `${date!},${tmin!},${tmax!}`;
    });
  const file = (rows = seattle): Record<string, string> => ({
    "yard.weather.csv": ["date,tmin_c,tmax_c", ...rows, ""].join("\n"),
  });

  it("gives the season sums (McMaster & Wilhelm 1997, recomputed)", async () => {
    await inFolder(file(), async (folder) => {
      for (const [year, base0, base5, base14, base14Method2] of [
        [2012, 1842.4, 1297.4, 350.85, 441.55],
        [2013, 2039.75, 1494.75, 529.85, 580.65],
        [2014, 2046.75, 1501.75, 523.35, 589.8],
        [2015, 2181.5, 1636.5, 657.0, 702.45],
      ] as const) {
        const stretch = [join(folder, "yard.weather.csv"), "--from", `${year}-05-15`, "--to", `${year}-08-31`];
        const sum = async (...more: string[]) => (await json("degree-days", ...stretch, ...more)).degree_days as number;
        near(await sum(), base0, 1e-9);
        near(await sum("--base", "5"), base5, 1e-9);
        near(await sum("--base", "14", "--method", "1"), base14, 1e-9);
        near(await sum("--base=14", "--method=2"), base14Method2, 1e-9);
      }
    });
  });

  it("takes a base below 0, and a path from the working folder", async () => {
    const rows = ["2026-05-01,-4,2", "2026-05-02,-4,2"];
    await inFolder(file(rows), async (folder) => {
      const args = ["calc", "degree-days", "yard.weather.csv", "--base", "-5", "--format", "json"];
      const { out } = await spadework(args, { workingFolder: folder });
      assert.equal((JSON.parse(out) as Json).degree_days, 8);
    });
  });

  it("says what is missing, and when the sum is not to be relied on", async () => {
    await inFolder(file(["2026-05-01,10,20", "2026-05-04,10,20", "2026-05-05,hot,20"]), async (folder) => {
      const path = join(folder, "yard.weather.csv");
      const args = ["degree-days", path, "--from", "2026-05-01", "--to", "2026-05-05"];
      const found = await json(...args);
      assert.deepEqual(
        [found.degree_days, found.days, found.days_recorded, found.days_missing, found.enough],
        [30, 5, 2, 3, false],
      );
      assert.deepEqual(found.missing, [
        { from: "2026-05-02", to: "2026-05-03" },
        { from: "2026-05-05", to: "2026-05-05" },
      ]);
      const out = await text(...args);
      assert.match(out, /3 of 5 days are missing \(2026-05-02 to 2026-05-03, 2026-05-05\), so the true sum is higher/);
      assert.match(out, /40 % of the days recorded, fewer than 60 %, do not rely on it/);
      assert.match(out, /"hot" is not a number/);
    });
  });

  it("says in one line what is wrong with the file or the days", async () => {
    await inFolder(
      { ...file(["2026-05-01,1,2"]), "bad.weather.csv": "day,low,high\n", "empty.weather.csv": "" },
      async (folder) => {
        assert.match(await refused("degree-days", join(folder, "none.weather.csv")), /there is no file/);
        assert.match(await refused("degree-days", join(folder, "bad.weather.csv")), /names its columns/);
        assert.match(await refused("degree-days", join(folder, "empty.weather.csv")), /no weather/);
        assert.match(await refused("degree-days"), /takes one weather file/);
        const path = join(folder, "yard.weather.csv");
        assert.match(await refused("degree-days", path, "--from", "May"), /--from takes a day of the calendar/);
        assert.match(await refused("degree-days", path, "--from", "2026-05-02", "--to", "2026-05-01"), /before --from/);
        assert.match(
          await refused("degree-days", path, "--from", "2026-05-02"),
          /the weather ends on 2026-05-01, before/,
        );
        assert.match(
          await refused("degree-days", path, "--to", "2026-04-02"),
          /the weather begins on 2026-05-01, after/,
        );
      },
    );
  });
});

describe("spadework calc spores, free and pool", () => {
  it("gives the half-life table (Wallenhammar 1996, recomputed)", async () => {
    for (const [years, share] of [
      ["2", ".680"],
      ["4", ".463"],
      ["17.3", ".0358"],
    ] as const) {
      const found = await json("spores", "100000", "--years", years);
      printed(found.share_left as number, share);
      near(found.spores_per_g as number, 100000 * (found.share_left as number), 1e-6);
    }
    // Peng et al. 2015: a break of two years left over 90 % fewer.
    const fast = await json("spores", "100000", "--years", "2", "--model", "fast then slow");
    assert.ok((fast.share_left as number) < 0.1);
  });

  it("names the band and whether the lab would still find them", async () => {
    // Manitoba's bands: to 1,000; to 10,000; to 80,000; above. Detection limit 500 (Wallenhammar et al. 2012).
    const none = await json("spores", "400", "--years", "0");
    assert.deepEqual(
      [none.band_per_g, none.detectable, none.years_until_undetected],
      [{ above: null, up_to: 1000 }, false, 0],
    );
    assert.deepEqual((await json("spores", "1001", "--years", "0")).band_per_g, { above: 1000, up_to: 10000 });
    assert.deepEqual((await json("spores", "80001", "--years", "0")).band_per_g, { above: 80000, up_to: null });
    const until = (await json("spores", "4000", "--years", "1")).years_until_undetected as number;
    near(until, 3 * 3.6, 1e-9); // three halvings: 4000, 2000, 1000, 500
  });

  it("follows freedom season by season (Martin, Cameron & Greiner 2007, from memory)", async () => {
    const found = await json("free", "--prior", "50%", "--detection", "0.95");
    near(found.probability_free as number, 0.5 / 0.525, 1e-12);
    const two = await json("free", "--prior", "0.1", "--plants", "100,160", "--introduction", "0,2%");
    const [first, second] = two.seasons as { prior_infested: number; detection: number; probability_free: number }[];
    near(second!.prior_infested, 1 - first!.probability_free * 0.98, 1e-12);
    near(
      two.probability_free as number,
      (1 - second!.prior_infested) / (1 - second!.prior_infested * second!.detection),
      1e-12,
    );
  });

  it("freedom rises with clean plants and falls with soil brought in", async () => {
    const p = async (...args: string[]) => (await json("free", ...args)).probability_free as number;
    const plain = await p("--plants", "100");
    assert.ok((await p("--plants", "150")) > plain);
    assert.ok((await p("--plants", "100", "--soil-left", "1")) < plain);
    assert.ok(
      (await p("--plants", "100", "--soil-left", "1,1")) < (await p("--plants", "100", "--soil-left", "1,0.1")),
    );
    assert.ok((await p("--plants", "100", "--correlation", "0.1")) < plain);
    near(await p(), 0.9, 1e-12); // the prior alone
  });

  it("never rounds up to certainty", async () => {
    const out = await text("free", "--plants", "100,1000,1000");
    assert.match(
      out,
      /^Free of clubroot in 2 % of the plants or more with over 99\.99 % probability: decision support/,
    );
    assert.match(out, /= over 0\.9999$/m);
    assert.doesNotMatch(out, /100 %|= 1$/m);
    assert.doesNotMatch(await text("free", "--prior", "0"), /100 %/);
  });

  it("counts plants in stops with --per-stop alone too, by the region's correlation", async () => {
    const p = async (...more: string[]) => (await json("free", "--plants", "100", ...more)).probability_free as number;
    assert.equal(await p("--per-stop", "20"), await p("--per-stop", "20", "--correlation", "0.1"));
    assert.ok((await p("--per-stop", "20")) < (await p()));
  });

  it("the plants it asks for are enough, and one fewer is not", async () => {
    const { more_plants: more } = await json("free", "--wanted", "99%");
    const p = async (n: number) => (await json("free", "--plants", String(n))).probability_free as number;
    assert.ok((await p(more as number)) >= 0.99 && (await p((more as number) - 1)) < 0.99);
  });

  it("gives the published pools (Burrows 1987 from memory, recomputed)", async () => {
    for (const [count, size, estimate, burrows] of [
      ["2/10", "5", ".04365", ".04182"],
      ["3/20", "10", ".01612", ".01574"],
    ] as const) {
      const found = await json("pool", count, "--size", size);
      printed(found.estimate as number, estimate);
      printed(found.burrows as number, burrows);
      const [lower, upper] = range(found.clopper_pearson);
      assert.ok(lower < (found.burrows as number) && (found.estimate as number) < upper);
    }
  });
});

describe("spadework calc pool with a count of spores", () => {
  it("says whether the pool would still be found", async () => {
    // 4,000 spores/g in one of ten cores are 400 in the pool, below 500 (Wallenhammar et al. 2012).
    const ten = await json("pool", "0/6", "--size", "10", "--spores", "4000");
    assert.deepEqual([ten.pooled_spores_per_g, ten.detectable], [400, false]);
    const eight = await json("pool", "0/6", "--size", "8", "--spores", "4000");
    assert.deepEqual([eight.pooled_spores_per_g, eight.detectable], [500, true]);
    assert.match(
      await text("pool", "0/6", "--size", "10", "--spores", "4000"),
      /leaves 400 in the pool, below what the lab finds, 500/,
    );
  });
});

describe("spadework calc", () => {
  it("does every example of its help, in text with its source and in JSON", async () => {
    await inFolder(
      { "sample-workspace/weather/home-yard.weather.csv": "date,tmin_c,tmax_c\n2026-05-15,5,15\n2026-08-31,5,15\n" },
      async (folder) => {
        for (const { name, examples } of CALCULATIONS) {
          assert.ok(examples.length > 0, name);
          for (const example of examples) {
            const args = [...example.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, bare]) => quoted ?? bare!).slice(1);
            const asText = await spadework([...args, "--format", "text"], { workingFolder: folder });
            assert.equal(asText.code, 0, `${example}: ${asText.error}`);
            assert.match(asText.out, /^ {2}Source: ./m, example);
            assert.doesNotMatch(asText.out, /undefined|NaN/);
            const asJson = await spadework([...args, "--format", "json"], { workingFolder: folder });
            assert.equal((JSON.parse(asJson.out) as Json).calculation, name);
          }
        }
      },
    );
  });

  it("has help for itself and for each calculation", async () => {
    const general = await spadework(["calc", "--help"]);
    assert.equal(general.code, 0);
    for (const { name } of CALCULATIONS) {
      assert.match(general.out, new RegExp(`^ {2}${name} `, "m"));
      for (const args of [
        ["calc", name, "--help"],
        ["calc", name, "-h"],
        ["help", "calc", name],
      ]) {
        const { code, out } = await spadework(args);
        assert.equal(code, 0);
        assert.match(out, new RegExp(`^Usage: spadework calc ${name} `));
        assert.match(out, /^Examples?:\n {2}spadework calc /m);
      }
    }
  });

  it("says in one line what is wrong", async () => {
    for (const [args, said] of [
      ["", /calc is followed by one of plants, detect/],
      ["plantz", /no calc command plantz; did you mean plants\?/],
      ["plants --json", /no option --json; did you mean --format json\?/],
      ["plants --incidance 2%", /no option --incidance; did you mean --incidence\?/],
      ["plants --incidence", /--incidence needs a value: --incidence SHARE/],
      ["plants --incidence --confidence 95%", /--incidence needs a value/],
      ["plants --incidence 2", /--incidence takes a percentage; write 2% if that is meant/],
      ["plants --incidence -2%", /design incidence must be from 0 to 100 %, not -2 %/],
      ["plants --incidence two", /takes a percentage such as 2%.*"two" is none/],
      ["plants --incidence 0", /nothing to find/],
      ["plants --incidence 150%", /from 0 to 100 %, not 150 %/],
      ["plants --confidence 100%", /No number of plants|no number of plants/],
      ["plants --population -5", /-5/],
      ["plants --population 10 --incidence 1%", /less than one plant/],
      ["plants 60", /"60" is not understood here/],
      ["plants --region nowhere", /no region pack is called "nowhere"/],
      ["plants --region ../nowhere.region.yaml", /no file "nowhere\.region\.yaml"/],
      ["plants --correlation 0.1 --population 100", /leave out --population/],
      ["detect", /by one of --plants, --stops and --parts/],
      ["detect --plants 1e400", /--plants takes a number/],
      ["detect --plants 60.5", /whole number/],
      ["detect --stops 1000000x1000000", /from 1 to 9999 stops/],
      ["detect --stops 9000x10000", /at most 1,000,000 plants/],
      ["detect --stops 10xx10", /--stops/],
      ["detect --parts 1:50%:10", /must make up 100 %/],
      ["detect --parts 1:50%", /risk:share:plants/],
      ["severity 80 -1 6 4", /rated 1 must be a whole number of 0 or more, not -1/],
      ["severity 80 10", /takes the plants rated 0, 1, 2 and 3.*2 numbers were given/],
      ["severity 0 0 0 0", /no plants were rated/],
      ["interval 5", /a count of a total is written 81\/263/],
      ["interval 5/0", /must be a whole number of 1 or more/],
      ["interval 5/4", /5 found are more than the 4/],
      ["interval 5/4/3", /is written 81\/263/],
      ["mix --litres 3", /how strong the stock is/],
      ["mix --stock 5.25 --litres 3", /write 5\.25% if that is meant/],
      ["mix --stock 5,25% --litres 3", /write 5\.25% with a point/],
      ["mix --stock 5.25%", /how much to mix/],
      ["mix --stock 5.25% --stock-litres 3", /both --stock-litres and --water-litres/],
      ["mix --stock 5.25% --recipe plenty", /no recipe that is understood/],
      ["mix --stock 0% --litres 3", /above 0 %/],
      ["spores", /takes one count of spores/],
      ["spores 1000", /how many years/],
      ["spores -5 --years 1", /0 or more, not -5/],
      ["spores 1000 --years 1 --model slow", /--model is one of exponential, fast then slow/],
      ["free --plants 10 --detection 50%", /either --plants or --detection/],
      ["free --plants 10 --introduction 0,0", /2 seasons and the digs have 1/],
      ["free --prior 100% --detection 100%", /certainly infested before 1, yet digs that could not have missed it/],
      ["plants --population 1,000", /write 1000 without a comma/],
      ["mix --stock 5.25% --powder 35% --litres 3", /either --stock or --powder, not both/],
      [
        "mix --stock 5.25% --litres 3 --stock-litres 1 --water-litres 2",
        /takes --stock-litres and --water-litres alone/,
      ],
      ["mix --powder 35% --litres 3 --recipe 1:10", /a powder takes --litres and --strength/],
      ["mix --stock 5.25% --litres 0", /amount to mix must be a number above 0, not 0$/m],
      ["spores 1000 --years 1 --half-life 2 --model exponentiall", /--model is one of/],
      ["pool 2/10 --size 5 --limit 500", /--limit goes with --spores/],
      ["degree-days test", /test is a folder; name a weather file/],
      ...(process.platform === "win32" ? [] : [["degree-days /dev/zero", /no plain file/] as const]),
      ["pool 2/10", /how many plants or cores/],
      ["pool 2/10 --size 0", /whole number of 1 or more/],
      ["pool 12/10 --size 5", /12 positive pools are more than the 10/],
      ["degree-days x --method 3", /--method is one of 1, 2/],
    ] as const) {
      assert.match(await refused(...args.split(" ").filter((arg) => arg !== "")), said, args);
    }
  });

  it("never prints what could steer a terminal", async () => {
    const { error } = await spadework(["calc", "mix", "--stock", "5.25%", "--recipe", "\u001B[2J"]);
    assert.ok(!error.includes("\u001B"), JSON.stringify(error));
  });
});
