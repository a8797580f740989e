import { MINUTES_PER_DAY } from "../base/days.ts";

const MS_PER_MINUTE = 60_000;

/**
 * Minutes by which the clocks of a zone are ahead of universal time, at a minute of universal time (since 1970-01-01T00:00), by
 * the IANA time zone database that the platform brings. Undefined where the platform does not know the zone.
 */
export function minutesAhead(zone: string, universal: number): number | undefined {
  const format = formatOf(zone);
  if (!format) return undefined;
  const parts: Record<string, number> = {};
  for (const { type, value } of format.formatToParts(universal * MS_PER_MINUTE)) parts[type] = Number(value);
  const { year, month, day, hour, minute } = parts;
  const local = Date.UTC(year!, month! - 1, day, hour, minute) / MS_PER_MINUTE;
  return local - Math.floor(universal);
}

/** The local time of a minute of universal time. */
export function localTime(zone: string, universal: number): number | undefined {
  const ahead = minutesAhead(zone, universal);
  return ahead === undefined ? undefined : universal + ahead;
}

/** How a zone's clocks stand from a minute of universal time on. */
export interface ClockRule {
  /** Universal time. */
  readonly from: number;
  readonly ahead: number;
}

/** How the clocks stand at the beginning of a stretch of days, and each time they are changed in it. */
export function clockRules(zone: string, firstDay: number, lastDay: number): ClockRule[] {
  const rules: ClockRule[] = [];
  const start = (firstDay - 1) * MINUTES_PER_DAY;
  let ahead = minutesAhead(zone, start);
  if (ahead === undefined) return rules;
  rules.push({ from: start, ahead });
  for (let day = firstDay; day <= lastDay + 1; day++) {
    let [low, high] = [(day - 1) * MINUTES_PER_DAY, day * MINUTES_PER_DAY];
    const after = minutesAhead(zone, high)!;
    if (after === ahead) continue;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (minutesAhead(zone, middle) === ahead) low = middle;
      else high = middle;
    }
    rules.push({ from: high, ahead: after });
    ahead = after;
  }
  return rules;
}

const formats = new Map<string, Intl.DateTimeFormat | undefined>();
const MOST_KEPT = 100;

function formatOf(zone: string): Intl.DateTimeFormat | undefined {
  if (!formats.has(zone)) {
    if (formats.size > MOST_KEPT) formats.clear();
    formats.set(zone, makeFormat(zone));
  }
  return formats.get(zone);
}

function makeFormat(timeZone: string): Intl.DateTimeFormat | undefined {
  const numeric = "numeric";
  try {
    return new Intl.DateTimeFormat("en-u-ca-iso8601", {
      timeZone,
      hourCycle: "h23",
      year: numeric,
      month: numeric,
      day: numeric,
      hour: numeric,
      minute: numeric,
    });
  } catch {
    return undefined;
  }
}
