import { formatDay, formatMinute } from "../base/days.ts";
import type { SeasonPlan } from "../planning/season-plan.ts";
import { whyLeftOut } from "../planning/left-out.ts";
import { byCodeUnits } from "../base/code-units.ts";
import type { Book } from "../book/book.ts";
import { drivingGap } from "./plan-quality.ts";
import { toCarry } from "./plan-words.ts";

/** A book's plan, for programs: distances in kilometres, volumes in litres, times of the book's local clock. */
export function planJson(plan: SeasonPlan, book: Book): string {
  const { question, crew, home, days, leftOut, done, solved, figures } = plan;
  const { cost, bound, method } = solved;
  const answer = {
    as_of: formatDay(book.asOf),
    from: formatDay(question.from),
    days: question.days,
    home: home ? home.map((part) => Number(part.toFixed(6))) : null,
    home_given: question.home !== undefined,
    timezone: book.season.timezone ?? null,
    crew: crew.map(({ id, name, kit }) => ({ id, name, equipment: kit })),
    method: method === "exact" ? "exact" : "large neighbourhood search",
    windows_missed: cost.missed,
    left_out: cost.missed + cost.left,
    drive_km: cost.metres / 1000,
    bound: {
      windows_missed: bound.missed,
      left_out: bound.leftOut,
      drive_km: bound.metres / 1000,
      drive_gap: drivingGap(plan) ?? null,
    },
    walks: days.map((day) => {
      const carry = toCarry(day, figures.covers_per_visit, figures.root_bags_per_field);
      const { cleanDown } = day;
      return {
        day: formatDay(day.day),
        walker: day.walker.id,
        begins: formatMinute(day.begins),
        ended: formatMinute(day.ended),
        sunrise: day.sunrise === undefined ? null : formatMinute(day.sunrise),
        sunset: day.sunset === undefined ? null : formatMinute(day.sunset),
        drive_km: day.metres / 1000,
        samples: day.samples.map(({ id }) => id),
        carry: {
          cover_pairs: carry.coverPairs,
          rubbish_bags: carry.rubbishBags,
          root_bags: carry.rootBags,
          stock_l: round(carry.stockL),
          water_l: round(carry.waterL),
        },
        clean_down: {
          product: cleanDown.product,
          stock_percent: cleanDown.stockPercent,
          strength_percent: cleanDown.strengthPercent,
          stock_l: cleanDown.mix ? round(cleanDown.mix.stockL) : null,
          water_l: cleanDown.mix ? round(cleanDown.mix.waterL) : null,
          rinse_water_l: cleanDown.rinseWaterL,
          contact_minutes: cleanDown.contactMinutes,
        },
        fields: day.fields.map(({ work, by, arrived, walked, left }) => ({
          field: work.field,
          status: work.status,
          standing: work.standing,
          entrance: work.entrance?.id ?? null,
          drive_km: by.metres / 1000,
          arrived: formatMinute(arrived),
          clean_down: formatMinute(walked),
          left: formatMinute(left),
          window: {
            opens: formatDay(work.window.opens),
            closes: formatDay(work.window.closes),
            basis: work.window.basis,
          },
          plants: work.plants,
          plants_dug: work.plantsDug,
          plants_wanted: work.plantsWanted,
          walk_km: work.walkMetres / 1000,
          stops: work.stops.map(({ number, place, plants, patch, position }) => ({
            number,
            place,
            plants,
            patch: patch ?? null,
            position: position ? position.map((part) => Number(part.toFixed(6))) : null,
          })),
        })),
      };
    }),
    not_walked: [...leftOut]
      .sort((a, b) => byCodeUnits(a.field, b.field))
      .map((field) => ({
        field: field.field,
        window_missed: field.isMissed,
        reason: field.why,
        message: whyLeftOut(field, question, book.seasonYear),
      })),
    done: [...done].sort(byCodeUnits),
  };
  return `${JSON.stringify(answer, undefined, 2)}\n`;
}

function round(litres: number): number {
  return Number(litres.toFixed(3));
}
