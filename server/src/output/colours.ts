import type { Level } from "../records/finding.ts";

/** The Okabe-Ito palette, which people with any colour vision can tell apart; a word or a shape always stands beside it. */
const VERMILLION = "213;94;0";
const ORANGE = "230;159;0";
const SKY_BLUE = "86;180;233";
const BLUISH_GREEN = "0;158;115";

export interface Colours {
  level(level: Level, text: string): string;
  good(text: string): string;
  strong(text: string): string;
  faint(text: string): string;
}

export const NO_COLOURS: Colours = {
  level: (_level, text) => text,
  good: (text) => text,
  strong: (text) => text,
  faint: (text) => text,
};

export const ANSI_COLOURS: Colours = {
  level: (level, text) => paint(level === "error" ? VERMILLION : level === "warning" ? ORANGE : SKY_BLUE, text),
  good: (text) => paint(BLUISH_GREEN, text),
  strong: (text) => `\u001B[1m${text}\u001B[22m`,
  faint: (text) => `\u001B[2m${text}\u001B[22m`,
};

function paint(rgb: string, text: string): string {
  return `\u001B[38;2;${rgb}m${text}\u001B[39m`;
}
