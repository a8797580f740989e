import { readingRule } from "../rule.ts";

export default readingRule({ code: "structure/unknown-key", level: "error" });
