// The least that it takes to talk to a language server over its standard input and output.
import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";

const MOST_MS_TO_END = 5000;
const HEADER_END = Buffer.from("\r\n\r\n");

export class LanguageClient {
  #child;
  #parts = [];
  #length = 0;
  #wanted = 0;
  #lastId = 0;
  #answers = new Map();
  #onNotification;
  #onRequest;

  /** `onRequest` answers what the server asks; both are given the method and its parameters. */
  constructor([command, ...args], { onNotification = () => {}, onRequest = () => null } = {}) {
    this.#onNotification = onNotification;
    this.#onRequest = onRequest;
    this.#child = spawn(command, args, { stdio: ["pipe", "pipe", "inherit"] });
    this.#child.stdout.on("data", (chunk) => this.#take(chunk));
    this.#child.once("exit", () => this.#fail(new Error(`${command} ${args.join(" ")} has ended`)));
  }

  request(method, params) {
    return new Promise((resolve, reject) => {
      const id = ++this.#lastId;
      this.#answers.set(id, { resolve, reject });
      this.#send({ id, method, params });
    });
  }

  notify(method, params) {
    this.#send({ method, params });
  }

  /** What the server's process holds in memory at this moment, in megabytes. */
  get memoryMb() {
    const status = readFileSync(`/proc/${this.#child.pid}/status`, "utf8");
    return Math.round(Number(/VmRSS:\s+(\d+)/.exec(status)[1]) / 1024);
  }

  async stop() {
    this.#child.removeAllListeners("exit");
    const ended = new Promise((resolve) => this.#child.once("exit", resolve));
    const impatience = setTimeout(() => this.#child.kill(), MOST_MS_TO_END);
    await this.request("shutdown").catch(() => undefined);
    this.notify("exit");
    await ended;
    clearTimeout(impatience);
  }

  #send(message) {
    const body = Buffer.from(JSON.stringify({ jsonrpc: "2.0", ...message }));
    this.#child.stdin.write(`Content-Length: ${body.length}\r\n\r\n`);
    this.#child.stdin.write(body);
  }

  /** Chunks are only put together once there are enough for a message. */
  #take(chunk) {
    this.#parts.push(chunk);
    this.#length += chunk.length;
    while (this.#length >= this.#wanted) {
      const all = this.#parts.length === 1 ? this.#parts[0] : Buffer.concat(this.#parts);
      this.#parts = [all];
      const head = all.indexOf(HEADER_END);
      if (head < 0) return;
      const start = head + HEADER_END.length;
      const end = start + Number(/Content-Length: (\d+)/i.exec(all.toString("latin1", 0, head))[1]);
      if (all.length < end) {
        this.#wanted = end;
        return;
      }
      const rest = all.subarray(end);
      this.#parts = [rest];
      this.#length = rest.length;
      this.#wanted = 1;
      this.#dealWith(JSON.parse(all.toString("utf8", start, end)));
    }
  }

  #dealWith({ id, method, params, result, error }) {
    if (method !== undefined && id !== undefined) this.#send({ id, result: this.#onRequest(method, params) });
    else if (method !== undefined) this.#onNotification(method, params);
    else if (error) this.#answer(id)?.reject(new Error(error.message));
    else this.#answer(id)?.resolve(result);
  }

  #answer(id) {
    const answer = this.#answers.get(id);
    this.#answers.delete(id);
    return answer;
  }

  #fail(error) {
    for (const { reject } of this.#answers.values()) reject(error);
    this.#answers.clear();
  }
}
