import { createConnection, ProposedFeatures } from "vscode-languageserver/node";
import { useMemoryModestly } from "./modest-memory.ts";
import { processHost } from "./process-host.ts";
import { startServer } from "./server.ts";

useMemoryModestly();
// The editor says on the command line how it wants to talk: --node-ipc, --stdio, --pipe or --socket.
startServer(createConnection(ProposedFeatures.all), processHost());
