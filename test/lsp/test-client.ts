import { spawn } from "node:child_process";
import { strict as assert } from "node:assert";
import { PassThrough, type Readable, type Writable } from "node:stream";
import { fileURLToPath } from "node:url";
import type {
  ClientCapabilities,
  Diagnostic,
  InitializeResult,
  PublishDiagnosticsParams,
  ShowMessageRequestParams,
} from "vscode-languageserver";
import {
  createConnection,
  ProposedFeatures,
  StreamMessageReader,
  StreamMessageWriter,
} from "vscode-languageserver/node";
import { MINUTES_PER_DAY, parseDay } from "../../server/src/base/days.ts";
import type { ServerHost } from "../../server/src/lsp/feature-host.ts";
import { startServer } from "../../server/src/lsp/server.ts";
import { whatClientLacks, whatOfAnswerClientLacks } from "./client-abilities.ts";
import { problemsOf, problemsOfMessage } from "./message-check.ts";
import { protocolModel } from "./protocol-model.ts";

type Message = Readonly<Record<string, unknown>> & { readonly method?: string; readonly id?: number | string };

/** The server's answer that it cannot do what was asked. */
export class ServerError extends Error {
  readonly code: number;

  constructor({ code, message }: { code: number; message: string }) {
    super(message);
    this.code = code;
  }
}

export interface ClientOptions {
  readonly capabilities?: ClientCapabilities;
  /** File URIs. */
  readonly folders?: readonly string[];
  /** The first folder is told of as older clients do. */
  readonly onlyRoot?: boolean;
  readonly initializationOptions?: unknown;
  /** Methods of the server's requests that the client answers with an error, whatever it said it could do. */
  readonly refuses?: readonly string[];
  /** The action that is chosen of those that a message offers; without it, none. */
  readonly chooses?: string;
  /** Why the client does not apply an edit; without it, all are applied. */
  readonly appliesNone?: string;
  /** What the client answers for a section of its settings, asked for a folder or file, or for none. */
  readonly settings?: (scopeUri: string | undefined) => unknown;
}

const model = protocolModel();
const HEADER_END = Buffer.from("\r\n\r\n");

/** Days of the made-up clock; the sample season is over by then. */
export const TODAY = "2026-11-25";

/** A client that is no editor: it speaks the protocol over two streams, and looks hard at every message that comes back. */
export class TestClient {
  /** What was wrong with the server's messages. */
  readonly problems: string[] = [];
  /** All that the server sent of itself, in order. */
  readonly heard: Message[] = [];
  /** The last findings of each file, by URI. */
  readonly published = new Map<string, readonly Diagnostic[]>();
  readonly versions = new Map<string, number | undefined>();
  /** What the server answered to `initialize`. */
  session!: InitializeResult;
  readonly #out: Writable;
  readonly #answers = new Map<number | string, { method: string; take: (message: Message) => void }>();
  readonly #waiting: { isIt: (message: Message) => boolean; take: (message: Message) => void }[] = [];
  readonly #options: ClientOptions;
  readonly #end: () => Promise<void>;
  #unread: Buffer = Buffer.alloc(0);
  #lastId = 0;

  private constructor(input: Readable, out: Writable, options: ClientOptions, end: () => Promise<void>) {
    this.#out = out;
    this.#options = options;
    this.#end = end;
    input.on("data", (chunk: Buffer) => this.#take(chunk));
  }

  /** A server in this process, with a clock that stands still. */
  static async inMemory(options: ClientOptions = {}, host: Partial<ServerHost> = {}): Promise<TestClient> {
    const [toServer, toClient] = [new PassThrough(), new PassThrough()];
    const connection = createConnection(
      ProposedFeatures.all,
      new StreamMessageReader(toServer),
      new StreamMessageWriter(toClient),
    );
    const today = (): number => parseDay(TODAY)!;
    const now = (): number => today() * MINUTES_PER_DAY + 600;
    const pageOf = (code: string): string => `https://example.test/rules/${code}`;
    startServer(connection, { today, now, pageOf, version: "0.0.0", ...host });
    const client = new TestClient(toClient, toServer, options, async () => connection.dispose());
    await client.#initialize();
    return client;
  }

  /** A server in a process of its own, as an editor starts it. */
  static async overStdio(options: ClientOptions = {}): Promise<TestClient> {
    const main = fileURLToPath(new URL("../../server/src/lsp/main.ts", import.meta.url));
    const child = spawn(process.execPath, ["--import", "tsx", main, "--stdio"], { stdio: ["pipe", "pipe", "inherit"] });
    const ended = new Promise<number | null>((resolve) => child.once("exit", resolve));
    const client = new TestClient(child.stdout, child.stdin, options, async () => {
      client.notify("exit");
      assert.equal(await ended, 0, "the server ended in trouble");
    });
    await client.#initialize();
    return client;
  }

  async #initialize(): Promise<void> {
    const { capabilities = {}, folders, initializationOptions, onlyRoot = false } = this.#options;
    const workspaceFolders = folders?.map((uri) => ({ uri, name: uri.split("/").at(-1)! })) ?? null;
    const rootUri = folders?.[0] ?? null;
    const params = { processId: null, rootUri, capabilities, ...(!onlyRoot && { workspaceFolders }) };
    this.session = (await this.request("initialize", {
      ...params,
      ...(initializationOptions !== undefined && { initializationOptions }),
    })) as InitializeResult;
    this.notify("initialized", {});
  }

  /** Ends the session; every message of it must have been sound. */
  async stop(): Promise<void> {
    await this.request("shutdown");
    await this.#end();
    this.assertSound();
  }

  assertSound(): void {
    assert.deepEqual([...new Set(this.problems)], []);
  }

  /** @throws {ServerError} */
  async request<T = unknown>(method: string, params?: unknown): Promise<T> {
    return (await this.start<T>(method, params)).answer;
  }

  /** A request that may still be cancelled. */
  start<T = unknown>(method: string, params?: unknown): { id: number; answer: Promise<T> } {
    const known = model.requests.get(method);
    if (known && params !== undefined) assert.deepEqual(problemsOf(params, known.params, method), [], "the test's own");
    return this.startAsIs<T>(method, params);
  }

  /** The same for what is no sound request. */
  startAsIs<T = unknown>(method: string, params?: unknown): { id: number; answer: Promise<T> } {
    const id = ++this.#lastId;
    const answer = new Promise<T>((resolve, reject) => {
      const take = ({ result, error }: Message): void =>
        error ? reject(new ServerError(error as ServerError)) : resolve(result as T);
      this.#answers.set(id, { method, take });
    });
    this.send({ jsonrpc: "2.0", id, method, ...(params !== undefined && { params }) });
    return { id, answer };
  }

  notify(method: string, params?: unknown): void {
    const known = model.notifications.get(method);
    if (known && params !== undefined) assert.deepEqual(problemsOf(params, known.params, method), [], "the test's own");
    this.send({ jsonrpc: "2.0", method, ...(params !== undefined && { params }) });
  }

  /** Any message, sound or not. */
  send(message: unknown): void {
    this.sendBytes(Buffer.from(JSON.stringify(message)));
  }

  sendBytes(body: Buffer): void {
    this.#out.write(`Content-Length: ${body.length}\r\n\r\n`);
    this.#out.write(body);
  }

  /** The next message of a kind that the server sends. */
  next(method: string, isIt: (params: never) => boolean = () => true): Promise<Message> {
    return new Promise((take) =>
      this.#waiting.push({ isIt: (message) => message.method === method && isIt(message["params"] as never), take }),
    );
  }

  /** Resolves once the server has taken in all that it was told, and its answers to that have come. */
  async settled(): Promise<void> {
    await this.request("workspace/symbol", { query: "no such thing" });
    // What it still has to say after a round comes before the answer to what is asked next.
    await this.request("workspace/symbol", { query: "no such thing" });
  }

  heardOf(method: string): Message[] {
    return this.heard.filter((message) => message.method === method);
  }

  #take(chunk: Buffer): void {
    this.#unread = Buffer.concat([this.#unread, chunk]);
    for (;;) {
      const head = this.#unread.indexOf(HEADER_END);
      if (head < 0) return;
      const header = this.#unread.toString("latin1", 0, head);
      const length = /^Content-Length: (\d+)$/im.exec(header)?.[1];
      if (length === undefined)
        return void this.problems.push(`header: ${JSON.stringify(header)} has no Content-Length`);
      const start = head + HEADER_END.length;
      if (this.#unread.length < start + Number(length)) return;
      const body = this.#unread.toString("utf8", start, start + Number(length));
      this.#unread = this.#unread.subarray(start + Number(length));
      this.#hear(JSON.parse(body) as Message);
    }
  }

  #hear(message: Message): void {
    const { id, method } = message;
    const asked = method === undefined && id !== undefined ? this.#answers.get(id) : undefined;
    this.problems.push(...problemsOfMessage(message, model, asked?.method));
    if (method === undefined) {
      if (id !== undefined) this.#answers.delete(id);
      if (asked && "result" in message) {
        const lacks = whatOfAnswerClientLacks(asked.method, message["result"], this.#options.capabilities ?? {});
        if (lacks !== undefined) this.problems.push(`${asked.method}: the client cannot take ${lacks}`);
      }
      asked?.take(message);
      return;
    }
    const lacks = whatClientLacks(message, this.#options.capabilities ?? {});
    if (lacks !== undefined) this.problems.push(`${method}: the client never said that it can do this (${lacks})`);
    this.heard.push(message);
    if (method === "textDocument/publishDiagnostics") {
      const { uri, diagnostics, version } = message["params"] as PublishDiagnosticsParams;
      this.published.set(uri, diagnostics);
      this.versions.set(uri, version);
    }
    if (id !== undefined) {
      const error = { code: -32603, message: "the client has thought better of it" };
      const answer = this.#options.refuses?.includes(method) ? { error } : { result: this.#answerOf(message) };
      this.send({ jsonrpc: "2.0", id, ...answer });
    }
    const at = this.#waiting.findIndex(({ isIt }) => isIt(message));
    if (at >= 0) this.#waiting.splice(at, 1)[0]!.take(message);
  }

  #answerOf({ method, params }: Message): unknown {
    if (method === "window/showMessageRequest") {
      const { actions = [] } = params as ShowMessageRequestParams;
      return actions.find(({ title }) => title === this.#options.chooses) ?? null;
    }
    if (method === "workspace/applyEdit") {
      const failureReason = this.#options.appliesNone;
      return failureReason === undefined ? { applied: true } : { applied: false, failureReason };
    }
    if (method !== "workspace/configuration") return null;
    const { items } = params as { items: readonly { section?: string; scopeUri?: string }[] };
    return items.map(({ section, scopeUri }) =>
      section === "spadework" ? (this.#options.settings?.(scopeUri) ?? null) : null,
    );
  }
}
