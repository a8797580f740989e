import type { JsonSchema } from "./json-schema.ts";
import type { RecordKind } from "./kinds.ts";
import type { Noted, Packaging, RuleLevelName, RuleLevels, SamplingChoice, StepName } from "./record-facts.ts";

/** The figures of a region. A figure that is missing is not known there, and what needs it stays silent. */
export interface RegionPack extends Noted {
  readonly region?: string;
  readonly title?: string;
  readonly extends?: string;
  /** The parent's figures that do not hold here and for which none is known, each by its path with the reason. */
  readonly unknown?: Readonly<Record<string, string>>;
  readonly season?: SeasonRun;
  readonly hosts?: readonly string[];
  readonly host_weeds?: readonly string[];
  readonly rotation?: RotationFigures;
  readonly scouting?: ScoutingFigures;
  readonly plan?: PlanFigures;
  readonly sampling?: SamplingFigures;
  readonly severity?: SeverityFigures;
  readonly cleaning?: CleaningFigures;
  readonly sample?: SampleFigures;
  readonly trace?: TraceFigures;
  readonly freedom?: FreedomFigures;
  readonly growth?: GrowthFigures;
  readonly disease?: DiseaseFigures;
  readonly spores?: SporeFigures;
  readonly notice?: NoticeDuty;
  readonly look_alikes?: readonly LookAlike[];
  readonly rules?: RuleLevels;
  readonly records?: Readonly<Partial<Record<RecordKind, JsonSchema>>>;
  readonly checks?: readonly RegionCheck[];
  readonly examples?: readonly RegionExample[];
  /** By the path of the figure, `rotation.break_years`, or of a group of figures. */
  readonly sources?: Readonly<Record<string, string>>;
}

export interface SeasonRun extends Noted {
  /** Month and day; the season that begins on it is called by the next year, that of its harvest. */
  readonly starts?: string;
}

export interface RotationFigures extends Noted {
  readonly break_years?: number;
  readonly break_years_after_find?: number;
}

export interface ScoutingFigures extends Noted {
  readonly opens_days_before_swath?: number;
  readonly closes_days_after_swath?: number;
  /** With the next, the window hangs on seeding. */
  readonly opens_days_after_seeding?: number;
  readonly closes_days_after_seeding?: number;
  readonly entrance_reach_m?: number;
  readonly stage_from?: number;
  readonly stops?: number;
  readonly plants_per_stop?: number;
  readonly patch_margin_times_area?: number;
}

export interface PlanFigures extends Noted {
  readonly hours_per_day?: number;
  /** A time of day, `07:00`. */
  readonly starts?: string;
  readonly plants_per_hour?: number;
  readonly walking_km_per_hour?: number;
  readonly drive_km_per_hour?: number;
  readonly road_factor?: number;
  readonly drive_km_unknown?: number;
  readonly walk_m_unknown?: number;
  readonly arrival_minutes?: number;
  readonly clean_down_minutes?: number;
  readonly lab_stop_minutes?: number;
  readonly entrance_plants?: number;
  readonly wet_rain_mm?: number;
  readonly wet_days?: number;
  readonly stock_percent?: number;
  readonly mix_l?: number;
  readonly rinse_water_l?: number;
  readonly covers_per_visit?: number;
  readonly root_bags_per_field?: number;
}

export interface SamplingFigures extends SamplingChoice {
  readonly clustering_correlation?: number;
}

export interface SeverityFigures extends Noted {
  readonly yield_loss_percent_per_severity_percent?: { readonly low?: number; readonly high?: number };
  readonly yield_loss_percent_per_incidence_percent?: number;
  readonly resistant_below_percent?: number;
  readonly susceptible_from_percent?: number;
  readonly check_valid_from_percent?: number;
  readonly normal_off_types_percent?: number;
}

export interface CleaningFigures extends Noted {
  readonly strength_percent?: number;
  readonly contact_minutes?: number;
  readonly mix_tolerance_percent?: number;
  readonly mix_keeps_hours?: number;
  readonly soil_left?: Readonly<Partial<Record<StepName, number>>>;
}

export interface SampleFigures extends Noted {
  readonly packaging?: readonly (Packaging | "")[];
  readonly send_within_days?: number;
}

export interface TraceFigures extends Noted {
  readonly look_back_days?: number;
}

export interface FreedomFigures extends Noted {
  readonly prior_infested?: number;
  readonly introduction_per_carriage?: number;
}

export interface GrowthFigures extends Noted {
  readonly base_c?: number;
  readonly method?: number;
  /** By BBCH stage, two digits. */
  readonly degree_days?: Readonly<Record<string, number>>;
  readonly degree_days_to_swath?: number;
  readonly days_seed_to_swath?: number;
  readonly weather_days_needed_percent?: number;
}

export interface DiseaseFigures extends Noted {
  readonly base_c?: number;
  readonly optimum_from_c?: number;
  readonly optimum_to_c?: number;
  readonly liming_target_ph?: number;
}

export interface SporeFigures extends Noted {
  readonly model?: "exponential" | "fast then slow";
  readonly half_life_years?: number;
  readonly undetected_after_years?: number;
  readonly fast_slow?: {
    readonly fast_share?: number;
    readonly fast_half_life_years?: number;
    readonly slow_half_life_years?: number;
  };
  readonly symptoms_from_per_g?: number;
  readonly resistant_from_gene_copies_per_g?: number;
  readonly detection_limit_per_g?: number;
  readonly reporting_limit_per_g?: number;
  readonly bands_per_g?: readonly number[];
  readonly susceptible_crop_adds_per_ml?: number;
  readonly galls_hold_per_g?: number;
}

export interface NoticeDuty extends Noted {
  readonly required?: boolean;
  readonly within_days?: number;
  readonly authority?: string;
}

export interface LookAlike extends Noted {
  readonly name?: string;
  readonly signs?: string;
}

export interface RegionCheck extends Noted {
  readonly code?: string;
  readonly on?: RecordKind;
  readonly at?: string;
  readonly level?: RuleLevelName;
  readonly when?: string;
  readonly message?: string;
  readonly source?: string;
}

export interface RegionExample extends Noted {
  readonly name?: string;
  readonly as_of?: string;
  readonly files?: Readonly<Record<string, string>>;
  readonly expect?: readonly string[];
  readonly never?: readonly string[];
}
