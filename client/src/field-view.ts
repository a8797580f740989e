// The list of fields in the explorer: by status, riskiest first, or by grower; each with what to do next.
import * as vscode from "vscode";
import { commands, fieldViewId, groupedByGrowerContext } from "./names.ts";
import { locationOf } from "./places.ts";
import type { FieldList, ListedField } from "./protocol.ts";
import { fieldGroups, type FieldGroup } from "./field-groups.ts";
import { statusLook } from "./season-words.ts";
import type { Server } from "./server.ts";

type Node =
  | { readonly kind: "group"; readonly group: FieldGroup }
  | { readonly kind: "field"; readonly field: ListedField; readonly list: FieldList };

const kept = "fieldsByGrower";

export class FieldView implements vscode.TreeDataProvider<Node> {
  readonly #server: Server;
  readonly #memory: vscode.Memento;
  readonly #changed = new vscode.EventEmitter<undefined>();
  readonly onDidChangeTreeData = this.#changed.event;

  constructor(server: Server, memory: vscode.Memento) {
    this.#server = server;
    this.#memory = memory;
  }

  register(): vscode.Disposable {
    const view = vscode.window.createTreeView(fieldViewId, { treeDataProvider: this, showCollapseAll: true });
    this.#tellGrouping();
    return vscode.Disposable.from(
      view,
      this.#changed,
      vscode.commands.registerCommand(commands.fieldsByStatus, () => this.#group(false)),
      vscode.commands.registerCommand(commands.fieldsByGrower, () => this.#group(true)),
    );
  }

  /** The records have changed. The editor asks for what is in sight. */
  refresh(): void {
    this.#changed.fire(undefined);
  }

  async getChildren(node?: Node): Promise<Node[]> {
    if (node?.kind === "field") return [];
    if (node) return node.group.fields.map(({ field, list }) => ({ kind: "field", field, list }));
    // Without a server there is nothing to list, and the keeper has been told of it.
    const lists = await this.#server.ask("spadework/fieldList", {}).catch(() => []);
    return fieldGroups(lists, this.#byGrower).map((group) => ({ kind: "group", group }));
  }

  getTreeItem(node: Node): vscode.TreeItem {
    return node.kind === "group" ? groupItem(node.group) : fieldItem(node.field, node.list);
  }

  get #byGrower(): boolean {
    return this.#memory.get(kept, false);
  }

  async #group(byGrower: boolean): Promise<void> {
    await this.#memory.update(kept, byGrower);
    this.#tellGrouping();
    this.refresh();
  }

  #tellGrouping(): void {
    void vscode.commands.executeCommand("setContext", groupedByGrowerContext, this.#byGrower);
  }
}

function groupItem({ name, status, fields }: FieldGroup): vscode.TreeItem {
  const item = new vscode.TreeItem(name, vscode.TreeItemCollapsibleState.Expanded);
  item.id = `group ${name}`;
  item.description = String(fields.length);
  if (status !== undefined) item.iconPath = new vscode.ThemeIcon(statusLook(status).icon);
  item.contextValue = "group";
  return item;
}

function fieldItem({ id, name, grower, status, why, next, place }: ListedField, { root }: FieldList): vscode.TreeItem {
  const { icon, word } = statusLook(status);
  const item = new vscode.TreeItem(name, vscode.TreeItemCollapsibleState.None);
  item.id = `field ${root} ${id}`;
  item.description = next ?? word;
  item.iconPath = new vscode.ThemeIcon(icon);
  const lines = [`${name}: ${word}${why ? `, ${why}` : ""}.`, next ? `To do: ${next}.` : "Nothing to do now."];
  if (grower !== undefined) lines.push(`Grower: ${grower}`);
  // Plain text: what the records say is shown letter by letter.
  item.tooltip = lines.join("\n");
  item.accessibilityInformation = { label: lines.join(" "), role: "treeitem" };
  item.contextValue = "field";
  if (place) {
    const { uri, range } = locationOf(place);
    item.command = { command: "vscode.open", title: "Open the field's record", arguments: [uri, { selection: range }] };
  }
  return item;
}
