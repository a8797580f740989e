import { spawn } from "node:child_process";
import { access, constants } from "node:fs/promises";
import { delimiter, isAbsolute, join } from "node:path";
import { posix } from "node:path";
import type { SourceFile } from "../book/open-book.ts";
import { fileKind } from "../schema/kinds.ts";
import { folderOf, gatherBooks, PASSED_OVER, SEASON_FILE } from "./gather-books.ts";
import { decodeSource, MAX_BYTES, tooLongToRead } from "./read-files.ts";

/** The record books of a folder as they stood at a revision. */
export interface RevisionBooks {
  /** The commit the revision stands for. */
  readonly commit: string;
  readonly books: readonly { readonly prefix: string; readonly sources: readonly SourceFile[] }[];
  /** Submodules below the folder, whose records are another repository's and are not read. */
  readonly submodules: readonly string[];
}

/** Git could not answer: the message is one plain sentence for the person at the keyboard. */
export class GitTrouble extends Error {}

/**
 * Reads the record books at or below a folder from a revision of the repository it lies in. Git is run with arguments that
 * are fixed but for the folder and the revision, without a shell; contents are asked for by their hashes, so that no name from
 * a record or a file ever becomes an argument. Nothing is written, and the working tree is not looked at.
 *
 * @param folder absolute
 * @throws {GitTrouble} when there is no git, no repository, or no such revision in it
 */
export async function readRevision(folder: string, revision: string): Promise<RevisionBooks> {
  const git = await gitIn(folder);
  const commit = await commitOf(git, folder, revision);
  const listed = await git(["ls-tree", "-r", "-z", "-l", commit]);
  if (listed.code !== 0)
    throw new GitTrouble(`git could not list the files of ${revision}: ${firstLine(listed.error)}`);
  const entries = parseListing(listed.out);
  const submodules = entries.filter(({ mode }) => mode === SUBMODULE).map(({ path }) => path);
  const wanted = entries.filter(({ path, mode }) => mode !== SUBMODULE && isOfBook(path));
  const { found, contents } = await readWanted(git, revision, entries, wanted);
  const { books } = gatherBooks(
    found.filter(({ path }) => path.split("/").at(-1) === SEASON_FILE).map(({ path }) => folderOf(path)),
    found.map(({ path }) => path),
  );
  const byPath = new Map(found.map((entry) => [entry.path, entry]));
  const sourceOf = (prefix: string, path: string): SourceFile => {
    const { hash, size } = byPath.get(prefix === "" ? path : `${prefix}/${path}`)!;
    return size > MAX_BYTES ? tooLongToRead(path, size) : decodeSource(path, contents.get(hash)!);
  };
  return {
    commit,
    books: books.map(({ prefix, files }) => ({ prefix, sources: files.map((path) => sourceOf(prefix, path)) })),
    submodules,
  };
}

/**
 * The commit that a revision stands for, in the repository that a folder lies in.
 *
 * @param folder absolute
 * @throws {GitTrouble} when there is no git, no repository, or no such revision in it
 */
export async function commitOfRevision(folder: string, revision: string): Promise<string> {
  return commitOf(await gitIn(folder), folder, revision);
}

async function gitIn(folder: string): Promise<Git> {
  const program = await findGit();
  return (args, input) => run(program, ["--no-pager", "-c", "core.fsmonitor=false", "-C", folder, ...args], input);
}

type Git = (args: readonly string[], input?: string) => Promise<GitAnswer>;

interface GitAnswer {
  readonly code: number;
  readonly out: Buffer;
  readonly error: string;
}

interface TreeEntry {
  readonly mode: string;
  readonly hash: string;
  /** Bytes; 0 for what is no file. */
  readonly size: number;
  /** From the folder, with forward slashes. */
  readonly path: string;
}

const SUBMODULE = "160000";
const LINK = "120000";
/** A chain of links longer than this leads nowhere. */
const MOST_LINKS = 8;

async function commitOf(git: Git, folder: string, revision: string): Promise<string> {
  // eslint-disable-next-line no-control-regex
  if (revision === "" || revision.startsWith("-") || /[\u0000-\u001F\u007F]/.test(revision))
    throw new GitTrouble(`"${revision}" is no revision; name a commit, a branch or a tag, such as HEAD or main`);
  const { code, out, error } = await git(["rev-parse", "--verify", "--end-of-options", `${revision}^{commit}`]);
  const commit = out.toString("latin1").trim();
  if (code === 0 && /^[0-9a-f]{40,64}$/.test(commit)) return commit;
  if (/not a git repository/i.test(error))
    throw new GitTrouble(`${folder} lies in no git repository, so there is no earlier revision to compare with`);
  if (/cannot change to|dubious ownership/i.test(error))
    throw new GitTrouble(
      /dubious/i.test(error)
        ? `git refuses to read ${folder}, which belongs to another user; git's own advice: git config --global --add safe.directory FOLDER`
        : `there is no folder ${folder}`,
    );
  const shallow = await git(["rev-parse", "--is-shallow-repository"]);
  if (shallow.out.toString("latin1").trim() === "true")
    throw new GitTrouble(
      `git knows no revision "${revision}" here: this is a shallow clone; fetch its history first (git fetch --unshallow, or fetch-depth: 0 in a workflow)`,
    );
  const head = await git(["rev-parse", "--verify", "--quiet", "HEAD"]);
  if (head.code !== 0) throw new GitTrouble(`there is no commit in this repository yet, so "${revision}" is none`);
  throw new GitTrouble(
    `git knows no revision "${revision}" here; name a commit, a branch or a tag (git log lists them)`,
  );
}

function parseListing(out: Buffer): TreeEntry[] {
  return out
    .toString("utf8")
    .split("\0")
    .flatMap((row) => {
      const tab = row.indexOf("\t");
      const [mode, , hash, size] = row.slice(0, Math.max(0, tab)).split(/ +/);
      if (mode === undefined || hash === undefined) return [];
      return [{ mode, hash, size: Number(size) || 0, path: row.slice(tab + 1) }];
    });
}

function isOfBook(path: string): boolean {
  const steps = path.split("/");
  return fileKind(path) !== undefined && !steps.some((step) => PASSED_OVER.has(step));
}

/** The files asked for, with links followed to files below the folder, and their contents by hash. */
async function readWanted(
  git: Git,
  revision: string,
  entries: readonly TreeEntry[],
  wanted: readonly TreeEntry[],
): Promise<{ found: TreeEntry[]; contents: ReadonlyMap<string, Uint8Array> }> {
  const links = entries.filter(({ mode }) => mode === LINK);
  const linked = wanted.some(({ mode }) => mode === LINK)
    ? await readBlobs(git, revision, links)
    : new Map<string, Buffer>();
  const byPath = new Map(entries.map((entry) => [entry.path, entry]));
  const found = wanted.flatMap((entry) => {
    let target: TreeEntry | undefined = entry;
    for (let i = 0; target?.mode === LINK; i++) {
      if (i === MOST_LINKS) return [];
      target = byPath.get(posix.join(folderOf(target.path), linked.get(target.hash)?.toString("utf8") ?? ""));
    }
    return target && target.mode !== SUBMODULE ? [{ ...target, path: entry.path }] : [];
  });
  return {
    found,
    contents: await readBlobs(
      git,
      revision,
      found.filter(({ size }) => size <= MAX_BYTES),
    ),
  };
}

async function readBlobs(git: Git, revision: string, entries: readonly TreeEntry[]): Promise<Map<string, Buffer>> {
  const hashes = [...new Set(entries.map(({ hash }) => hash))];
  const contents = new Map<string, Buffer>();
  if (hashes.length === 0) return contents;
  const { out, error } = await git(["cat-file", "--batch"], `${hashes.join("\n")}\n`);
  let at = 0;
  for (const hash of hashes) {
    const end = out.indexOf(0x0a, at);
    const [, type, size] = out.subarray(at, Math.max(at, end)).toString("latin1").split(" ");
    if (end < 0 || type !== "blob")
      throw new GitTrouble(
        `this clone lacks files of ${revision}; fetch them first (git fetch)${error === "" ? "" : `: ${firstLine(error)}`}`,
      );
    contents.set(hash, out.subarray(end + 1, end + 1 + Number(size)));
    at = end + 1 + Number(size) + 1;
  }
  return contents;
}

/**
 * The git that PATH names. It is looked up here, because some systems would first take a program of that name from the folder
 * at hand, which may be a stranger's.
 */
async function findGit(): Promise<string> {
  const names = process.platform === "win32" ? ["git.exe"] : ["git"];
  for (const folder of (process.env.PATH ?? "").split(delimiter)) {
    if (!isAbsolute(folder)) continue;
    for (const name of names) {
      const path = join(folder, name);
      try {
        await access(path, constants.X_OK);
        return path;
      } catch {
        // Not in this one.
      }
    }
  }
  throw new GitTrouble("git is not installed, or not on the PATH; it is needed to read an earlier revision");
}

/** Where git was called from a hook these name another repository, or another state of this one, than the folder's own. */
const NOT_HANDED_ON = ["GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX"];

function run(program: string, args: readonly string[], input = ""): Promise<GitAnswer> {
  const inherited = Object.entries(process.env).filter(([name]) => !NOT_HANDED_ON.includes(name));
  const env = {
    ...Object.fromEntries(inherited),
    GIT_OPTIONAL_LOCKS: "0",
    GIT_TERMINAL_PROMPT: "0",
    // A repository's own settings may name a program to fetch what it lacks: older versions know the second of these alone.
    GIT_NO_LAZY_FETCH: "1",
    GIT_ALLOW_PROTOCOL: "none",
    LC_ALL: "C",
  };
  return new Promise((resolve, reject) => {
    const child = spawn(program, args, { env, shell: false, windowsHide: true, stdio: ["pipe", "pipe", "pipe"] });
    const out: Buffer[] = [];
    const error: Buffer[] = [];
    child.stdout.on("data", (chunk: Buffer) => out.push(chunk));
    child.stderr.on("data", (chunk: Buffer) => error.push(chunk));
    child.on("error", (reason) => reject(new GitTrouble(`git could not be started (${reason.message})`)));
    child.on("close", (code) =>
      resolve({ code: code ?? 1, out: Buffer.concat(out), error: Buffer.concat(error).toString("utf8") }),
    );
    // Git may end before it has read everything; what it says then tells why.
    child.stdin.on("error", () => undefined);
    child.stdin.end(input);
  });
}

function firstLine(text: string): string {
  return text.split("\n")[0]!.replace(/^(fatal|error): /, "");
}
