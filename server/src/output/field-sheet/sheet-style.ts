import { PICTURE_STYLE } from "../picture/picture-style.ts";

/** The papers that a sheet is made for, by the names of CSS. */
export const PAPERS = ["a5", "letter"] as const;
export type Paper = (typeof PAPERS)[number];

/** Legible at arm's length and in the rain; nothing hangs on a colour. */
export function sheetStyle(paper: Paper): string {
  const [size, text, width] = paper === "a5" ? ["A5", "7.8pt", "132mm"] : ["letter", "10pt", "192mm"];
  return `
@page{size:${size} portrait;margin:8mm}
*{box-sizing:border-box}
html{background:#fff;color:#000}
body{margin:0 auto;max-width:${width};padding:2mm 0;font:${text}/1.32 system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,"DejaVu Sans",sans-serif;font-variant-ligatures:none}
h1,p,td,li,figcaption{overflow-wrap:anywhere}
h1{font-size:1.9em;line-height:1.1;margin:0 0 1mm}
h2{font-size:1.12em;margin:1.8mm 0 .7mm;border-bottom:.4mm solid #000;break-after:avoid}
p,ol,ul{margin:0 0 .7mm}
ol,ul{padding-left:1.5em}
header{display:flex;gap:3mm;align-items:flex-start}
header>div{flex:1}
.standing{display:inline-block;border:.5mm solid #000;padding:0 1.5mm;font-weight:700}
.standing.clean{border-width:.25mm;font-weight:400}
.standing.confirmed{background:#000;color:#fff;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.link{width:27mm;flex:none;margin:0;font-size:.72em;line-height:1.15}
.qr{display:block;width:27mm;height:27mm}
figure{margin:1mm 0}
figure .picture{max-height:${paper === "a5" ? "60mm" : "95mm"}}
table{border-collapse:collapse;width:100%;break-inside:auto}
th,td{border:.25mm solid #000;padding:.35mm 1mm;text-align:left;vertical-align:top;font-weight:400}
thead th{font-weight:700}
th.box,td.box{width:2.6em;text-align:center}
tr,li,.key,.fill p{break-inside:avoid}
thead th{white-space:nowrap}
.fill span{flex:none;max-width:100%}
.fill p{display:flex;flex-wrap:wrap;gap:0 1.5mm;align-items:flex-end}
.fill .rule{flex:1;border-bottom:.25mm solid #000;min-width:12mm;height:1.5em}
.keys{display:grid;grid-template-columns:repeat(2,1fr);gap:.5mm 3mm;list-style:none;padding:0}
.key{display:flex;gap:1.5mm;align-items:center}
.drawing{width:8mm;height:10.6mm;flex:none}
.tick{display:inline-block;width:1em;height:1em;border:.25mm solid #000;vertical-align:-.1em;margin-left:.6em}
.cautions{font-size:.92em}
.cautions ul{columns:2;column-gap:4mm}
footer{margin-top:2mm;font-size:.8em}
@media screen{body{padding:6mm 3mm}}
@media screen and (max-width:420px){th,td{padding:.35mm .5mm}th.box,td.box{width:2em}.keys{grid-template-columns:1fr}}
${PICTURE_STYLE}`.replaceAll("\n", "");
}
