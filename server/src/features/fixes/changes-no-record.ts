import { applyEdits, type TextEdit } from "../../base/text.ts";
import { readRecordFile, type RecordFile } from "../../records/record-file.ts";
import { sameFacts } from "../../records/same-facts.ts";

/** Whether every record says the same with the edit as without: inside a text of several lines, a comment is none. */
export function changesNoRecord(file: RecordFile, edit: TextEdit): boolean {
  const after = readRecordFile(file.path, file.kind, applyEdits(file.text, [edit]), file);
  const problems = (one: RecordFile): number =>
    one.problems.length + one.entries.reduce((sum, { body }) => sum + body.syntaxProblems.length, 0);
  return (
    after.entries.length === file.entries.length &&
    problems(after) === problems(file) &&
    after.entries.every(({ body }, i) => sameFacts(body.record.facts, file.entries[i]!.body.record.facts))
  );
}
