export { codeText, markdownText, oneLine, plainTitle } from "../base/safe-text.ts";
