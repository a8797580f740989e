// Marks of a drawing by the keyboard: one stop of the Tab key a drawing, and the arrow keys from mark to mark.

const STEPS: Readonly<Record<string, number>> = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };

export class MarkNavigation {
  readonly #content: HTMLElement;

  constructor(content: HTMLElement) {
    this.#content = content;
    content.addEventListener("keydown", (event) => this.#move(event));
    content.addEventListener("focusin", ({ target }) => {
      if (target instanceof SVGElement && target.matches(".mark")) this.#takeTab(target);
    });
  }

  /** What the focused mark or button opens, to find it again in new content. */
  focused(): string | undefined {
    return document.activeElement?.getAttribute("data-open") ?? undefined;
  }

  /** @param focused what `focused` gave before the content changed */
  refresh(focused: string | undefined): void {
    for (const drawing of this.#content.querySelectorAll("svg.picture"))
      this.#marksOf(drawing)[0]?.setAttribute("tabindex", "0");
    if (focused === undefined) return;
    const again = [...this.#content.querySelectorAll<HTMLElement | SVGElement>("[data-open]")];
    again.find((one) => one.getAttribute("data-open") === focused)?.focus({ preventScroll: true });
  }

  #move(event: KeyboardEvent): void {
    const { target, key } = event;
    const mark = target instanceof SVGElement ? target.closest<SVGElement>(".mark") : null;
    const drawing = mark?.closest("svg.picture");
    if (!mark || !drawing) return;
    const marks = this.#marksOf(drawing).filter((one) => one.getClientRects().length > 0);
    const at = marks.indexOf(mark);
    const next = key === "Home" ? 0 : key === "End" ? marks.length - 1 : at + (STEPS[key] ?? 0);
    if (next === at) return;
    event.preventDefault();
    marks[(next + marks.length) % marks.length]?.focus();
  }

  #takeTab(mark: SVGElement): void {
    const drawing = mark.closest("svg.picture");
    if (!drawing) return;
    for (const one of this.#marksOf(drawing)) one.setAttribute("tabindex", one === mark ? "0" : "-1");
  }

  #marksOf(drawing: Element): SVGElement[] {
    return [...drawing.querySelectorAll<SVGElement>(".mark")];
  }
}
