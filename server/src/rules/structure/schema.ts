import { readingRule } from "../rule.ts";

export default readingRule({ code: "structure/schema", level: "error" });
