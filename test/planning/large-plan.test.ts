import { strict as assert } from "node:assert";
import type { Book } from "../../server/src/book/book.ts";
import { qualityInWords } from "../../server/src/output/plan-quality.ts";
import { seasonPlan, type SeasonPlan } from "../../server/src/planning/season-plan.ts";
import { FROM, largeBook } from "./large-book.ts";

function planOf(book: Book): SeasonPlan {
  const plan = seasonPlan(book, { from: FROM, days: 14, crew: ["a", "b", "c", "d", "e"], home: [-104, 51.75] });
  assert.ok(!("why" in plan));
  return plan;
}

describe("the plan of a large season", () => {
  it("is found by a search that keeps the rules, says so, and tells how far from the bound it is", () => {
    const book = largeBook(60);
    const plan = planOf(book);
    const { method, cost, bound } = plan.solved;
    assert.equal(method, "search");
    assert.ok(bound.missed <= cost.missed && bound.leftOut <= cost.missed + cost.left && bound.metres <= cost.metres);
    // Better than nothing by far: the bound is at least half of the driving.
    assert.ok(bound.metres > cost.metres / 2, `${bound.metres} of ${cost.metres}`);
    const words = qualityInWords(plan).join("\n");
    assert.match(words, /not surely the best \(large neighbourhood search\)/);
    assert.match(words, /no plan that walks as many fields has less than [\d.]+ km, so at most \d+ % could be saved/);
    const walked = new Set<string>();
    for (const { fields, begins, ended, ends } of plan.days) {
      let rank = 0;
      let now = begins;
      for (const { work, arrived, left } of fields) {
        assert.ok(!walked.has(work.field));
        walked.add(work.field);
        const day = Math.floor(arrived / 1440);
        assert.ok(day >= work.window.opens && day <= work.window.closes);
        assert.ok(work.rank >= rank && arrived >= now);
        [rank, now] = [work.rank, left];
      }
      assert.ok(ended >= now && ended <= ends);
    }
    assert.equal(walked.size + plan.leftOut.length, 60);
    // The same book gives the same plan.
    assert.deepEqual(planOf(book).solved.routes, plan.solved.routes);
  });
});
