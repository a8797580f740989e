import { minuteOfDayByTheClock, processConsole, runCommandLine, todayByTheClock } from "./main.ts";

// A reader that goes away (`spadework check | head`) is no error of ours.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code !== "EPIPE") throw error;
  process.exitCode ??= 0;
});

const context = {
  console: processConsole(),
  today: todayByTheClock(),
  minuteOfDay: minuteOfDayByTheClock(),
  workingFolder: process.cwd(),
  environment: process.env,
};
// The exit code is set, not the process ended: everything written must reach a pipe first.
process.exitCode = await runCommandLine(process.argv.slice(2), context);
