// Root ratings 0–3 (Chapara 2018, NDSU Langdon REC, after S. E. Strelkov: read); DSI after Horsfall & Heuberger 1942 and
// Strelkov et al. 2006 (from memory, recomputed). Slopes of yield loss: an extension rule of thumb (2011), an extension
// summary of Botero-Ramírez, and its abstract, Can. J. Plant Pathol. 2022 (read). Labels: NDSU 2021 (read).
import { strict as assert } from "node:assert";
import { resistanceLabel, severity, yieldLossRange, type YieldLossSlope } from "../../server/src/agronomy/severity.ts";
import { errorOf, near, printed, valueOf } from "../agronomy/value-of.ts";

describe("severity", () => {
  const rows: [ratings: number[], incidence: string, dsi: string][] = [
    [[80, 10, 6, 4], "20", "11.33"],
    [[50, 20, 20, 10], "50", "30.0"],
    [[0, 0, 0, 25], "100", "100"],
  ];
  for (const [ratings, incidence, dsi] of rows) {
    it(`${ratings.join("/")}: incidence ${incidence} %, DSI ${dsi} %`, () => {
      const found = valueOf(severity(ratings));
      near(found.incidencePercent, Number(incidence), 1e-12);
      printed(found.dsiPercent, dsi);
      assert.equal(
        found.plants,
        ratings.reduce((sum, count) => sum + count, 0),
      );
    });
  }

  it("yield loss is a range over sources that disagree", () => {
    const slopes: YieldLossSlope[] = [
      { lossPerPercent: 0.5, of: "incidence", source: "extension rule of thumb, 2011" },
      { lossPerPercent: 0.54, of: "dsi", source: "extension summary of Botero-Ramírez, field, low" },
      { lossPerPercent: 0.62, of: "dsi", source: "extension summary of Botero-Ramírez, field, high" },
      { lossPerPercent: 0.26, of: "dsi", source: "Can. J. Plant Pathol. 2022, abstract, field" },
      { lossPerPercent: 0.49, of: "dsi", source: "Can. J. Plant Pathol. 2022, abstract, greenhouse" },
    ];
    const loss = valueOf(yieldLossRange(valueOf(severity([50, 20, 20, 10])), slopes));
    near(loss.lowPercent, 7.8, 1e-12); // 0.26 · 30
    near(loss.highPercent, 25, 1e-12); // 0.5 · 50
    assert.deepEqual(
      loss.bySlope.map((one) => Math.round(one.lossPercent * 10) / 10),
      [25, 16.2, 18.6, 7.8, 14.7],
    );
  });

  it("label by the index relative to the susceptible check: R below 30 %, S from 70 %, check above 60 %", () => {
    const limits = { resistantBelow: 30, susceptibleFrom: 70, checkIndexAbove: 60 };
    const label = (index: number, check: number): string => valueOf(resistanceLabel(index, check, limits)).label;
    assert.equal(label(29, 100), "resistant");
    assert.equal(label(30, 100), "intermediate");
    assert.equal(label(69, 100), "intermediate");
    assert.equal(label(71, 100), "susceptible");
    assert.equal(label(24, 80), "intermediate"); // 30 % of the check
    assert.match(errorOf(resistanceLabel(10, 60, limits)), /reached an index of 60 % only/);
  });
});
