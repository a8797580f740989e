// The slider: shows the season as far as a day, and says in words what happened on it.
import type { Replay } from "../src/panel-messages.ts";

const MINUTES_PER_DAY = 1440;
const MOST_EVENTS = 8;
const MILLISECONDS_PER_DAY = 60;

export class SeasonReplay {
  readonly #content: HTMLElement;
  readonly #keep: (day: number | undefined) => void;
  readonly #slider: HTMLInputElement;
  readonly #shown: HTMLOutputElement;
  readonly #play: HTMLButtonElement;
  readonly #list: HTMLUListElement;
  readonly #marks = new Map<Element, { readonly from: number; readonly since: number }>();
  #replay: Replay = { first: 0, last: 0, events: [] };
  /** Undefined while the slider stands at its end, which moves on with the records. */
  #day: number | undefined;
  #timer: number | undefined;

  /**
   * @param box holds the controls
   * @param keep told of the day whenever it changes
   */
  constructor(
    box: HTMLElement,
    content: HTMLElement,
    day: number | undefined,
    keep: (day: number | undefined) => void,
  ) {
    this.#content = content;
    this.#day = day;
    this.#keep = keep;
    this.#slider = one(box, "input");
    this.#shown = one(box, "output");
    this.#list = one(box, "ul");
    this.#play = one(box, "button[data-does=play]");
    this.#slider.addEventListener("input", () => this.#goTo(Number(this.#slider.value)));
    this.#play.addEventListener("click", () => (this.#timer === undefined ? this.#start() : this.#stop()));
    one(box, "button[data-does=earlier]").addEventListener("click", () => this.#toMove(-1));
    one(box, "button[data-does=later]").addEventListener("click", () => this.#toMove(1));
  }

  /** New content is there: the day stays where it was. */
  show(replay: Replay): void {
    this.#replay = replay;
    this.#marks.clear();
    for (const mark of this.#content.querySelectorAll("[data-from]")) {
      const from = Number(mark.getAttribute("data-from"));
      const since = mark.getAttribute("data-since");
      this.#marks.set(mark, { from, since: since === null ? from : Number(since) });
    }
    this.#slider.min = String(replay.first);
    this.#slider.max = String(replay.last);
    this.#draw();
  }

  get #now(): number {
    const { first, last } = this.#replay;
    return Math.min(last, Math.max(first, this.#day ?? last));
  }

  #goTo(day: number): void {
    this.#day = day >= this.#replay.last ? undefined : day;
    this.#keep(this.#day);
    this.#draw();
  }

  #draw(): void {
    const day = this.#now;
    const until = (day + 1) * MINUTES_PER_DAY;
    for (const [mark, { from, since }] of this.#marks) {
      mark.classList.toggle("later", from >= until);
      mark.classList.toggle("under-way", from >= until && since < until);
    }
    const words = dayInWords(day);
    this.#slider.value = String(day);
    this.#slider.setAttribute("aria-valuetext", words);
    this.#shown.textContent = words;
    const today = this.#replay.events.filter(({ at }) => Math.floor(at / MINUTES_PER_DAY) === day);
    today.sort((a, b) => Number(b.isMove) - Number(a.isMove) || a.at - b.at);
    const items = today.slice(0, MOST_EVENTS).map(({ words: what, open, isMove }) => {
      const item = document.createElement("li");
      const part = document.createElement(open === undefined ? "span" : "button");
      part.textContent = what;
      if (open !== undefined) {
        part.className = "open";
        part.setAttribute("type", "button");
        part.setAttribute("data-open", open);
      }
      if (isMove) item.className = "move-event";
      item.append(part);
      return item;
    });
    if (today.length > MOST_EVENTS) items.push(plain(`and ${today.length - MOST_EVENTS} more`));
    if (today.length === 0) items.push(plain("Nothing on record that day."));
    this.#list.replaceChildren(...items);
  }

  /** To the day of the next way that soil may have taken, or the one before. */
  #toMove(direction: 1 | -1): void {
    this.#stop();
    const days = this.#replay.events.filter(({ isMove }) => isMove).map(({ at }) => Math.floor(at / MINUTES_PER_DAY));
    const now = this.#now;
    const next = direction > 0 ? days.find((day) => day > now) : days.findLast((day) => day < now);
    this.#goTo(next ?? (direction > 0 ? this.#replay.last : this.#replay.first));
  }

  #start(): void {
    if (this.#now >= this.#replay.last) this.#goTo(this.#replay.first);
    this.#setPlaying(true);
    const pace = matchMedia("(prefers-reduced-motion: reduce)").matches ? 8 : 1;
    this.#timer = window.setInterval(() => {
      this.#goTo(this.#now + 1);
      if (this.#now >= this.#replay.last) this.#stop();
    }, MILLISECONDS_PER_DAY * pace);
  }

  #stop(): void {
    window.clearInterval(this.#timer);
    this.#timer = undefined;
    this.#setPlaying(false);
  }

  #setPlaying(isPlaying: boolean): void {
    this.#play.textContent = isPlaying ? "Pause" : "Play";
    // While it runs, nobody could listen to every day.
    this.#list.setAttribute("aria-live", isPlaying ? "off" : "polite");
  }
}

function plain(words: string): HTMLLIElement {
  const item = document.createElement("li");
  item.textContent = words;
  return item;
}

function one<Kind extends HTMLElement>(box: HTMLElement, selector: string): Kind {
  const found = box.querySelector<Kind>(selector);
  if (!found) throw new Error(`The panel has no ${selector}.`);
  return found;
}

/** `2026-08-14` */
function dayInWords(day: number): string {
  return new Date(day * 86_400_000).toISOString().slice(0, 10);
}
