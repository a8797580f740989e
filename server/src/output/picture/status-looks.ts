import type { RiskStatus } from "../../book/field-status.ts";
import { element, type Markup } from "../markup.ts";
import type { Point } from "./projection.ts";

/** How a field's status is drawn: by a pattern, a shape and a mark, so that the colour is never needed to tell it. */
export interface StatusLook {
  /** For class names and the ids of patterns. */
  readonly key: string;
  /** The one that `spadework risk` sets before the field, too. */
  readonly mark: string;
  readonly shape: "square" | "diamond" | "triangle" | "circle";
}

export const STATUS_LOOKS: Readonly<Record<RiskStatus, StatusLook>> = {
  confirmed: { key: "confirmed", mark: "X", shape: "square" },
  suspected: { key: "suspected", mark: "?", shape: "diamond" },
  exposed: { key: "exposed", mark: ">", shape: "triangle" },
  unscouted: { key: "unscouted", mark: "!", shape: "square" },
  "not found": { key: "not-found", mark: "o", shape: "circle" },
  "no host this season": { key: "no-host", mark: "-", shape: "circle" },
  waiting: { key: "waiting", mark: "·", shape: "circle" },
};

/** The lines of each pattern within a tile of 10 by 10. */
const PATTERN_LINES: Readonly<Record<string, string>> = {
  confirmed: "M0 0L10 10M10 0L0 10",
  suspected: "M0 10L10 0",
  exposed: "M2.5 2.5h.01M7.5 7.5h.01",
  unscouted: "M0 5H10",
  "not-found": "M5 3a2 2 0 1 0 .01 0",
  waiting: "M5 0V10",
};

/** The patterns of the statuses that a drawing shows; `prefix` keeps apart the ids of several drawings on a page. */
export function statusPatterns(statuses: Iterable<RiskStatus>, prefix: string): Markup[] {
  return [...statuses].map((status) => {
    const { key } = STATUS_LOOKS[status];
    const lines = PATTERN_LINES[key];
    return element(
      "pattern",
      { id: `${prefix}-${key}`, width: 10, height: 10, patternUnits: "userSpaceOnUse" },
      element("rect", { class: `tint fill-${key}`, width: 10, height: 10 }),
      lines !== undefined && element("path", { class: `pattern line-${key}`, d: lines }),
    );
  });
}

/** A status's shape with its mark, about 16 units across. */
export function statusBadge(status: RiskStatus, { x, y }: Point): Markup {
  const { key, mark, shape } = STATUS_LOOKS[status];
  const attributes = { class: `badge fill-${key}` };
  const outline =
    shape === "circle"
      ? element("circle", { ...attributes, cx: x, cy: y, r: 8 })
      : element("path", { ...attributes, d: SHAPES[shape](x, y) });
  return element(
    "g",
    { class: "status" },
    outline,
    element("text", { class: "badge-mark", x, y: y + (shape === "triangle" ? 5.5 : 4), "text-anchor": "middle" }, mark),
  );
}

const SHAPES = {
  square: (x: number, y: number) => `M${x - 7.5} ${y - 7.5}h15v15h-15z`,
  diamond: (x: number, y: number) => `M${x} ${y - 10}l10 10l-10 10l-10 -10z`,
  triangle: (x: number, y: number) => `M${x} ${y - 10}l10 17h-20z`,
} as const;
