import type { ClientCapabilities, Connection, ServerCapabilities } from "vscode-languageserver";
import type { FeatureHost } from "./feature-host.ts";

/** What the features beside findings offer to a client. */
export function featureCapabilities(_client: ClientCapabilities): Partial<ServerCapabilities> {
  return {};
}

export function registerFeatures(_connection: Connection, _host: FeatureHost): void {
  // None yet.
}
