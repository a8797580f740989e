import { RULE_PAGES } from "../../generated/rules.ts";
import { closest } from "../base/closest.ts";
import type { Command } from "./command.ts";
import { CommandFailure, EXIT_CLEAN } from "./failure.ts";

export const explainCommand: Command = {
  name: "explain",
  usage: "CODE",
  summary: "what a check looks at, why it matters, and an example",
  help: "Prints the page of one check. Codes stand beside every finding; without a code, all of them are listed.",
  examples: ["spadework explain cleaning/incomplete"],
  options: {},
  run(args, { console }) {
    const [code] = args.positionals;
    if (code === undefined) {
      console.out(`${Object.keys(RULE_PAGES).join("\n")}\n`);
      return Promise.resolve(EXIT_CLEAN);
    }
    const page = Object.hasOwn(RULE_PAGES, code) ? RULE_PAGES[code] : undefined;
    if (page === undefined) {
      const meant = closest(code, Object.keys(RULE_PAGES));
      throw new CommandFailure(
        `there is no check called ${code}${meant ? `; did you mean ${meant}?` : "; spadework explain lists them all"}`,
      );
    }
    console.out(page.endsWith("\n") ? page : `${page}\n`);
    return Promise.resolve(EXIT_CLEAN);
  },
};
