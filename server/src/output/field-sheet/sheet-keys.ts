import { mixingCautions } from "../../agronomy/mixing.ts";
import { figure, plural } from "../../base/words.ts";
import type { Book } from "../../book/book.ts";
import type { PlannedDay, PlannedField } from "../../planning/season-plan.ts";
import { element, type Child, type Markup } from "../markup.ts";
import { mixInWords } from "../plan-words.ts";
import { lookAlikeDrawing, RATING_DRAWINGS } from "./drawings.ts";

export function section(title: string, ...children: readonly Child[]): Markup {
  return element("section", {}, element("h2", {}, title), children);
}

/** The standard root scale, in words: Chapara 2018 (NDSU), after Strelkov; Kuginuki et al. 1999 (from memory). */
const SCALE = [
  "0: no galls",
  "1: a few small galls, on under a third of the roots",
  "2: small to medium galls, on a third to two thirds",
  "3: medium to large galls, on over two thirds",
];

function key(drawing: Markup | undefined, name: string, words: string): Markup {
  return element("li", { class: "key" }, drawing, element("span", {}, element("strong", {}, name), words));
}

export function keys(book: Book): Markup {
  const alike = book.region.look_alikes ?? [];
  return section(
    "What is a gall",
    element(
      "ul",
      { class: "keys" },
      SCALE.map((words, i) => key(RATING_DRAWINGS[i], words.slice(0, 1), words.slice(1))),
    ),
    element(
      "p",
      {},
      "Galls are white and fleshy, lobed, and later brown and crumbling. What can be taken for them; when in doubt, send roots to a lab:",
    ),
    alike.length > 0 &&
      element(
        "ul",
        { class: "keys" },
        alike.map(({ name = "", signs = "" }) => key(lookAlikeDrawing(name), name, `: ${signs}`)),
      ),
  );
}

export function cleanDown({ cleanDown: plan, walker }: PlannedDay, book: Book): Markup {
  const kit = walker.kit.length > 0 ? walker.kit.join(", ") : "the tools";
  const done = element("span", { class: "tick" });
  const keeps = book.region.cleaning?.mix_keeps_hours;
  return section(
    "Clean down before you leave",
    element(
      "ol",
      {},
      element("li", {}, `Soil off ${kit} and boots, at the gate, on the field's side.`, done),
      element(
        "li",
        {},
        `Wash with ${figure(plan.rinseWaterL)} L of water until no soil is left: soil uses the disinfectant up.`,
        done,
      ),
      element(
        "li",
        {},
        `Disinfect: ${mixInWords(plan)}. Keep it wet for ${plural(plan.contactMinutes, "minute")}, by the watch.`,
        done,
      ),
      element("li", {}, "Seal used covers in a bag, put fresh ones on at the next gate.", done),
    ),
    element(
      "p",
      {},
      `${plan.isStockRecorded ? "The stock's strength is that of the last clean-down recorded" : "The stock's strength is the region's figure"}; look at the bottle. `,
      keeps !== undefined && `Mixed more than ${plural(keeps, "hour")} ago: throw it away.`,
    ),
  );
}

export function cautions({ work }: PlannedField, book: Book): Markup {
  const own = [
    "Look whether the field was sprayed: the label's re-entry interval comes first.",
    "Park on the road, go in by one entrance, and leave by it.",
  ];
  if (work.standing !== "clean")
    own.unshift("No clean field after this one today, and nothing that was on it without a full clean-down.");
  const { authority, required } = book.region.notice ?? {};
  if (required && authority) own.push(`Galls found: who must be told is for the authority to say (${authority}).`);
  return element(
    "section",
    { class: "cautions" },
    element("h2", {}, "Cautions"),
    element(
      "ul",
      {},
      [...own, ...mixingCautions(book.region.cleaning?.mix_keeps_hours).map(({ text }) => text)].map((text) =>
        element("li", {}, text),
      ),
    ),
  );
}
