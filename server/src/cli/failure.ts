/** A command that could not run: one clear line on standard error, and exit code 2. */
export class CommandFailure extends Error {}

export const EXIT_CLEAN = 0;
export const EXIT_FINDINGS = 1;
export const EXIT_FAILURE = 2;
