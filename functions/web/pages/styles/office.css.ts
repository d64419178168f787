/** Where people work all day: the queue, uploads, the register, the test record. Dense, quiet, one accent. */
export const OFFICE_CSS = `
body.office { font-size: 0.95rem; } .bottom button.quiet { margin-left: -0.3rem; }
body.office main { max-width: 78rem; } body.office .top .inner, body.office .bottom .inner { max-width: 78rem; }
.decide { display: flex; flex-wrap: wrap; gap: 0.5rem; align-items: flex-end; margin-top: 0.6rem; }
.decide .control { margin: 0; flex: 1 1 100%; }
.decide .control label { font-weight: 400; font-size: 0.92rem; }
.decide button { min-height: 2.75rem; }
@media (min-width: 60rem) { .decide select { min-height: 2.75rem; } .decide .control { flex: 1 1 18rem; } .decide input { min-height: 2.75rem; } }
.tiles { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(10rem, 100%), 1fr)); gap: 0.75rem; list-style: none; margin: 0 0 1rem; padding: 0; }
.tiles > li > a { display: block; height: 100%; background: var(--sheet); border: 1px solid var(--line); border-radius: var(--radius); padding: 0.8rem 0.95rem; text-decoration: none; color: var(--ink); }
.tiles > li > a:hover { border-color: var(--accent); }
.tiles .big { display: block; font-size: 1.5rem; font-weight: 650; color: var(--accent); }
.tiles .aside { display: block; }
.columns { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(19rem, 100%), 1fr)); gap: 0 2rem; align-items: start; }
.crumbs { font-size: 0.9rem; margin-bottom: 0.35rem; }
input[type="file"] { max-width: 40rem; padding: 0.6rem; }
.narrow { max-width: 44rem; }
/* A table wider than the screen has a shadow where it goes on; sheets that move with it cover the shadow at either end. */
:root { --goes-on: rgb(22 25 28 / 0.3); } @media (prefers-color-scheme: dark) { :root { --goes-on: rgb(255 255 255 / 0.3); } }
.scroll { background: linear-gradient(to right, var(--sheet) 40%, transparent) 0 0 / 3.5rem 100% local, linear-gradient(to left, var(--sheet) 40%, transparent) 100% 0 / 3.5rem 100% local, linear-gradient(to right, var(--goes-on), transparent) 0 0 / 1.1rem 100%, linear-gradient(to left, var(--goes-on), transparent) 100% 0 / 1.1rem 100%, var(--sheet); background-repeat: no-repeat; }
.scroll > table { background: none; } .scroll:has(> table.snug) { width: fit-content; max-width: 100%; }
table.queue { border: 1px solid var(--line); }
table.queue td { padding: 0.5rem 0.6rem; }
table.queue tr.warning > td:first-child { box-shadow: inset 4px 0 0 var(--warn); }
table.queue tr.urgent > td:first-child { box-shadow: inset 4px 0 0 var(--urgent); }
table.queue .what p { margin: 0.15rem 0 0; color: var(--quiet); } table.queue .what > a { font-weight: 650; }
table.queue .what .also { color: var(--ink); font-size: 0.92em; }
table.queue tr.here > td { background: var(--accent-soft); }
table.queue tr:focus { outline: 3px solid var(--focus); outline-offset: -3px; }
table.queue tr.done > td { background: var(--good-soft); } table.queue tr.done .what p { display: none; }
.tick-cell { width: 2.6rem; } .tick-cell input { width: 1.4rem; height: 1.4rem; margin: 0.1rem; accent-color: var(--accent); }
.acts { display: flex; flex-wrap: wrap; gap: 0.4rem; } td.acts, th.acts { display: table-cell; white-space: nowrap; }
td.acts button { min-height: 1.9rem; margin: 0 0.25rem 0.25rem 0; padding: 0 0.6rem; font-weight: 500; font-size: 0.93em; }
td.acts p { margin: 0; font-weight: 600; white-space: normal; max-width: 15rem; }
.bulk { position: sticky; bottom: 0; background: var(--sheet); border: 1px solid var(--edge); border-radius: var(--radius); padding: 0.55rem 0.9rem; margin: 0.9rem 0 0; }
.bulk legend { font-weight: 650; padding: 0 0.35rem; background: var(--sheet); }
.bulk-reason { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(16rem, 100%), 1fr)); gap: 0 1rem; }
.bulk .control { margin: 0 0 0.4rem; } .bulk .aside { margin: 0.4rem 0 0; }
.bulk button { min-height: 2.75rem; } html:has(.bulk) { scroll-padding-bottom: 11rem; }
@media (min-width: 70rem) { .bulk { display: grid; grid-template-columns: 1fr auto; gap: 0 1rem; align-items: end; } .bulk .acts { padding-bottom: 0.4rem; } .bulk .aside { grid-column: 1 / -1; margin: 0; } }
.views { font-size: 0.92rem; margin: -0.4rem 0 0.8rem; } .views a[aria-current] { font-weight: 650; text-decoration: none; color: var(--ink); }
.more-filters[open] { flex: 1 1 100%; } .find-more { display: flex; flex-wrap: wrap; gap: 0.4rem 0.75rem; } .more-filters summary { min-height: var(--control); }
form.find .control { flex: 0 1 13rem; } form.find .find-more .control { flex: 0 1 15rem; }
.keys { margin: 0.6rem 0; } .keys dl { margin-top: 0.4rem; } kbd { font: 600 0.9em ui-monospace, Menlo, Consolas, monospace; border: 1px solid var(--edge); border-bottom-width: 2px; border-radius: 3px; padding: 0 0.35rem; background: var(--sheet); }
.why { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(27rem, 100%), 1fr)); gap: 0 1.6rem; align-items: start; } .why figure { margin-top: 0; } .why h2:first-child { margin-top: 0; }
table.chances thead td { border-bottom: 2px solid var(--edge); } table.chances { min-width: 0; width: 100%; } table.chances th { font-weight: 500; }
table td select { min-width: 12rem; }
.fix input { display: block; margin-bottom: 0.2rem; }
table.chances meter { width: min(14rem, 30vw); height: 0.9rem; } table.chances td { vertical-align: middle; }
fieldset.plain { border: 1px solid var(--line); border-radius: var(--radius); background: var(--sheet); padding: 0.6rem 1rem 0.2rem; margin: 0 0 1rem; min-width: 0; }
fieldset.plain > legend { font-weight: 650; padding: 0 0.35rem; }
fieldset.plain .control label { font-weight: 500; } .fixed { margin: 0 0 var(--gap); }
form.drop-here { outline: 3px dashed var(--accent); outline-offset: 0.5rem; background: var(--accent-soft); }
.tiles.facts-only > li { background: var(--sheet); border: 1px solid var(--line); border-radius: var(--radius); padding: 0.5rem 0.8rem; }
.tiles.facts-only { grid-template-columns: repeat(auto-fill, minmax(min(8rem, 45%), 1fr)); } .tiles.facts-only .big { font-size: 1.35rem; color: var(--ink); }
code.copy { display: block; padding: 0.5rem 0.7rem; background: var(--sheet); border: 1px solid var(--line); border-radius: var(--radius); user-select: all; }
.record { background: var(--sheet); border: 1px solid var(--line); border-radius: var(--radius); padding: 1.2rem 1.4rem; max-width: 54rem; }
.record > header { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 1rem; border-bottom: 2px solid var(--ink); margin-bottom: 0.6rem; }
.record h2 { font-size: 1rem; margin: 0.6rem 0 0.25rem; } .record dl.facts { font-size: 0.93rem; gap: 0.05rem 0.8rem; }
.record-columns { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(15rem, 100%), 1fr)); gap: 0 1.6rem; }
.record-result { border: 1px solid var(--edge); border-radius: var(--radius); padding: 0.2rem 0.9rem 0.3rem; margin: 0.6rem 0; }
.record-result .big { font-size: 1.5rem; font-weight: 650; margin: 0.1rem 0; } .record-result p { margin: 0 0 0.25rem; }
.record-readings { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(19rem, 100%), 1fr)); gap: 0 1.4rem; align-items: start; } .record caption { background: var(--sheet); }
.record-foot { border-top: 1px solid var(--line); font-size: 0.86rem; margin-top: 0.7rem; padding-top: 0.4rem; color: var(--quiet); } .sign { margin-top: 1.2rem; color: var(--ink); }
th.month { font-size: 1.05rem; padding-top: 1.1rem; background: var(--ground); }
.refused { margin: 0.9rem 0 0.2rem; }
td.fix input { min-width: 9rem; }
table.many thead th { white-space: normal; vertical-align: bottom; }
.pager { display: flex; flex-wrap: wrap; gap: 0.5rem 1.5rem; padding: 0.6rem 0; }
.progress { width: 100%; height: 1.1rem; accent-color: var(--accent); }
pre.letter { white-space: pre-wrap; overflow-wrap: anywhere; font: 0.92em/1.45 ui-monospace, "Cascadia Mono", Menlo, Consolas, monospace; margin: 0; } th.wide { overflow-wrap: anywhere; min-width: 12rem; }
@media (max-width: 48rem) {
  table.queue, table.queue tbody, table.queue tr { display: block; border: 0; background: none; } table.queue thead { display: none; }
  table.queue tr { display: grid; grid-template-columns: 2.6rem 1fr; background: var(--sheet); border: 1px solid var(--line); border-radius: var(--radius); margin: 0 0 0.6rem; }
  table.queue td { border: 0; grid-column: 2; padding: 0.15rem 0.6rem; } table.queue td.tick-cell { grid-column: 1; grid-row: 1 / span 5; padding: 0.6rem 0 0 0.6rem; }
  table.queue td.what { padding-top: 0.6rem; } table.queue td.acts { display: flex; gap: 0.5rem; padding: 0.4rem 0.6rem 0.7rem; } td.acts button { width: auto; flex: 1; min-height: 2.75rem; }
  td.raised::before { content: "Raised "; } table.queue tr > td:not(.tick-cell):first-child { grid-column: 1 / -1; } table.queue td:not(.what):not(.acts) { font-size: 0.92rem; }
  .bulk { position: static; } html:has(.bulk) { scroll-padding-bottom: 0; }
  form.find .control { flex: 1 1 9rem; } form.find .control:first-child { flex-basis: 100%; }
}
`
