// The script of a season's panel: shows what the server has drawn, replays the season by the slider, and tells the extension
// which record is to be opened. It draws nothing itself.
import type { FromPanel, PanelState, Replay, ToPanel } from "../src/panel-messages.ts";
import { MarkNavigation } from "./mark-navigation.ts";
import { SeasonReplay } from "./season-replay.ts";

declare function acquireVsCodeApi(): {
  postMessage(message: FromPanel): void;
  getState(): Partial<PanelState> | undefined;
  setState(state: PanelState): void;
};

const editor = acquireVsCodeApi();
const content = byId("content");
const trouble = byId("trouble");
const root = document.body.dataset.root ?? "";

const replay = new SeasonReplay(byId("replay"), content, editor.getState()?.day, (day) =>
  editor.setState({ root, ...(day === undefined ? {} : { day }) }),
);
const marks = new MarkNavigation(content);
editor.setState({ ...editor.getState(), root });

window.addEventListener("message", ({ data }: MessageEvent<ToPanel>) => {
  if (data.type === "show") show(data.html, data.replay);
  else {
    trouble.textContent = data.message;
    trouble.hidden = false;
  }
});
document.addEventListener("click", ({ target }) => open(target));
content.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" && event.key !== " ") return;
  if (!(event.target instanceof SVGElement)) return;
  event.preventDefault();
  open(event.target);
});
editor.postMessage({ type: "ready" });

/** Puts new content in the place of the old one, and leaves the reader where he was. */
function show(html: string, events: Replay): void {
  trouble.hidden = true;
  const focused = marks.focused();
  const scrolled = window.scrollY;
  // The markup is the server's, which escapes all that comes from the records; the page's policy lets no script in it run.
  const parsed = new DOMParser().parseFromString(html, "text/html");
  content.replaceChildren(...parsed.body.childNodes);
  replay.show(events);
  marks.refresh(focused);
  window.scrollTo(0, scrolled);
}

function open(target: EventTarget | null): void {
  const record = target instanceof Element ? target.closest("[data-open]")?.getAttribute("data-open") : undefined;
  if (record) editor.postMessage({ type: "open", record });
}

function byId(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (!found) throw new Error(`The panel has no ${id}.`);
  return found;
}
