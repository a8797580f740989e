import { detectableIncidence } from "../../agronomy/plants.ts";
import { dayInWords, figure, plural } from "../../base/words.ts";
import { samplingGoal, type SamplingGoal } from "../../book/sampling-goal.ts";
import { hostYearsInSight, plantsDug, seasonScouting } from "../../book/scouting-window.ts";
import { fieldRule } from "../rule.ts";

export default fieldRule({
  code: "scouting/too-few-plants",
  level: "information",
  figures: ["sampling.confidence", "sampling.design_incidence", "sampling.root_sensitivity"],
  check(field, book, report) {
    const goal = samplingGoal(book);
    if (!goal) return;
    for (const year of hostYearsInSight(field, book)) {
      const scouting = seasonScouting(field, year, book);
      const visits = scouting?.inWindow ?? [];
      const last = visits[visits.length - 1];
      if (!scouting?.window || !last) continue;
      // A dig whose plants cannot be read has its own finding: what is missing there is a number, not plants.
      if (visits.some((visit) => visit.digs.some((dig) => dig.plants === undefined))) continue;
      const dug = plantsDug(visits);
      if (dug >= goal.plants) continue;
      const { closes } = scouting.window;
      const next =
        book.asOf <= closes
          ? `dig the rest by ${dayInWords(closes, book.seasonYear)}`
          : "plan for all of them the next time";
      report({
        place: { record: last.record, pointer: ["digs"], part: "key" },
        message:
          `${plural(dug, "plant")} ${dug === 1 ? "was" : "were"} dug on ${field.name} in its scouting window, ` +
          `${goal.plants - dug} fewer than the ${goal.plants} it takes to be ${percent(goal.confidence)} sure of noticing ` +
          `clubroot in ${percent(goal.designIncidence)} of the plants${whatTheyShow(dug, goal)}; ${next}`,
      });
    }
  },
});

/** What the plants dug are good for: ` (20 show it from 14.6 % on)`; nothing where that rounds to the goal itself. */
function whatTheyShow(dug: number, goal: SamplingGoal): string {
  const lowest = detectableIncidence(dug, goal.confidence, goal.rootSensitivity);
  if (!lowest.ok || percent(lowest.value) === percent(goal.designIncidence)) return "";
  return ` (${dug} ${dug === 1 ? "shows" : "show"} it from ${percent(lowest.value)} on)`;
}

function percent(share: number): string {
  return `${figure(share * 100, 1)} %`;
}
