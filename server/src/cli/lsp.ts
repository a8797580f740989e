import { createConnection } from "vscode-languageserver/node";
import { useMemoryModestly } from "../lsp/modest-memory.ts";
import { processHost } from "../lsp/process-host.ts";
import { startServer } from "../lsp/server.ts";
import type { Command } from "./command.ts";
import { EXIT_CLEAN } from "./failure.ts";

export const lspCommand: Command = {
  name: "lsp",
  usage: "",
  summary: "the language server, on standard input and output",
  help: "Speaks the Language Server Protocol 3.17 on standard input and output, for any editor that does.",
  examples: ["spadework lsp"],
  options: { stdio: { type: "boolean", help: "accepted and needless: standard input and output are what it uses" } },
  run() {
    useMemoryModestly();
    startServer(createConnection(process.stdin, process.stdout), processHost());
    // The connection ends the process when the client says so, or goes away.
    return new Promise<number>((resolve) => process.stdin.once("end", () => resolve(EXIT_CLEAN)));
  },
};
