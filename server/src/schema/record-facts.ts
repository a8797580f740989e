/**
 * The records as every calculation sees them: decoded, and without what was broken. Anything may be missing, required keys
 * too, because the record of a keeper who is still typing is read all the same; a text that was broken inside a list is "".
 * The meaning and unit of each key stand in the schemas.
 */

export interface SeasonRecord extends Noted {
  readonly format?: number;
  readonly season?: number;
  readonly region?: string;
  readonly timezone?: string;
  readonly growers?: readonly GrowerRecord[];
  readonly crew?: readonly CrewRecord[];
  readonly labs?: readonly LabRecord[];
  readonly sampling?: SamplingChoice;
  readonly rules?: RuleLevels;
}

export interface GrowerRecord extends Noted {
  readonly id?: string;
  readonly name?: string;
  readonly contact?: string;
}

export interface CrewRecord extends Noted {
  readonly id?: string;
  readonly name?: string;
  readonly contact?: string;
}

export interface LabRecord extends Noted {
  readonly id?: string;
  readonly name?: string;
  readonly contact?: string;
  readonly turnaround_days?: number;
  readonly accepts?: readonly (Packaging | "")[];
}

export interface SamplingChoice extends Noted {
  readonly confidence?: number;
  readonly design_incidence?: number;
  readonly root_sensitivity?: number;
}

export type RuleLevelName = "off" | "hint" | "information" | "warning" | "error";
/** By the code of the rule. */
export type RuleLevels = Readonly<Record<string, RuleLevelName>>;

export interface FieldRecord extends Noted {
  readonly id?: string;
  readonly name?: string;
  readonly grower?: string;
  readonly area_ha?: number;
  readonly boundary?: Geometry | string;
  readonly entrances?: readonly EntranceRecord[];
  readonly soil?: SoilRecord;
  readonly clubroot?: ClubrootRecord;
  readonly notices?: readonly NoticeRecord[];
}

export interface EntranceRecord extends Noted {
  readonly id?: string;
  readonly name?: string;
  readonly position?: LonLat;
  readonly usual?: boolean;
}

export interface SoilRecord extends Noted {
  readonly ph?: number;
  readonly texture?: string;
  readonly drainage?: string;
}

export interface ClubrootRecord extends Noted {
  readonly found_on?: string;
}

export interface NoticeRecord extends Noted {
  readonly on?: string;
  readonly authority?: string;
  readonly reference?: string;
}

/** Longitude, latitude in degrees. */
export type LonLat = readonly [number, number];
/** Longitude, latitude, and perhaps a height in metres. */
export type GeoPosition = readonly [number, number] | readonly [number, number, number];
/** RFC 7946. A broken geometry is left out whole, so that what is here is right in its form. */
export type Geometry =
  | { readonly type: "Polygon"; readonly coordinates: readonly (readonly GeoPosition[])[] }
  | { readonly type: "MultiPolygon"; readonly coordinates: readonly (readonly (readonly GeoPosition[])[])[] };

export type EquipmentKind =
  "hand tools" | "vehicle" | "tractor" | "seeder" | "sprayer" | "swather" | "combine" | "truck" | "other";

export interface EquipmentRecord extends Noted {
  readonly id?: string;
  readonly name?: string;
  readonly kind?: EquipmentKind;
  readonly owner?: string;
  readonly touches_soil?: boolean;
  readonly acquired?: AcquiredRecord;
}

export interface AcquiredRecord extends Noted {
  readonly on?: string;
  readonly from?: string;
  readonly place?: string;
  readonly cleaned_before_arrival?: boolean;
}

export interface RotationRecord extends Noted {
  readonly field?: string;
  readonly crops?: readonly CropRecord[];
}

export interface CropRecord extends Noted {
  readonly year?: number;
  readonly crop?: string;
  readonly variety?: string;
  readonly resistance?: ResistanceRecord;
  readonly volunteers?: "controlled" | "present";
  readonly seeded?: string;
  readonly emerged?: string;
  readonly swathed?: string;
}

export interface ResistanceRecord extends Noted {
  readonly rating?: "R" | "MR" | "MS" | "S";
  readonly source?: string;
}

export type Purpose = "scouting" | "seeding" | "spraying" | "swathing" | "harvest" | "soil work" | "other";

export interface VisitRecord extends Noted {
  readonly id?: string;
  readonly field?: string;
  readonly entrance?: string;
  readonly arrived?: string;
  readonly left?: string;
  readonly purpose?: Purpose;
  readonly crew?: readonly string[];
  readonly equipment?: readonly string[];
  readonly footwear?: "disposable" | "disinfected" | "unprotected";
  readonly ground?: "dry" | "moist" | "wet";
  readonly stage?: number;
  readonly seed_colour_change_percent?: number;
  readonly re_entry_hours?: number;
  readonly patches?: readonly PatchRecord[];
  readonly digs?: readonly DigRecord[];
}

export interface PatchRecord extends Noted {
  readonly id?: string;
  readonly symptom?: string;
  readonly area_m2?: number;
  readonly position?: LonLat;
}

export type DigPlace = "entrance" | "patch" | "low spot" | "headland" | "along the route" | "other";

export interface DigRecord extends Noted {
  readonly id?: string;
  readonly place?: DigPlace;
  readonly patch?: string;
  readonly metres_in?: number;
  readonly plants?: number;
  /** Plants rated 0, 1, 2 and 3. */
  readonly ratings?: readonly [number, number, number, number];
  readonly look_alikes?: number;
  readonly position?: LonLat;
}

export interface CleaningRecord extends Noted {
  readonly id?: string;
  readonly at?: string;
  readonly place?: "field entrance" | "farmyard" | "wash bay" | "before transport" | "other";
  readonly field?: string;
  readonly equipment?: readonly string[];
  readonly by?: string;
  readonly steps?: readonly StepRecord[];
}

export type StepName = "remove soil" | "wash" | "disinfect";

export interface StepRecord extends Noted {
  readonly step?: StepName;
  readonly with?: "water" | "pressure washer" | "compressed air" | "steam";
  readonly product?: string;
  readonly stock_percent?: number;
  readonly stock_l?: number;
  readonly water_l?: number;
  readonly strength_percent?: number;
  readonly contact_minutes?: number;
}

export type Packaging = "paper bag" | "plastic bag" | "tube" | "other";

export interface SampleRecord extends Noted {
  readonly id?: string;
  readonly field?: string;
  readonly visit?: string;
  readonly dig?: string;
  readonly material?: "roots" | "soil";
  readonly plants?: number;
  readonly taken?: string;
  readonly packed?: Packaging;
  readonly lab?: string;
  readonly sent?: string;
  readonly received?: string;
  readonly result?: ResultRecord;
}

export interface ResultRecord extends Noted {
  readonly reported?: string;
  readonly finding?: "detected" | "not detected" | "inconclusive";
  readonly spores_per_g?: number;
  readonly pathotype?: string;
}

export interface Noted {
  readonly note?: string;
}
