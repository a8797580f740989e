import { element, type Attributes, type Markup } from "../markup.ts";

/*
 * Line drawings for the key of a field sheet. The words beside each say the same, so they are hidden from those who have the
 * page read to them. Black on white, for any printer.
 */

const INK = {
  fill: "none",
  stroke: "#000",
  "stroke-width": 1.6,
  "stroke-linecap": "round",
  "stroke-linejoin": "round",
};
const SOLID = { ...INK, fill: "#000" };
const WHITE = { ...INK, fill: "#fff" };

function line(d: string, look: Attributes = INK): Markup {
  return element("path", { ...look, d });
}

function circle(cx: number, cy: number, r: number, look: Attributes = WHITE): Markup {
  return element("circle", { ...look, cx, cy, r });
}

function drawing(...shapes: readonly Markup[]): Markup {
  return element("svg", { class: "drawing", viewBox: "0 0 48 64", "aria-hidden": "true" }, shapes);
}

const SOIL = line("M3 14h10M18 14h3M27 14h3M35 14h10", { ...INK, "stroke-width": 0.8 });
const STEM = line("M22 2v12M26 2v12");
const TAPROOT = line("M22 14c0 16 1 30 2 46c1-16 2-30 2-46");
const LATERALS = line("M22 22c-6 3-10 4-14 10M26 26c6 3 9 5 13 11M23 36c-5 3-7 6-10 11M25 40c4 3 6 5 9 10");

function root(...more: readonly Markup[]): Markup {
  return drawing(SOIL, STEM, TAPROOT, LATERALS, ...more);
}

/** A lobed swelling: three bulges run together. */
function gall(x: number, y: number, size: number): Markup {
  const s = size;
  return line(
    `M${x - s} ${y}c${-0.6 * s} ${-0.9 * s} ${0.3 * s} ${-1.4 * s} ${0.9 * s} ${-0.9 * s}c${0.4 * s} ${-0.6 * s} ${1.5 * s} ${-0.3 * s} ${1.3 * s} ${0.5 * s}c${0.7 * s} ${0.5 * s} ${0.2 * s} ${1.5 * s} ${-0.7 * s} ${1.3 * s}c${-0.5 * s} ${0.6 * s} ${-1.7 * s} ${0.2 * s} ${-1.5 * s} ${-0.9 * s}z`,
    WHITE,
  );
}

/** Roots rated 0 to 3 on the standard scale. */
export const RATING_DRAWINGS: readonly Markup[] = [
  root(),
  root(gall(12, 28, 3), gall(34, 33, 3)),
  root(gall(13, 28, 5), gall(33, 32, 5), gall(18, 42, 4), gall(30, 45, 4)),
  root(gall(15, 26, 8), gall(33, 30, 8), gall(24, 38, 9), gall(17, 46, 6), gall(31, 47, 6)),
];

/** By a word in the look-alike's name; a pack may name one of which there is no drawing. */
const LOOK_ALIKES: readonly (readonly [RegExp, Markup])[] = [
  [/nodule/i, root(circle(10, 30, 2.6), circle(36, 34, 2.6), circle(15, 43, 2.6), circle(32, 47, 2.6))],
  [
    /weevil/i,
    drawing(
      SOIL,
      STEM,
      TAPROOT,
      LATERALS,
      circle(24, 19, 8),
      circle(24, 19, 4.5),
      line("M22 20c0-3 4-3 4 0", { ...INK, "stroke-width": 2.6 }),
    ),
  ],
  [
    /phenoxy|herbicide/i,
    drawing(SOIL, line("M22 2c0 4-6 5-6 11s5 7 6 10c1-4 0-4 0-9M26 2c0 4 6 5 6 11s-5 7-6 10"), TAPROOT),
  ],
  [
    /sclerotinia/i,
    drawing(
      line("M17 4c-1 20 1 40 0 56M31 4c1 20-1 40 0 56M20 12l-7 6M28 26l8 5M20 44l-8 6M22 8v16M26 34v18"),
      circle(24, 18, 2.6, SOLID),
      circle(23, 30, 2.2, SOLID),
      circle(25, 44, 2.8, SOLID),
    ),
  ],
  [
    /blackleg/i,
    drawing(
      SOIL,
      line("M19 2v12M29 2v12"),
      line("M19 14c1 10 4 22 5 40c1-18 4-30 5-40"),
      line("M19 8c4 3 6 8 4 13l-3-4zM29 9c-3 3-4 6-3 10l3-4z", SOLID),
    ),
  ],
  [
    /verticillium/i,
    drawing(line("M17 4v56M31 4v56"), line("M19 4v56M21 8v50M23 14v40", { ...INK, "stroke-width": 2.2 })),
  ],
];

export function lookAlikeDrawing(name: string): Markup | undefined {
  return LOOK_ALIKES.find(([word]) => word.test(name))?.[1];
}
