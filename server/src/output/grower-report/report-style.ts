import { PICTURE_STYLE } from "../picture/picture-style.ts";

/** For the screen and for paper, A4 and letter alike: the size of a page is the printer's to say. */
export const REPORT_STYLE = `
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0 auto;padding:1.5rem;max-width:62rem;background:#fff;color:#1a1a1a;font:1rem/1.5 system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,"DejaVu Sans",sans-serif}
h1{font-size:1.7rem;line-height:1.2;margin:0}
h2{font-size:1.25rem;margin:2rem 0 .5rem;border-bottom:2px solid #1a1a1a;padding-bottom:.2rem}
h3{font-size:1.05rem;margin:1.2rem 0 .3rem}
p,ul,ol,dl{margin:.5rem 0}
.lead{font-size:1.08rem}
.made{color:#4d4d4d;margin:.2rem 0 1rem}
.note{color:#4d4d4d;font-size:.92rem}
figure{margin:1rem 0}
figcaption{color:#4d4d4d;font-size:.92rem;margin-top:.3rem}
.table{overflow-x:auto;margin:.8rem 0}
.table:focus-visible{outline:3px solid #0072b2;outline-offset:2px}
table{border-collapse:collapse;width:100%;font-size:.9rem;line-height:1.35}
caption{text-align:left;font-weight:600;padding:.2rem 0 .4rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .5rem .3rem 0;border-bottom:1px solid #b8b8b8}
thead th{border-bottom:2px solid #1a1a1a;white-space:nowrap}
tbody th{font-weight:600}
.visits tbody th{white-space:nowrap}
.status-word{white-space:nowrap}
.status-mark{display:inline-block;min-width:1.35em;text-align:center;font-weight:700;border:1.5px solid #111;border-radius:3px;color:#111;background:#fff}
.status-confirmed .status-mark{background:#d55e00}
.status-suspected .status-mark{background:#e69f00}
.status-exposed .status-mark{background:#cc79a7}
.status-unscouted .status-mark{background:#56b4e9}
.status-not-found .status-mark{background:#009e73}
.host{font-weight:700}
.break{display:block;font-size:.92em}
.to-do li{margin:.35rem 0}
.cautions{border:2px solid #1a1a1a;padding:.2rem 1rem .6rem;margin-top:2rem}
dt{font-weight:600;margin-top:.5rem}
dd{margin:0 0 0 1.2rem}
@media print{
@page{margin:14mm 12mm 16mm}
html{font-size:9.5pt}
body{padding:0;max-width:none}
h1{font-size:17pt}
h2{font-size:13pt;break-after:avoid}
h3,caption,dt{break-after:avoid}
.table{overflow:visible}
table{font-size:8.3pt}
.status-word{white-space:normal}
thead{display:table-header-group}
tr,figure,li,dd,.cautions{break-inside:avoid}
figure .picture{max-height:165mm}
.status-mark{print-color-adjust:exact;-webkit-print-color-adjust:exact}
}
${PICTURE_STYLE}`.replaceAll("\n", "");
