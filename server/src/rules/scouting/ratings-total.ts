import { plural } from "../../base/words.ts";
import { recordRule } from "../rule.ts";

export default recordRule({
  code: "scouting/ratings-total",
  level: "error",
  kinds: ["visits"],
  check(record, book, report) {
    if (!book.hasHappened(record) || !book.isInSight(record)) return;
    record.facts.digs?.forEach(({ id, ratings, plants }, index) => {
      if (!ratings || plants === undefined) return;
      const rated = ratings.reduce((sum, count) => sum + count, 0);
      if (rated === plants) return;
      const dig = id ? `dig ${id}` : "this dig";
      const off = rated < plants ? `${plants - rated} fewer` : `${rated - plants} more`;
      report({
        place: { record, pointer: ["digs", index, "ratings"], part: "value" },
        message:
          `the ratings of ${dig} add up to ${plural(rated, "plant")}, ${off} than the ${plants} dug; ` +
          "correct the ratings or the number of plants",
        related: [
          {
            place: { record, pointer: ["digs", index, "plants"], part: "value" },
            message: `${plural(plants, "plant")} dug`,
          },
        ],
      });
    });
  },
});
