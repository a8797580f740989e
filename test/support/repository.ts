import { execFileSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";

/** Runs git in a folder as a keeper of our own, whatever the machine's settings are, and gives what it prints. */
export function git(folder: string, ...args: string[]): string {
  const settings = ["-c", "user.name=A Keeper", "-c", "user.email=keeper@example.org", "-c", "commit.gpgsign=false"];
  return execFileSync("git", ["-C", folder, ...settings, ...args], {
    encoding: "utf8",
    stdio: ["ignore", "pipe", "pipe"],
  });
}

/** Writes files into a repository, commits all that is in it, and gives the commit a name. */
export function commit(folder: string, files: Readonly<Record<string, string>>, tag: string): void {
  for (const [path, text] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
  git(folder, "add", "-A");
  git(folder, "commit", "-q", "--allow-empty", "-m", tag);
  git(folder, "tag", tag);
}
