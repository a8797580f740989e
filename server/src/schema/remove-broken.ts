import type { ValidatorError } from "../../generated/validators.mjs";
import { stepsOf, valueAt } from "./schema-problem.ts";
import { shapeOfOtherKey } from "./read-value.ts";
import type { Shape } from "./shape.ts";

/**
 * Takes every broken part out of a value that was just read, in place. A key goes with its value. In a list of texts a
 * broken item becomes "", in a list of records {}, so that the others keep their places; a list of numbers goes whole,
 * because a part of a position or of ratings means nothing.
 */
export function removeBroken(value: unknown, errors: readonly ValidatorError[], shape: Shape): void {
  // Steps are found before anything is removed, while the value is still what the errors speak of.
  const places = errors.map((error) => ({ error, steps: stepsOf(error.instancePath, value) }));
  for (const { error, steps } of places) {
    const shapes = shapesAlong(shape, steps);
    const whole = stepsToWhole(shapes);
    if (whole !== undefined) remove(value, steps.slice(0, whole), shapes);
    else if (error.keyword !== "required" && error.keyword !== "if") remove(value, steps, shapes);
  }
}

function remove(value: unknown, steps: readonly (string | number)[], shapes: readonly (Shape | undefined)[]): void {
  for (let length = steps.length; length > 0; length--) {
    const parent = valueAt(value, steps.slice(0, length - 1));
    const last = steps[length - 1]!;
    if (!Array.isArray(parent)) {
      if (parent !== null && typeof parent === "object") Reflect.deleteProperty(parent, last);
      return;
    }
    const item = shapes[length];
    if (item?.wantsText || (item?.isMap && !item.isFree)) {
      parent[Number(last)] = item.wantsText ? "" : {};
      return;
    }
  }
}

/** How many steps lead to the value that is right or left out as a whole, where one of the shapes on the way is such. */
export function stepsToWhole(shapes: readonly (Shape | undefined)[]): number | undefined {
  const at = shapes.findIndex((one) => one?.isWhole === true);
  return at > 0 ? at : undefined;
}

/** The shape at each step of a way, the record's own first. */
export function shapesAlong(shape: Shape, steps: readonly (string | number)[]): (Shape | undefined)[] {
  const shapes: (Shape | undefined)[] = [shape];
  let at: Shape | undefined = shape;
  for (const step of steps) {
    if (at !== undefined) {
      at = typeof step === "number" ? at.items : (at.keys.get(step) ?? shapeOfOtherKey(step, at));
    }
    shapes.push(at);
  }
  return shapes;
}
