#!/usr/bin/env node
/**
 * Makes up a record book of any size, for measurements and for tests on many records at once.
 *
 *   node test/bench/make-book.mjs DIR [--fields 200] [--years 5] [--visits 6] [--seed 1] [--files month|year]
 *                                     [--cleaned 0.5] [--known 0.02]
 *
 * `visits` is the number of visits per field and year, `cleaned` the share of visits followed by a full clean-down,
 * `known` the share of fields with an older find. The same options give the same bytes.
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const SEASON = 2026;
const USAGE =
  "usage: make-book.mjs DIR [--fields N] [--years N] [--visits N] [--seed N] [--files month|year] [--cleaned P] [--known P]";
const DEFAULTS = { fields: 200, years: 5, visits: 6, seed: 1, files: "month", cleaned: 0.5, known: 0.02 };

/** The work of a season on one field, in the order in which visits are handed out. */
const PURPOSES = ["seeding", "spraying", "scouting", "harvest", "scouting", "spraying"];
/** The first day of the year on which each is done, and over how many days it is spread. */
const FIRST_DAY = { seeding: 125, spraying: 165, scouting: 215, harvest: 240 };
const SPREAD_DAYS = { seeding: 20, spraying: 30, scouting: 30, harvest: 25 };

/** Minutes of the day before which nobody arrives and after which nobody leaves. */
const WORK_STARTS = 420;
const WORK_ENDS = 1380;

/** A book as a map from path (forward slashes) to text. */
export function makeBook(options = {}) {
  const settings = { ...DEFAULTS, ...options };
  const book = new BookText(settings.files);
  const random = new Random(settings.seed);
  const farm = layOutFarm(settings);
  writeSeason(book, farm);
  writeEquipment(book, farm);
  writeFields(book, farm, random, settings);
  const counts = { visits: 0, cleanings: 0, samples: 0 };
  for (let year = SEASON - settings.years + 1; year <= SEASON; year++) {
    writeYear(book, farm, random, settings, year, counts);
  }
  return book.files;
}

/** Texts that grow by one record at a time; each starts with its top-level key. */
class BookText {
  files = new Map();

  constructor(split) {
    this.split = split;
  }

  write(path, text) {
    this.files.set(path, (this.files.get(path) ?? "") + text);
  }

  add(path, kind, record) {
    if (!this.files.has(path)) this.write(path, `${kind}:\n`);
    this.write(path, record);
  }

  /** The file that a dated record goes to. */
  pathFor(kind, year, date) {
    return this.split === "year" ? `${year}/all.${kind}.yaml` : `${year}/${date.slice(5, 7)}.${kind}.yaml`;
  }
}

/** A small seeded generator of random numbers (mulberry32). */
class Random {
  constructor(seed) {
    this.state = seed >>> 0;
  }

  next() {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }

  below(n) {
    return Math.floor(this.next() * n);
  }

  pick(list) {
    return list[this.below(list.length)];
  }

  chance(probability) {
    return this.next() < probability;
  }
}

function layOutFarm(settings) {
  const growers = numbered("grower", Math.max(1, Math.ceil(settings.fields / 12)));
  const crews = numbered("crew", Math.max(2, Math.ceil(settings.fields / 60)));
  const fields = Array.from({ length: settings.fields }, (_, i) => ({
    id: `f-${i + 1}`,
    index: i,
    grower: growers[Math.floor(i / 12)],
    crew: crews[Math.floor(i / 60) % crews.length],
    lon: -104.6 + (i % 40) * 0.012,
    lat: 50.4 + Math.floor(i / 40) * 0.008,
    hostYears: new Set(),
  }));
  return { growers, crews, fields };
}

function numbered(name, count) {
  return Array.from({ length: count }, (_, i) => `${name}-${i + 1}`);
}

/** A set of machines serves three neighbouring growers. */
function machinesOf(farm, grower) {
  const set = Math.floor(farm.growers.indexOf(grower) / 3) + 1;
  return { seeder: `seeder-${set}`, sprayer: `sprayer-${set}`, combine: `combine-${set}` };
}

function writeSeason(book, { growers, crews }) {
  const named = (id) => `  - { id: ${id}, name: ${id.replace("-", " ")} }\n`;
  book.write(
    "season.yaml",
    `season: ${SEASON}\nregion: ca-prairies\ntimezone: America/Regina\n` +
      `growers:\n${growers.map(named).join("")}` +
      `crew:\n${crews.map(named).join("")}` +
      "labs:\n  - { id: plains-lab, name: Plains Plant Diagnostics, turnaround_days: 21 }\n",
  );
}

/** The growers' machines, and a dig kit for each crew. */
function writeEquipment(book, farm) {
  const machines = [...new Set(farm.growers.flatMap((grower) => Object.values(machinesOf(farm, grower))))];
  const machine = (id) => `  - { id: ${id}, kind: ${id.split("-")[0]}, owner: contractor }\n`;
  const kit = (crew) => `  - { id: kit-${crew}, kind: hand tools, owner: crew }\n`;
  book.write("all.equipment.yaml", `equipment:\n${machines.map(machine).join("")}${farm.crews.map(kit).join("")}`);
}

function writeFields(book, farm, random, settings) {
  for (const field of farm.fields) {
    const known = random.chance(settings.known)
      ? `    clubroot: { found_on: ${dayOfYear(SEASON - 2, 230 + random.below(30))} }\n`
      : "";
    const area = (30 + random.next() * 60).toFixed(1);
    const ph = (5.2 + random.next() * 2.3).toFixed(1);
    const record = [
      `  - id: ${field.id}`,
      `    name: Field ${field.id.slice(2)}`,
      `    grower: ${field.grower}`,
      `    area_ha: ${area}`,
      "    entrances:",
      `      - { id: gate, position: [${field.lon.toFixed(5)}, ${field.lat.toFixed(5)}], usual: true }`,
      `    soil: { ph: ${ph}, texture: clay loam }`,
    ];
    book.add(`${field.grower}.fields.yaml`, "fields", `${record.join("\n")}\n${known}`);
    const crops = makeCrops(field, random, settings);
    book.add(`${field.grower}.rotations.yaml`, "rotations", `  - field: ${field.id}\n    crops:\n${crops}`);
  }
}

/** One line for each year's crop; remembers in the field which years had a host. */
function makeCrops(field, random, settings) {
  const shift = random.below(3);
  let crops = "";
  for (let year = SEASON - settings.years + 1; year <= SEASON; year++) {
    const isHost = (year + shift) % (random.chance(0.1) ? 2 : 3) === 0;
    if (isHost) field.hostYears.add(year);
    crops += isHost ? hostCrop(year, random) : otherCrop(year, random);
  }
  return crops;
}

function hostCrop(year, random) {
  const variety = 1 + random.below(4);
  const rating = random.pick(["R", "R", "MR", "S"]);
  const source = random.pick(["first", "second"]);
  const seeded = dayOfYear(year, 125 + random.below(20));
  const swathed = dayOfYear(year, 232 + random.below(16));
  const resistance = `{ rating: ${rating}, source: ${source} }`;
  return `      - { year: ${year}, crop: canola, variety: demo ${variety}, resistance: ${resistance}, seeded: ${seeded}, swathed: ${swathed} }\n`;
}

function otherCrop(year, random) {
  const crop = random.pick(["spring wheat", "barley", "peas", "oats"]);
  return `      - { year: ${year}, crop: ${crop}${random.chance(0.06) ? ", volunteers: present" : ""} }\n`;
}

/** Every carrier and crew works through one time line, so that nothing is on two fields at once. */
function writeYear(book, farm, random, settings, year, counts) {
  /** By carrier or crew and day: the minute of the day from which it is free. */
  const freeFrom = new Map();
  for (const job of makeJobs(farm, random, settings)) {
    const carrier = job.machine ?? `kit-${job.field.crew}`;
    const date = dayOfYear(year, job.day);
    const carrierDay = `${carrier} ${date}`;
    const crewDay = `${job.field.crew} ${date}`;
    const arrived = Math.max(WORK_STARTS, freeFrom.get(carrierDay) ?? 0, freeFrom.get(crewDay) ?? 0);
    const left = arrived + 30 + random.below(60);
    if (left > WORK_ENDS) continue;
    const stay = { ...job, year, date, carrier, crew: job.field.crew, arrived, left };
    writeVisit(book, random, stay, counts);
    const tookMinutes = writeCleaning(book, random, settings, stay, counts);
    freeFrom.set(carrierDay, left + tookMinutes + 10);
    freeFrom.set(crewDay, left + tookMinutes + 10);
  }
}

function makeJobs(farm, random, settings) {
  const jobs = [];
  for (const field of farm.fields) {
    const { seeder, sprayer, combine } = machinesOf(farm, field.grower);
    const machines = { seeding: seeder, spraying: sprayer, harvest: combine, scouting: undefined };
    for (let visit = 0; visit < settings.visits; visit++) {
      const purpose = PURPOSES[visit % PURPOSES.length];
      const day = FIRST_DAY[purpose] + random.below(SPREAD_DAYS[purpose]);
      jobs.push({ field, purpose, day, machine: machines[purpose] });
    }
  }
  return jobs.sort((a, b) => a.day - b.day || a.field.index - b.field.index);
}

function writeVisit(book, random, stay, counts) {
  const { field, purpose, year, date } = stay;
  const id = ++counts.visits;
  const footwear = random.chance(0.85) ? "disposable" : random.chance(0.5) ? "disinfected" : "unprotected";
  const ground = random.chance(0.06) ? "wet" : random.pick(["dry", "moist"]);
  let text = `${[
    `  - id: v-${id}`,
    `    field: ${field.id}`,
    "    entrance: gate",
    `    arrived: ${date}T${clock(stay.arrived)}`,
    `    left: ${date}T${clock(stay.left)}`,
    `    purpose: ${purpose}`,
    `    crew: [${stay.crew}]`,
    `    equipment: [${stay.carrier}]`,
    `    footwear: ${footwear}`,
    `    ground: ${ground}`,
  ].join("\n")}\n`;
  if (purpose === "spraying") text += "    re_entry_hours: 12\n";
  if (purpose === "scouting" && field.hostYears.has(year)) text += makeDigs(book, random, stay, id, counts);
  if (random.chance(0.3)) {
    const seen = random.pick([
      "dry knolls",
      "standing water in the low spot",
      "volunteers along the fence",
      "nothing to see above ground",
    ]);
    text += `    note: "walked from the gate, ${seen}"   # as written in the field\n`;
  }
  book.add(book.pathFor("visits", year, date), "visits", text);
}

function makeDigs(book, random, stay, visit, counts) {
  const stage = 78 + random.below(12);
  const hasPatch = random.chance(0.2);
  let text = `    stage: ${stage}\n`;
  if (hasPatch) {
    text += `    patches:\n      - { id: p1, symptom: ripening early, area_m2: ${20 + random.below(200)} }\n`;
  }
  text += "    digs:\n";
  // The number of digs is drawn anew before each one.
  for (let dig = 1; dig <= 3 + random.below(3); dig++) {
    const galls = random.chance(0.03) ? 1 + random.below(4) : 0;
    const plants = 10 + random.below(2) * 10;
    const place = makePlace(random, dig, hasPatch);
    text += `      - { id: d${dig}, place: ${place}, plants: ${plants}, ratings: [${plants - galls}, ${galls}, 0, 0] }\n`;
    if (galls > 0 && random.chance(0.7)) writeSample(book, random, stay, visit, dig, galls, counts);
  }
  return text;
}

function makePlace(random, dig, hasPatch) {
  if (hasPatch && dig === 2 && random.chance(0.7)) return "patch, patch: p1";
  return dig === 1 ? `entrance, metres_in: ${20 + random.below(80)}` : "along the route";
}

function writeSample(book, random, { field, year, date, day }, visit, dig, plants, counts) {
  const sent = dayOfYear(year, day + 1);
  const reported = dayOfYear(year, day + 12 + random.below(10));
  const id = ++counts.samples;
  const result = random.chance(0.9)
    ? `    result: { reported: ${reported}, finding: ${random.chance(0.4) ? "detected" : "not detected"} }\n`
    : "";
  const record = [
    `  - id: s-${id}`,
    `    field: ${field.id}`,
    `    visit: v-${visit}`,
    `    dig: d${dig}`,
    "    material: roots",
    `    plants: ${plants}`,
    `    taken: ${date}`,
    "    packed: paper bag",
    "    lab: plains-lab",
    `    sent: ${sent}`,
  ];
  book.add(book.pathFor("samples", year, date), "samples", `${record.join("\n")}\n${result}`);
}

/** Writes the cleaning after a visit, if there was one, and gives the minutes that it took. */
function writeCleaning(book, random, settings, { field, year, date, carrier, crew, left }, counts) {
  const isThorough = random.chance(settings.cleaned);
  if (!isThorough && !random.chance(0.5)) return 0;
  let steps = "      - { step: remove soil }\n";
  if (isThorough || random.chance(0.6)) steps += "      - { step: wash, with: water }\n";
  if (isThorough || random.chance(0.4)) {
    const strength = isThorough || random.chance(0.7) ? "1.0" : "0.5";
    const minutes = isThorough ? random.pick([15, 20]) : random.pick([10, 15, 20]);
    steps += `      - { step: disinfect, product: bleach, stock_percent: 5.25, stock_l: 2, water_l: 8.5, strength_percent: ${strength}, contact_minutes: ${minutes} }\n`;
  }
  const record = [
    `  - id: c-${++counts.cleanings}`,
    `    at: ${date}T${clock(left + 5)}`,
    "    place: field entrance",
    `    field: ${field.id}`,
    `    equipment: [${carrier}]`,
    `    by: ${crew}`,
    "    steps:",
  ];
  book.add(book.pathFor("cleanings", year, date), "cleanings", `${record.join("\n")}\n${steps}`);
  return 25;
}

/** The ISO date of a day of a year, counted from 0 on 1 January. */
function dayOfYear(year, day) {
  return new Date(Date.UTC(year, 0, 1 + day)).toISOString().slice(0, 10);
}

/** The time of day of a minute. */
function clock(minutes) {
  return `${twoDigits(Math.floor(minutes / 60))}:${twoDigits(minutes % 60)}`;
}

function twoDigits(n) {
  return String(n).padStart(2, "0");
}

function main([directory, ...words]) {
  if (!directory) {
    console.error(USAGE);
    process.exitCode = 2;
    return;
  }
  const options = {};
  for (let i = 0; i < words.length; i += 2) {
    const name = words[i].replace(/^--/, "");
    options[name] = name === "files" ? words[i + 1] : Number(words[i + 1]);
  }
  const files = makeBook(options);
  let bytes = 0;
  const records = { fields: 0, visits: 0, cleanings: 0, samples: 0 };
  for (const [path, text] of files) {
    mkdirSync(dirname(join(directory, path)), { recursive: true });
    writeFileSync(join(directory, path), text);
    bytes += text.length;
    const kind = path.split(".").at(-2);
    if (kind in records) records[kind] += text.match(/^ {2}- /gm).length;
  }
  console.log(JSON.stringify({ files: files.size, bytes, ...records }));
}

if (process.argv[1] === fileURLToPath(import.meta.url)) main(process.argv.slice(2));
