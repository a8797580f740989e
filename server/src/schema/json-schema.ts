/**
 * The part of JSON Schema 2020-12 that the schemas of the record format use, with their own annotations (names that start
 * with `x-`). General-purpose tools may ignore every annotation: the schemas mean the same without them.
 */
export interface JsonSchema {
  readonly title?: string;
  readonly description?: string;
  readonly type?: string;
  readonly format?: string;
  readonly pattern?: string;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly enum?: readonly string[];
  readonly const?: unknown;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly exclusiveMinimum?: number;
  readonly exclusiveMaximum?: number;
  readonly required?: readonly string[];
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly patternProperties?: Readonly<Record<string, JsonSchema | true>>;
  readonly additionalProperties?: JsonSchema | false;
  readonly items?: JsonSchema | false;
  readonly prefixItems?: readonly JsonSchema[];
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly if?: JsonSchema;
  readonly then?: JsonSchema;
  readonly else?: JsonSchema;
  readonly $ref?: string;
  readonly $defs?: Readonly<Record<string, JsonSchema>>;
  readonly $id?: string;
  readonly $schema?: string;
  readonly examples?: readonly unknown[];

  /** The unit of a number. */
  readonly "x-unit"?: string;
  /** What each word of `enum` means, in the same order. */
  readonly "x-enumDescriptions"?: readonly string[];
  /** What the id stands for; see `ReferredKind`. */
  readonly "x-refers-to"?: string;
  /** How a sentence calls an object of this sort: `a visit`. */
  readonly "x-noun"?: string;
  /** What the value must be, in words that follow "must be". */
  readonly "x-expected"?: string;
  /** The same for a key of an object whose keys are not listed. */
  readonly "x-expected-key"?: string;
  /** A value that is broken anywhere inside is left out whole. */
  readonly "x-whole"?: boolean;
  /** Any key is allowed. */
  readonly "x-free"?: boolean;
  /** A format that general-purpose tools do not know: `date-time-minutes` is `YYYY-MM-DDTHH:MM`, a real day and hour. */
  readonly "x-format"?: string;
}
