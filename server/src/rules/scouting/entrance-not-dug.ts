import { figure, plural } from "../../base/words.ts";
import { isAtEntrance, metresFromEntrance, usualEntrance } from "../../book/entrances.ts";
import { hostYearsInSight, seasonScouting } from "../../book/scouting-window.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "scouting/entrance-not-dug",
  level: "warning",
  figures: ["scouting.entrance_reach_m"],
  check(field, book, report) {
    const reach = book.region.scouting?.entrance_reach_m;
    if (reach === undefined) return;
    for (const year of hostYearsInSight(field, book)) {
      const visits = seasonScouting(field, year, book)?.withDigs ?? [];
      const last = visits[visits.length - 1];
      const digs = visits.flatMap((visit) => visit.digs);
      if (!last || digs.some((dig) => isAtEntrance(dig, field, reach))) continue;
      const nearest = Math.min(...digs.map((dig) => metresFromEntrance(dig, field) ?? Infinity));
      const howFar = nearest < Infinity ? `, the nearest about ${Math.ceil(nearest)} m away` : "";
      const entrance = usualEntrance(field);
      report({
        place: { record: last.record, pointer: ["digs"], part: "key" },
        message:
          `${digs.length === 1 ? "the only dig" : `none of the ${plural(digs.length, "dig")}`} of ${year} on ${field.name} ` +
          `was ${digs.length === 1 ? "not " : ""}at an entrance or within ${figure(reach)} m of one${howFar}, ` +
          `and that is where clubroot mostly comes in; dig near ${entrance?.name ?? "the usual entrance"} too`,
        related: entrance ? [{ place: entrance.place, message: "the usual entrance" }] : [],
      });
    }
  },
});
