import { PICTURE_STYLE } from "../picture/picture-style.ts";
/** For an editor's panel: its colours are those of the editor's theme, high contrast included. */
export const SEASON_PANEL_STYLE = `${PICTURE_STYLE}
html{scroll-padding-top:11.5rem}
body{margin:0;padding:0 1.25rem 2rem;max-width:64rem;color:var(--vscode-foreground);background:var(--vscode-editor-background);font-family:var(--vscode-font-family);font-size:var(--vscode-font-size);line-height:1.45}
h1{font-size:1.6em;margin:.6rem 0 0;font-weight:600}
h2{font-size:1.2em;margin:1.6rem 0 .5rem;font-weight:600;border-bottom:1px solid var(--vscode-contrastBorder,var(--vscode-widget-border,currentColor));padding-bottom:.2rem}
p{margin:.3rem 0}
figure{margin:.5rem 0}
figcaption,.note,.made{color:var(--vscode-foreground);opacity:1;font-size:.95em}
.picture{--paper:var(--vscode-editor-background);--ink:var(--vscode-editor-foreground);--faint:var(--vscode-editor-foreground);--ground:color-mix(in srgb,var(--vscode-editor-background) 93%,var(--vscode-editor-foreground))}
.picture text{font-family:var(--vscode-font-family)}
.picture .badge{stroke:var(--ink)}
.picture .rule,.picture .row-line,.picture .ground{stroke-opacity:.45}
.vscode-high-contrast .picture .ground{fill:var(--paper);stroke-opacity:1}
.vscode-high-contrast .picture .pattern{opacity:1}
.vscode-high-contrast .picture .tint{opacity:.3}
.mark{cursor:pointer}
.mark:focus{outline:none}
.mark:focus-visible,.mark:focus-visible .outline{outline:2px solid var(--vscode-focusBorder);outline-offset:2px}
.mark:hover .outline,.mark:focus-visible .outline{stroke-width:3}
.mark:hover .dig,.mark:focus-visible .dig,.mark:hover .stay,.mark:focus-visible .stay,.mark:hover .cleaning,.mark:focus-visible .cleaning{stroke-width:2.6}
.later{display:none}
.under-way{display:inline}
.under-way .move,.under-way .gap{stroke-dasharray:2 4;opacity:.75}
.replay{position:sticky;top:0;z-index:1;background:var(--vscode-editor-background);border-bottom:1px solid var(--vscode-contrastBorder,var(--vscode-widget-border,currentColor));padding:.5rem 0}
.replay .line{display:flex;gap:.5rem;align-items:center;flex-wrap:wrap}
.replay input{flex:1 1 14rem;min-width:8rem;accent-color:var(--vscode-focusBorder);height:24px}
.replay output{font-variant-numeric:tabular-nums;min-width:6.5em}
.replay ul{margin:.3rem 0 0;padding-left:1.2rem;min-height:3.2em;max-height:6.4em;overflow:auto}
.replay button,.replay input{font:inherit}
.replay li button{vertical-align:top;min-height:0}
.replay .line button{color:var(--vscode-button-secondaryForeground,var(--vscode-foreground));background:var(--vscode-button-secondaryBackground,transparent);border:1px solid var(--vscode-contrastBorder,var(--vscode-button-border,transparent));border-radius:3px;padding:.15rem .6rem;min-height:24px;cursor:pointer}
button.open{display:inline-block;min-height:24px;font:inherit;color:var(--vscode-textLink-foreground);background:none;border:0;padding:0;text-align:left;text-decoration:underline;cursor:pointer}
button:focus-visible,input:focus-visible,.table:focus-visible{outline:2px solid var(--vscode-focusBorder);outline-offset:1px}
.table{overflow-x:auto}
table{border-collapse:collapse;width:100%}
caption{text-align:left;font-weight:600;padding:.3rem 0}
th,td{text-align:left;vertical-align:top;padding:.25rem .7rem .25rem 0;border-bottom:1px solid var(--vscode-contrastBorder,var(--vscode-widget-border,rgba(128,128,128,.35)))}
thead th{white-space:nowrap}
.visits tbody th{white-space:nowrap}
.status-word{white-space:nowrap}
.status-mark{display:inline-block;min-width:1.35em;text-align:center;font-weight:700;border:1px solid currentColor;border-radius:3px}
@media print{.replay{display:none}}
`.replaceAll("\n", "");
