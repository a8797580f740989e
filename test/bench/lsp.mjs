// From an edit to its findings: this language server beside a general-purpose one for YAML that is given a JSON Schema of the
// visits. That one looks at a file by itself; an edit whose effect lies in another file is held to the same bound.
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { measureLatency } from "./lsp-latency.mjs";
import { writeBook } from "./write-book.mjs";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));
const PEER = "yaml-language-server@1.19";
const VISITS = "2026/all.visits.yaml";
const VISITS_EDIT = { file: VISITS, from: "ground: dry", to: "ground: damp" };
const CLEANINGS_EDIT = {
  file: "2026/all.cleanings.yaml",
  watched: VISITS,
  from: "contact_minutes: 15",
  to: "contact_minutes: 5",
};

export async function benchLsp({ edits = 61 } = {}) {
  const folder = mkdtempSync(join(tmpdir(), "spadework-bench-"));
  try {
    const [small, large] = [join(folder, "small"), join(folder, "large")];
    const size = writeBook(small, { fields: 200, years: 5, files: "year" });
    const largeSize = writeBook(large, { fields: 1000, years: 5, files: "year" });
    const server = [process.execPath, process.env.CLI ?? at("../../dist/cli.js"), "lsp"];
    const settings = { spadework: { asOf: "2026-11-25" } };
    const peer = await measureLatency({ ...peerOptions(), root: small, ...VISITS_EDIT, edits });
    const ours = await measureLatency({ server, settings, root: small, ...VISITS_EDIT, edits });
    const otherFile = await measureLatency({ server, settings, root: small, ...CLEANINGS_EDIT, edits });
    const largeBook = await measureLatency({ server, settings, root: large, ...VISITS_EDIT, edits });
    const largeOtherFile = await measureLatency({ server, settings, root: large, ...CLEANINGS_EDIT, edits });
    const shareOfPeer = ({ editMs }) => Number((editMs.p95 / peer.editMs.p95).toFixed(3));
    return {
      book: size,
      peer: { name: PEER, ...peer },
      ours,
      otherFile,
      shareOfPeer: { ours: shareOfPeer(ours), otherFile: shareOfPeer(otherFile), bound: 0.05 },
      memory: { ours: ours.memoryMb, bound: peer.memoryMb },
      largeBook: { book: largeSize, ...largeBook, boundP95Ms: 50 },
      largeOtherFile,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The other server is installed for the measurement alone, into a folder of its own. */
function peerOptions() {
  const folder = at("../../build/bench/peer");
  const program = join(folder, "node_modules/yaml-language-server/bin/yaml-language-server");
  if (!existsSync(program)) {
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, "package.json"), '{ "private": true }\n');
    execFileSync("npm", ["install", "--no-audit", "--no-fund", "--ignore-scripts", PEER], {
      cwd: folder,
      stdio: "ignore",
    });
  }
  const schema = pathToFileURL(at("peer-visits.schema.json")).href;
  return {
    server: [process.execPath, program, "--stdio"],
    settings: { yaml: { validate: true, schemas: { [schema]: "*.visits.yaml" } } },
  };
}
