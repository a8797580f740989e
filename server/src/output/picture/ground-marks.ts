import { scaleSqrt } from "d3-scale";
import type { Outline } from "../../book/outlines.ts";
import { figure } from "../../base/words.ts";
import { element, short, type Markup } from "../markup.ts";
import type { MapDig, MapEntrance, MapPatch, MapStop, PictureOptions } from "./map-facts.ts";
import { roundLength } from "./measures.ts";
import { mark } from "./picture.ts";
import type { Frame, GroundPlan, Point } from "./projection.ts";

/** The area of a dig's circle goes with its severity: index in percent to a radius in units. */
const galledRadius = scaleSqrt().domain([0, 100]).range([4, 18]).clamp(true);
const CLEAN_RADIUS = 4;

/** Radius of a dig's circle in units; an index of 0 to 100 %, undefined where it was not rated. */
export function digRadius(dsiPercent: number | undefined): number {
  return dsiPercent ? galledRadius(dsiPercent) : CLEAN_RADIUS;
}

export function outlinePath(outline: Outline, { project }: GroundPlan): string {
  return outline
    .flatMap((polygon) =>
      polygon.map(
        (ring) =>
          `${ring
            .slice(0, -1)
            .map((place, i) => `${i === 0 ? "M" : "L"}${at(project(place))}`)
            .join("")}Z`,
      ),
    )
    .join("");
}

export function at({ x, y }: Point): string {
  return `${short(x)} ${short(y)}`;
}

export function entranceMark(entrance: MapEntrance, plan: GroundPlan, options: PictureOptions): Markup {
  const { x, y } = plan.project(entrance.position);
  const kind = entrance.usual ? "entrance" : "entrance other";
  return mark(
    entrance,
    options,
    "entrance-mark",
    element("rect", { class: kind, x: x - 4, y: y - 4, width: 8, height: 8 }),
  );
}

export function digMark(dig: MapDig, plan: GroundPlan, options: PictureOptions): Markup {
  const { x, y } = plan.project(dig.position);
  return mark(
    dig,
    options,
    "dig-mark",
    options.interactive && element("circle", { class: "hit", cx: x, cy: y, r: 8 }),
    element("circle", { class: digClass(dig.dsiPercent), cx: x, cy: y, r: digRadius(dig.dsiPercent) }),
  );
}

export function digClass(dsiPercent: number | undefined): string {
  return dsiPercent === undefined ? "dig unrated" : dsiPercent > 0 ? "dig galls" : "dig";
}

/** As large as it was, where that is large enough to be seen. */
export function patchMark(patch: MapPatch, plan: GroundPlan, options: PictureOptions): Markup {
  const { x, y } = plan.project(patch.position);
  const metres = Math.sqrt((patch.areaM2 ?? 0) / Math.PI);
  const r = Math.min(60, Math.max(9, metres / plan.metresPerUnit));
  return mark(patch, options, "patch-mark", element("circle", { class: "patch", cx: x, cy: y, r }));
}

export function stopMarks(stops: readonly MapStop[], plan: GroundPlan, options: PictureOptions): Markup[] {
  const way = stops.map(({ position }, i) => `${i === 0 ? "M" : "L"}${at(plan.project(position))}`).join("");
  const marks = stops.map((stop) => {
    const { x, y } = plan.project(stop.position);
    return mark(
      stop,
      options,
      "stop-mark",
      element("circle", { class: "stop", cx: x, cy: y, r: 9 }),
      element("text", { class: "stop-number", x, y: y + 4, "text-anchor": "middle" }, stop.number),
    );
  });
  return stops.length > 1 ? [element("path", { class: "walk", d: way }), ...marks] : marks;
}

/** A bar of a round length, at the lower left of a frame, and an arrow to the north at its upper right. */
export function scaleAndNorth(plan: GroundPlan, frame: Frame): Markup {
  const metres = roundLength(Math.min(frame.width * 0.28, 220) * plan.metresPerUnit);
  const width = metres / plan.metresPerUnit;
  const [x, y] = [frame.x + 10, frame.y + frame.height - 16];
  const words = metres >= 1000 ? `${figure(metres / 1000)} km` : `${figure(metres)} m`;
  const north = { x: frame.x + frame.width - 20, y: frame.y + 12 };
  return element(
    "g",
    { class: "measures", "aria-hidden": "true" },
    element("rect", { class: "bar-dark", x, y, width: width / 2, height: 5 }),
    element("rect", { class: "bar-light", x: x + width / 2, y, width: width / 2, height: 5 }),
    element("text", { class: "small halo", x, y: y - 6 }, "0"),
    element("text", { class: "small halo", x: x + width, y: y - 6, "text-anchor": "end" }, words),
    element("path", { class: "bar-dark", d: `M${at(north)}l8 20l-8 -5l-8 5z` }),
    element("text", { class: "small strong halo", x: north.x, y: north.y + 34, "text-anchor": "middle" }, "N"),
  );
}
