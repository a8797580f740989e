/**
 * The style sheet of all drawings, for the page that holds them. Colours are those of Okabe and Ito (2008, "Color Universal
 * Design: how to make figures and presentations that are friendly to colorblind people"); what they say, a pattern, a shape,
 * a mark or a word says as well. A page may set `--paper` and `--ink` anew.
 */
export const PICTURE_STYLE = `
.picture{--paper:#fff;--ink:#1a1a1a;--faint:#595959;--ground:#f3f1ea;
--confirmed:#d55e00;--suspected:#e69f00;--exposed:#cc79a7;--unscouted:#56b4e9;--not-found:#009e73;--no-host:#bdbdbd;--waiting:#f0e442;
display:block;width:100%;height:auto;color:var(--ink)}
.picture text{font-family:system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,"DejaVu Sans",sans-serif;font-size:13px;fill:var(--ink)}
.picture .small{font-size:12px}
.picture .smaller{font-size:11px}
.picture .strong{font-weight:600}
.picture .halo{paint-order:stroke;stroke:var(--paper);stroke-width:4px;stroke-linejoin:round}
.picture .sheet{fill:var(--paper)}
.picture .ground{fill:var(--ground);stroke:var(--faint);stroke-width:.5}
.picture .tint{opacity:.42}
.picture .pattern{fill:none;stroke:var(--ink);stroke-width:1.1;stroke-linecap:round;opacity:.75}
.picture .line-exposed{stroke-width:2.4}
.picture .outline{stroke:var(--ink);stroke-width:1.4;stroke-linejoin:round}
.picture .no-outline{fill:var(--paper);stroke:var(--ink);stroke-width:1.4;stroke-dasharray:3 3}
.picture .fill-confirmed{fill:var(--confirmed)}
.picture .fill-suspected{fill:var(--suspected)}
.picture .fill-exposed{fill:var(--exposed)}
.picture .fill-unscouted{fill:var(--unscouted)}
.picture .fill-not-found{fill:var(--not-found)}
.picture .fill-no-host{fill:var(--no-host)}
.picture .fill-waiting{fill:var(--waiting)}
.picture .badge{stroke:#111;stroke-width:1.4}
.picture .badge-mark{font-size:12px;font-weight:700;fill:#111}
.picture .entrance{fill:var(--ink);stroke:var(--paper);stroke-width:1}
.picture .entrance.other{fill:var(--paper);stroke:var(--ink);stroke-width:1.4}
.picture .dig{stroke:var(--ink);stroke-width:1.4;fill:var(--paper)}
.picture .dig.galls{fill:var(--confirmed)}
.picture .dig.unrated{stroke-dasharray:2 2}
.picture .patch{fill:none;stroke:var(--ink);stroke-width:1.6;stroke-dasharray:4 3}
.picture .move{fill:none;stroke:var(--ink)}
.picture .move-under{fill:none;stroke:var(--paper)}
.picture .arrow-head{fill:var(--ink)}
.picture .number{fill:var(--paper);stroke:var(--ink);stroke-width:1.4}
.picture .stop{fill:var(--ink);stroke:var(--paper);stroke-width:1}
.picture .stop-number{fill:var(--paper);font-size:11px;font-weight:700}
.picture .walk{fill:none;stroke:var(--ink);stroke-width:1.2;stroke-dasharray:1 4;stroke-linecap:round}
.picture .bar-dark{fill:var(--ink)}
.picture .bar-light{fill:var(--paper);stroke:var(--ink);stroke-width:1}
.picture .rule{stroke:var(--faint);stroke-width:.5}
.picture .row-line{stroke:var(--faint);stroke-width:.5;stroke-dasharray:1 3}
.picture .window{fill:var(--unscouted);opacity:.25}
.picture .stay{fill:var(--paper);stroke:var(--ink);stroke-width:1.4}
.picture .stay.risky{fill:var(--ink)}
.picture .cleaning.full{fill:var(--not-found);stroke:var(--ink);stroke-width:1}
.picture .cleaning.partial{fill:var(--paper);stroke:var(--ink);stroke-width:1.4}
.picture .gap{stroke:var(--confirmed);stroke-width:3.5;fill:none}
.picture .gap.partial{stroke-dasharray:5 3;stroke-width:2.5}
.picture .hit{fill:transparent;stroke:none}
.picture .names{pointer-events:none}
`.replaceAll("\n", "");
