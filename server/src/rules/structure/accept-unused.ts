import { readingRule } from "../rule.ts";

export default readingRule({ code: "structure/accept-unused", level: "information" });
