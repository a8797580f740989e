// How a file is coloured: VS Code's grammar engine, fed with the grammars that the extensions of this VS Code contribute.
import * as fs from "node:fs";
import * as vscode from "vscode";
import { createOnigScanner, createOnigString, loadWASM } from "vscode-oniguruma";
import { INITIAL, Registry, parseRawGrammar } from "vscode-textmate";

/** One coloured piece of a text: its characters and its scopes, outermost first. */
export interface ColouredPiece {
  readonly text: string;
  readonly scopes: readonly string[];
}

/** Colours a text by the grammar that this VS Code would take for a language. */
export async function colour(text: string, language: string): Promise<ColouredPiece[]> {
  const grammars = contributedGrammars();
  const scope = grammars.find((grammar) => grammar.language === language)?.scopeName;
  if (!scope) throw new Error(`No extension contributes a grammar for ${language}.`);
  await loadWASM(fs.readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm")));
  const registry = new Registry({
    onigLib: Promise.resolve({ createOnigScanner, createOnigString }),
    loadGrammar: async (scopeName) => {
      const file = grammars.find((grammar) => grammar.scopeName === scopeName)?.file;
      return file ? parseRawGrammar(fs.readFileSync(file, "utf8"), file) : null;
    },
  });
  const grammar = await registry.loadGrammar(scope);
  if (!grammar) throw new Error(`The grammar ${scope} could not be read.`);
  let state = INITIAL;
  return text.split("\n").flatMap((line) => {
    const { tokens, ruleStack } = grammar.tokenizeLine(line, state);
    state = ruleStack;
    return tokens.map((token) => ({ text: line.slice(token.startIndex, token.endIndex), scopes: token.scopes }));
  });
}

interface ContributedGrammar {
  readonly language?: string;
  readonly scopeName: string;
  readonly file: string;
}

function contributedGrammars(): ContributedGrammar[] {
  return vscode.extensions.all.flatMap((extension) => {
    const grammars: { language?: string; scopeName: string; path: string }[] =
      extension.packageJSON.contributes?.grammars ?? [];
    return grammars.map(({ path, ...rest }) => ({
      ...rest,
      file: vscode.Uri.joinPath(extension.extensionUri, path).fsPath,
    }));
  });
}
