export { run } from "../../suite/index.ts";
