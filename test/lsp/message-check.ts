import type { BaseName, ModelType, ProtocolModel, Structure } from "./protocol-model.ts";

/** What is wrong with a value, each with its place in it: `params.diagnostics[0].range: is missing`. Empty for a sound one. */
export function problemsOf(value: unknown, type: ModelType, place: string): string[] {
  switch (type.kind) {
    case "any":
      return [];
    case "object":
      return isObject(value) ? [] : [`${place}: ${shown(value)} is no object`];
    case "base":
      return isBase(value, type.name) ? [] : [`${place}: ${shown(value)} is no ${type.name}`];
    case "literal":
      return value === type.value ? [] : [`${place}: ${shown(value)} is not ${shown(type.value)}`];
    case "array":
      if (!Array.isArray(value)) return [`${place}: ${shown(value)} is no list`];
      return value.flatMap((item, i) => problemsOf(item, type.element, `${place}[${i}]`));
    case "tuple":
      if (!Array.isArray(value) || value.length !== type.items.length)
        return [`${place}: ${shown(value)} is no list of ${type.items.length}`];
      return type.items.flatMap((item, i) => problemsOf(value[i], item, `${place}[${i}]`));
    case "or":
      return problemsOfAny(value, type.items, place);
    case "structure":
      return problemsOfStructure(value, type, place);
  }
}

function problemsOfStructure(value: unknown, { name, properties, others }: Structure, place: string): string[] {
  if (!isObject(value)) return [`${place}: ${shown(value)} is no ${name}`];
  const problems: string[] = [];
  for (const [key, property] of properties) {
    if (Object.hasOwn(value, key)) problems.push(...problemsOf(value[key], property.type, `${place}.${key}`));
    else if (!property.isOptional) problems.push(`${place}.${key}: is missing from ${name}`);
  }
  for (const key of Object.keys(value)) {
    if (properties.has(key)) continue;
    if (others)
      problems.push(
        ...problemsOf(key, others.name, `name in ${place}`),
        ...problemsOf(value[key], others.value, `${place}[${shown(key)}]`),
      );
    else problems.push(`${place}.${key}: ${name} has no such property`);
  }
  return problems;
}

/** Of several types, what is told is what keeps the value from being the one it comes nearest to. */
function problemsOfAny(value: unknown, types: readonly ModelType[], place: string): string[] {
  let nearest: readonly string[] | undefined;
  for (const type of types) {
    const problems = problemsOf(value, type, place);
    if (problems.length === 0) return [];
    if (!nearest || depthOf(problems) > depthOf(nearest)) nearest = problems;
  }
  return [`${place}: ${shown(value)} is none of ${types.length} types`, ...(nearest ?? [])];
}

function depthOf(problems: readonly string[]): number {
  return Math.min(...problems.map((problem) => problem.split(": ")[0]!.split(/[.[]/).length));
}

function isBase(value: unknown, name: BaseName): boolean {
  switch (name) {
    case "null":
      return value === null;
    case "boolean":
      return typeof value === "boolean";
    case "string":
      return typeof value === "string";
    case "decimal":
      return typeof value === "number" && Number.isFinite(value);
    case "integer":
      return Number.isInteger(value) && Math.abs(value as number) < 2 ** 31;
    case "uinteger":
      return Number.isInteger(value) && (value as number) >= 0 && (value as number) < 2 ** 31;
    case "URI":
    case "DocumentUri":
      // RFC 3986, 2: a scheme, and no character that has to be written with a percent sign.
      return (
        typeof value === "string" && /^[a-z][a-z0-9+.-]*:(?:[\w.~:/?#[\]@!$&'()*+,;=-]|%[0-9A-F]{2})*$/i.test(value)
      );
  }
}

/** A whole message of a server. `answers`: the method of the request that a response belongs to. */
export function problemsOfMessage(message: unknown, model: ProtocolModel, answers: string | undefined): string[] {
  if (!isObject(message)) return [`message: ${shown(message)} is no object`];
  const { jsonrpc, id, method, params, ...rest } = message;
  const problems = jsonrpc === "2.0" ? [] : [`message.jsonrpc: ${shown(jsonrpc)} is not "2.0"`];
  const only = (...keys: readonly string[]): void => {
    for (const key of Object.keys(rest)) if (!keys.includes(key)) problems.push(`message.${key}: has no place here`);
  };
  if (method === undefined) {
    only("result", "error");
    if (params !== undefined) problems.push("message.params: has no place in a response");
    return [...problems, ...problemsOfResponse(id, rest, model, answers)];
  }
  only();
  if (typeof method !== "string") return [...problems, `message.method: ${shown(method)} is no string`];
  const isRequest = Object.hasOwn(message, "id");
  if (isRequest && typeof id !== "string" && !isBase(id, "integer"))
    problems.push(`message.id: ${shown(id)} is no integer or string`);
  const known = isRequest ? model.requests.get(method) : (model.notifications.get(method) ?? GENERAL.get(method));
  if (!known) return [...problems, `message.method: there is no ${isRequest ? "request" : "notification"} ${method}`];
  const isWithout = known.params.kind === "base" && known.params.name === "null";
  if (isWithout)
    return params === undefined || params === null ? problems : [...problems, `${method}: takes no params`];
  problems.push(...problemsOf(params, known.params, `${method} params`));
  if (method === "client/registerCapability") problems.push(...problemsOfRegistrations(params, model));
  return problems;
}

function problemsOfResponse(
  id: unknown,
  { result, error }: { result?: unknown; error?: unknown },
  model: ProtocolModel,
  answers: string | undefined,
): string[] {
  if (error !== undefined)
    return [
      ...(result === undefined ? [] : ["message: has a result and an error"]),
      ...problemsOf(error, RESPONSE_ERROR, "error"),
    ];
  if (result === undefined) return ["message: has neither a result nor an error"];
  if (answers === undefined) return [`message.id: ${shown(id)} answers no request`];
  const request = model.requests.get(answers);
  // Requests beyond the protocol are the server's own: of their results the protocol says nothing.
  return request ? problemsOf(result, request.result, `${answers} result`) : [];
}

/** What is registered later has to say of it what the protocol asks. */
function problemsOfRegistrations(params: unknown, model: ProtocolModel): string[] {
  const { registrations } = params as { registrations: readonly { method: string; registerOptions?: unknown }[] };
  return registrations.flatMap(({ method, registerOptions }) => {
    const known = model.requests.get(method) ?? model.notifications.get(method);
    if (!known) return [`client/registerCapability: there is no method ${method}`];
    const { registrationOptions: options } = known;
    if (options.kind === "base")
      return (registerOptions ?? null) === null ? [] : [`registration of ${method}: takes no options`];
    return registerOptions === undefined ? [] : problemsOf(registerOptions, options, `registration of ${method}`);
  });
}

const TOKEN: ModelType = {
  kind: "or",
  items: [
    { kind: "base", name: "integer" },
    { kind: "base", name: "string" },
  ],
};

/** Messages of JSON-RPC itself, which name no method in the protocol's declarations (LSP 3.17, "Base Protocol"). */
const GENERAL = new Map<string, { readonly params: ModelType }>([
  ["$/cancelRequest", { params: structure("CancelParams", { id: TOKEN }) }],
  ["$/progress", { params: structure("ProgressParams", { token: TOKEN, value: { kind: "any" } }) }],
]);

const RESPONSE_ERROR: Structure = {
  ...structure("ResponseError", { code: { kind: "base", name: "integer" }, message: { kind: "base", name: "string" } }),
  others: undefined,
  properties: new Map([
    ["code", { type: { kind: "base", name: "integer" }, isOptional: false }],
    ["message", { type: { kind: "base", name: "string" }, isOptional: false }],
    ["data", { type: { kind: "any" }, isOptional: true }],
  ]),
};

function structure(name: string, types: Readonly<Record<string, ModelType>>): Structure {
  const properties = new Map(Object.entries(types).map(([key, type]) => [key, { type, isOptional: false }]));
  return { kind: "structure", name, properties, others: undefined };
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function shown(value: unknown): string {
  const text = JSON.stringify(value) ?? "nothing";
  return text.length > 80 ? `${text.slice(0, 80)}…` : text;
}
