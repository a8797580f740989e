// Draws the extension's icon: a spade in the soil beside a healthy root. Colours: Okabe and Ito's palette, which people who
// see colours differently can tell apart. Run: node client/media/draw-icon.mjs (needs Chromium).
import { writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { launchChromium } from "../../test/editor/chromium.mjs";

const blue = "#0072B2";
const sky = "#56B4E9";
const yellow = "#F0E442";
const orange = "#E69F00";
const green = "#009E73";
const black = "#000000";
const size = 128;

const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${size}" height="${size}" viewBox="0 0 128 128">
  <defs><clipPath id="card"><rect width="128" height="128" rx="24"/></clipPath></defs>
  <g clip-path="url(#card)">
    <rect width="128" height="128" fill="${blue}"/>
    <path d="M0 76 Q32 66 64 76 T128 76 V128 H0 Z" fill="${orange}"/>
    <path d="M0 76 Q32 66 64 76 T128 76" fill="none" stroke="${black}" stroke-opacity=".25" stroke-width="3"/>
    <g stroke-linecap="round" fill="none">
      <path d="M94 74 V104 M94 84 L84 94 M94 90 L105 99" stroke="#FFFFFF" stroke-width="4"/>
      <path d="M94 74 V52" stroke="${green}" stroke-width="5"/>
    </g>
    <path d="M94 58 C78 58 74 46 74 40 C88 40 94 48 94 58 Z" fill="${green}"/>
    <path d="M94 54 C110 54 114 42 114 36 C100 36 94 44 94 54 Z" fill="${green}"/>
    <circle cx="94" cy="33" r="6" fill="${yellow}"/>
    <g transform="rotate(-14 46 66)">
      <path d="M34 16 H58 M46 16 V64" stroke="${sky}" stroke-width="8" stroke-linecap="round"/>
      <path d="M28 60 H64 V88 C64 100 54 108 46 114 C38 108 28 100 28 88 Z" fill="#FFFFFF"/>
      <path d="M46 66 V96" stroke="${sky}" stroke-width="4" stroke-linecap="round"/>
    </g>
  </g>
</svg>
`;

writeFileSync(fileURLToPath(new URL("icon.svg", import.meta.url)), svg);
const browser = await launchChromium();
const page = await browser.newPage({ viewport: { width: size, height: size } });
await page.setContent(`<style>body { margin: 0 }</style>${svg}`);
await page.screenshot({ path: fileURLToPath(new URL("icon.png", import.meta.url)), omitBackground: true });
await browser.close();
