// All exposures of a large book, from its records as they were read to the last chain, beside the run's floor; and how their
// cost grows with the book. The code that is measured is bundled as it is for the command line.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { bundled } from "./bundle.mjs";
import { median, runNode } from "./measure.mjs";
import { writeBook } from "./write-book.mjs";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));
const FIELDS = [250, 500, 1000, 2000, 4000];
const FIELDS_OF_THE_BOUND = 1000;

export async function benchSoil({ rounds = 7 } = {}) {
  const program = await bundled("soil-exposures");
  const folder = mkdtempSync(join(tmpdir(), "spadework-bench-"));
  try {
    const books = FIELDS.map((fields) => {
      const place = join(folder, String(fields));
      return { fields, place, size: writeBook(place, { fields, years: 5, files: "year" }), cpuMs: [] };
    });
    const floor = [];
    // In turn, so that whatever else the machine does falls on all of them alike.
    for (let round = 0; round < rounds; round++) {
      for (const book of books) {
        const { exposed, visits, cleanings, carriages, cpuMs } = JSON.parse(await outputOf(program, book.place));
        book.cpuMs.push(cpuMs);
        Object.assign(book, { exposed, visits, cleanings, carriages });
      }
      const { cpuMs } = await run(at("floor.mjs"), books.find(isOfTheBound).place);
      floor.push(cpuMs);
    }
    const growth = books.map(({ fields, visits, cleanings, exposed, carriages, cpuMs }) => {
      return { fields, visits, cleanings, exposed, carriages, cpuMs: rounded(median(cpuMs)) };
    });
    const { cpuMs } = growth.find(isOfTheBound);
    const floorMs = median(floor);
    return {
      book: books.find(isOfTheBound).size,
      floor: { cpuMs: Math.round(floorMs) },
      exposures: { cpuMs, bound: 150 },
      ratio: rounded(cpuMs / floorMs),
      growth,
      exponentOfVisits: rounded(slope(growth.map((each) => [Math.log(each.visits), Math.log(each.cpuMs)]))),
      exponentBound: 1.3,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function isOfTheBound({ fields }) {
  return fields === FIELDS_OF_THE_BOUND;
}

async function outputOf(program, folder) {
  return (await run(program, folder)).output;
}

async function run(program, folder) {
  const result = await runNode([program, folder]);
  if (result.code !== 0) throw new Error(`${program} ended with code ${result.code}`);
  return result;
}

/** Of the straight line through points that leaves the least squares. */
function slope(points) {
  const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const x = mean(points.map((point) => point[0]));
  const y = mean(points.map((point) => point[1]));
  const products = points.map((point) => (point[0] - x) * (point[1] - y));
  return mean(products) / mean(points.map((point) => (point[0] - x) ** 2));
}

function rounded(value) {
  return Number(value.toFixed(2));
}
