import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import ts from "typescript";

/*
 * The protocol's messages as vscode-languageserver-protocol declares them. The package is published without its
 * metaModel.json; but that file is itself made from these declarations, so they are read here in its place and turned into
 * types of the same few kinds.
 */

export type ModelType =
  | { readonly kind: "any" }
  | { readonly kind: "object" }
  | { readonly kind: "base"; readonly name: BaseName }
  | { readonly kind: "literal"; readonly value: string | number | boolean }
  | { readonly kind: "array"; readonly element: ModelType }
  | { readonly kind: "tuple"; readonly items: readonly ModelType[] }
  | { readonly kind: "or"; readonly items: readonly ModelType[] }
  | Structure;

export type BaseName = "string" | "boolean" | "null" | "decimal" | "integer" | "uinteger" | "URI" | "DocumentUri";

/** Named or not; with what it extends already laid into it. */
export interface Structure {
  readonly kind: "structure";
  readonly name: string;
  readonly properties: ReadonlyMap<string, Property>;
  /** The types of properties by other names, and of those names; undefined where there may be none. */
  readonly others: { readonly name: ModelType; readonly value: ModelType } | undefined;
}

interface Property {
  readonly type: ModelType;
  readonly isOptional: boolean;
}

export interface RequestModel {
  readonly params: ModelType;
  readonly result: ModelType;
  readonly partialResult: ModelType;
  readonly registrationOptions: ModelType;
}

export interface NotificationModel {
  readonly params: ModelType;
  readonly registrationOptions: ModelType;
}

export interface ProtocolModel {
  readonly requests: ReadonlyMap<string, RequestModel>;
  readonly notifications: ReadonlyMap<string, NotificationModel>;
  /** A structure or alias that the protocol exports by this name. */
  typeNamed(name: string): ModelType;
}

const NOTHING: ModelType = { kind: "base", name: "null" };
/** These are plain strings and numbers to the compiler: marked, so that they can be told from others. */
const MARKED = ["uinteger", "integer", "decimal", "URI", "DocumentUri"] as const;

let known: ProtocolModel | undefined;

/** Read once for all tests of a run. */
export function protocolModel(): ProtocolModel {
  return (known ??= readModel());
}

function readModel(): ProtocolModel {
  const require = createRequire(import.meta.url);
  const protocol = join(dirname(require.resolve("vscode-languageserver-protocol")), "../common/api.d.ts");
  const options: ts.CompilerOptions = {
    strict: true,
    noLib: false,
    types: [],
    skipLibCheck: true,
    target: ts.ScriptTarget.ES2022,
    module: ts.ModuleKind.CommonJS,
    moduleResolution: ts.ModuleResolutionKind.Node10,
  };
  const host = ts.createCompilerHost(options);
  const readAsIs = host.readFile.bind(host);
  host.getSourceFile = (name, version) => {
    const text = name.includes("vscode-languageserver-types") ? withMarks(readFileSync(name, "utf8")) : readAsIs(name);
    return text === undefined ? undefined : ts.createSourceFile(name, text, version);
  };
  const program = ts.createProgram([protocol], options, host);
  const checker = program.getTypeChecker();
  const types = new TypeReader(checker);
  const exported = checker.getExportsOfModule(checker.getSymbolAtLocation(program.getSourceFile(protocol)!)!);
  const requests = new Map<string, RequestModel>();
  const notifications = new Map<string, NotificationModel>();
  for (const exporting of exported) {
    const symbol = exporting.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(exporting) : exporting;
    const members = symbol.flags & ts.SymbolFlags.Module ? symbol.exports : undefined;
    const [method, type] = ["method", "type"].map((name) => members?.get(name as ts.__String));
    const name = method && checker.getTypeOfSymbol(method);
    if (!type || !name?.isStringLiteral()) continue;
    const made = checker.getTypeOfSymbol(type) as ts.TypeReference;
    const parts = checker.getTypeArguments(made).map((part) => types.read(part));
    const [a = NOTHING, b = NOTHING, c = NOTHING, d = NOTHING, e = NOTHING] = parts;
    switch (made.symbol.name) {
      case "ProtocolRequestType":
        requests.set(name.value, { params: a, result: b, partialResult: c, registrationOptions: e });
        break;
      case "ProtocolRequestType0":
        requests.set(name.value, { params: NOTHING, result: a, partialResult: b, registrationOptions: d });
        break;
      case "ProtocolNotificationType":
        notifications.set(name.value, { params: a, registrationOptions: b });
        break;
      case "ProtocolNotificationType0":
        notifications.set(name.value, { params: NOTHING, registrationOptions: a });
    }
  }
  return {
    requests,
    notifications,
    typeNamed: (name) => {
      const symbol = exported.find((one) => one.name === name);
      if (!symbol) throw new Error(`the protocol has no type ${name}`);
      return types.read(checker.getDeclaredTypeOfSymbol(symbol));
    },
  };
}

function withMarks(declarations: string): string {
  return MARKED.reduce(
    (text, name) =>
      text.replace(
        new RegExp(`export type ${name} = (string|number);`),
        `export type ${name} = $1 & { readonly marked: "${name}" };`,
      ),
    declarations,
  );
}

class TypeReader {
  readonly #checker: ts.TypeChecker;
  readonly #known = new Map<ts.Type, ModelType>();

  constructor(checker: ts.TypeChecker) {
    this.#checker = checker;
  }

  read(type: ts.Type): ModelType {
    let found = this.#known.get(type);
    if (!found) this.#known.set(type, (found = this.#make(type)));
    return found;
  }

  #make(type: ts.Type): ModelType {
    const { flags } = type;
    if (flags & (ts.TypeFlags.Any | ts.TypeFlags.Unknown)) return { kind: "any" };
    if (flags & ts.TypeFlags.StringLiteral) return { kind: "literal", value: (type as ts.StringLiteralType).value };
    if (flags & ts.TypeFlags.NumberLiteral) return { kind: "literal", value: (type as ts.NumberLiteralType).value };
    if (flags & ts.TypeFlags.BooleanLiteral)
      return { kind: "literal", value: this.#checker.typeToString(type) === "true" };
    if (flags & ts.TypeFlags.String) return { kind: "base", name: "string" };
    if (flags & ts.TypeFlags.Number) return { kind: "base", name: "decimal" };
    if (flags & ts.TypeFlags.Boolean) return { kind: "base", name: "boolean" };
    if (flags & (ts.TypeFlags.Null | ts.TypeFlags.Void | ts.TypeFlags.Never)) return NOTHING;
    if (flags & ts.TypeFlags.NonPrimitive) return { kind: "object" };
    if (type.isUnion()) {
      // JSON knows no undefined: what may be undefined may be left out, as its property says.
      const items = type.types.filter((one) => !(one.flags & ts.TypeFlags.Undefined)).map((one) => this.read(one));
      return items.length === 1 ? items[0]! : { kind: "or", items };
    }
    const mark = type.getProperty("marked");
    const marked = mark && this.#checker.getTypeOfSymbol(mark);
    if (type.isIntersection() && marked?.isStringLiteral()) return { kind: "base", name: marked.value as BaseName };
    if (this.#checker.isTupleType(type))
      return {
        kind: "tuple",
        items: this.#checker.getTypeArguments(type as ts.TypeReference).map((one) => this.read(one)),
      };
    if (this.#checker.isArrayType(type))
      return { kind: "array", element: this.read(this.#checker.getTypeArguments(type as ts.TypeReference)[0]!) };
    return this.#structure(type);
  }

  #structure(type: ts.Type): Structure {
    const checker = this.#checker;
    const properties = new Map<string, Property>();
    const index = checker.getIndexInfosOfType(type)[0];
    const structure: Structure = {
      kind: "structure",
      name: checker.typeToString(type),
      properties,
      others: index && { name: this.read(index.keyType), value: this.read(index.type) },
    };
    // Structures hold themselves: a symbol has symbols for children.
    this.#known.set(type, structure);
    for (const property of checker.getPropertiesOfType(type))
      properties.set(property.name, {
        type: this.read(checker.getTypeOfSymbol(property)),
        isOptional: (property.flags & ts.SymbolFlags.Optional) !== 0,
      });
    return structure;
  }
}
