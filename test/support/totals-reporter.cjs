/* eslint-disable @typescript-eslint/no-require-imports -- mocha loads its reporters with require */
// Mocha's dots, and the totals in the file that TEST_TOTALS names.
const { writeFileSync } = require("node:fs");
const { reporters, Runner } = require("mocha");

module.exports = class TotalsReporter extends reporters.Dot {
  constructor(runner, options) {
    super(runner, options);
    runner.once(Runner.constants.EVENT_RUN_END, () => {
      const { passes = 0, failures = 0, pending = 0 } = this.stats;
      const file = process.env.TEST_TOTALS;
      if (file) writeFileSync(file, JSON.stringify({ passed: passes, failed: failures, skipped: pending }));
    });
  }
};
