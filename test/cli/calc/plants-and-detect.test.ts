import { strict as assert } from "node:assert";
import { near, printed } from "../../agronomy/value-of.ts";
import { inFolder, spadework } from "../../support/command-line.ts";
import { json, text, type Json } from "./run-calc.ts";

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
