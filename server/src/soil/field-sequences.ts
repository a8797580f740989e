/**
 * The sequences of fields that chains run through, kept once each: a sequence is a number, and two chains through the
 * same fields have the same number. Sequences of equal length compare in a number of steps that is logarithmic in their
 * length, with the jump pointers of E. W. Myers, "An applicative random-access stack", Information Processing Letters 17
 * (1983), from memory.
 */
export class FieldSequences {
  /** Sequence 0 is empty. */
  readonly #shorter: number[] = [0];
  readonly #jump: number[] = [0];
  readonly #length: number[] = [0];
  readonly #lastField: number[] = [-1];
  readonly #known = new Map<number, number>();
  readonly #fieldCount: number;

  /** Fields are numbered from -1 (no field: a carrier's own load) to `fieldCount` - 1. */
  constructor(fieldCount: number) {
    this.#fieldCount = fieldCount;
  }

  readonly empty = 0;

  extend(sequence: number, field: number): number {
    const key = sequence * (this.#fieldCount + 1) + field + 1;
    const known = this.#known.get(key);
    if (known !== undefined) return known;
    const made = this.#shorter.length;
    this.#known.set(key, made);
    const jump = this.#jump[sequence]!;
    const farJump = this.#jump[jump]!;
    const length = this.#length;
    const even = length[sequence]! - length[jump]! === length[jump]! - length[farJump]!;
    this.#shorter.push(sequence);
    this.#jump.push(even ? farJump : sequence);
    length.push(length[sequence]! + 1);
    this.#lastField.push(field);
    return made;
  }

  /** Which of two sequences of equal length comes first, field by field from their start. */
  compare(a: number, b: number): number {
    if (a === b) return 0;
    while (this.#shorter[a] !== this.#shorter[b]) {
      const apart = this.#jump[a] !== this.#jump[b];
      a = (apart ? this.#jump : this.#shorter)[a]!;
      b = (apart ? this.#jump : this.#shorter)[b]!;
    }
    return this.#lastField[a]! - this.#lastField[b]!;
  }
}
