import { readingRule } from "../rule.ts";

export default readingRule({ code: "structure/syntax", level: "error" });
