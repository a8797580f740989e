import { RULE_CODES } from "../../generated/rule-codes.ts";

let groups: ReadonlySet<string> | undefined;

/** Whether a code is in a group of the checks that come with Spadework, in which no region has checks of its own. */
export function isShippedGroup(code: string): boolean {
  groups ??= new Set(RULE_CODES.map((one) => one.split("/")[0]!));
  return groups.has(code.split("/")[0]!);
}
