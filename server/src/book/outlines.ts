import type { Geometry, LonLat } from "../schema/facts.ts";
import type { Book } from "./book.ts";
import { pathInBook } from "./path-in-book.ts";

/** A field's outline: polygons, each of its rings (the outer one first, then its holes), in degrees, RFC 7946 order. */
export type Outline = readonly (readonly (readonly LonLat[])[])[];

/** What a field's `boundary` came to: its outline, or why there is none, in words for its keeper. */
export type ReadOutline = { readonly outline: Outline } | { readonly trouble: string };

/** More corners than any field has; a drawing of them would choke whoever opens it. */
export const MOST_CORNERS = 20_000;
const MOST_NESTED = 8;

/** A file of the book that fields name for their outlines, from the book's root. */
export interface OutlineFile {
  readonly field: string;
  readonly path: string;
}

/** The files that hold outlines; a path that leads out of the book names none. */
export function outlineFiles(book: Book): OutlineFile[] {
  return book.fieldIds().flatMap((field) => {
    const record = book.record("fields", field);
    const boundary = record?.facts.boundary;
    if (!record || typeof boundary !== "string" || !boundary.endsWith(".geojson")) return [];
    const path = pathInBook(record.file.slice(0, record.file.lastIndexOf("/") + 1), boundary);
    return path === undefined ? [] : [{ field, path }];
  });
}

/**
 * The outlines of all fields that have one, or are said to have one.
 *
 * @param texts of the files that `outlineFiles` names, by path; what could not be read is missing
 */
export function fieldOutlines(book: Book, texts: ReadonlyMap<string, string>): ReadonlyMap<string, ReadOutline> {
  const paths = new Map(outlineFiles(book).map(({ field, path }) => [field, path]));
  const outlines = new Map<string, ReadOutline>();
  for (const field of book.fieldIds()) {
    const boundary = book.record("fields", field)?.facts.boundary;
    if (boundary === undefined) continue;
    if (typeof boundary !== "string") {
      outlines.set(field, outlineOf(boundary));
      continue;
    }
    const path = paths.get(field);
    const text = path === undefined ? undefined : texts.get(path);
    if (path === undefined) outlines.set(field, { trouble: "its outline is to lie in no .geojson file of this book" });
    else if (text === undefined) outlines.set(field, { trouble: `its outline, ${path}, could not be read` });
    else outlines.set(field, readGeoJson(text));
  }
  return outlines;
}

/** The polygons of a GeoJSON text (RFC 7946): a geometry, a feature, or a collection of either. */
export function readGeoJson(text: string): ReadOutline {
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch {
    return { trouble: "its outline's file is no JSON; save it as GeoJSON" };
  }
  const polygons = polygonsOf(value, 0);
  return polygons.length === 0 ? { trouble: "its outline's file holds no polygon" } : checked(polygons);
}

export function outlineOf(geometry: Geometry): ReadOutline {
  return checked(polygonsOf(geometry, 0));
}

/** Polygons as they are written, whatever they hold. */
function polygonsOf(value: unknown, depth: number): unknown[] {
  if (typeof value !== "object" || value === null || depth > MOST_NESTED) return [];
  const { type, coordinates, geometry, geometries, features } = value as Readonly<Record<string, unknown>>;
  if (type === "Polygon") return [coordinates];
  if (type === "MultiPolygon") return Array.isArray(coordinates) ? coordinates : [];
  if (type === "Feature") return polygonsOf(geometry, depth + 1);
  const parts = type === "FeatureCollection" ? features : type === "GeometryCollection" ? geometries : undefined;
  return Array.isArray(parts) ? parts.flatMap((part) => polygonsOf(part, depth + 1)) : [];
}

function checked(polygons: readonly unknown[]): ReadOutline {
  let corners = 0;
  const outline: LonLat[][][] = [];
  for (const polygon of polygons) {
    if (!Array.isArray(polygon) || polygon.length === 0) return { trouble: "a polygon of its outline has no rings" };
    const rings: LonLat[][] = [];
    for (const ring of polygon as unknown[]) {
      if (!Array.isArray(ring) || ring.length < 4)
        return { trouble: "a ring of its outline has fewer than four positions" };
      if ((corners += ring.length) > MOST_CORNERS)
        return { trouble: `its outline has over ${MOST_CORNERS} corners; simplify it` };
      const positions = ring.map(positionOf);
      if (positions.some((position) => position === undefined))
        return { trouble: "a position of its outline is no longitude and latitude in degrees" };
      rings.push(positions as LonLat[]);
    }
    outline.push(rings);
  }
  return outline.length === 0 ? { trouble: "its outline holds no polygon" } : { outline };
}

function positionOf(value: unknown): LonLat | undefined {
  if (!Array.isArray(value)) return undefined;
  const [longitude, latitude] = value as unknown[];
  if (typeof longitude !== "number" || typeof latitude !== "number") return undefined;
  return Math.abs(longitude) <= 180 && Math.abs(latitude) <= 90 ? [longitude, latitude] : undefined;
}
