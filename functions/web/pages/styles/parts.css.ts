/** What pages are made of: sheets, badges, findings, tables, facts. */
export const PARTS_CSS = `
.sheet { background: var(--sheet); border: 1px solid var(--line); border-radius: var(--radius); padding: 0.9rem 1rem; margin: 0 0 1rem; }
.sheet > :first-child { margin-top: 0; } .sheet > :last-child { margin-bottom: 0; }
.badge { display: inline-block; border: 1px solid currentColor; border-radius: var(--radius); padding: 0 0.45rem; font-size: 0.9rem; font-weight: 600; white-space: nowrap; }
.badge.urgent { background: var(--urgent); color: var(--urgent-ink); border-color: var(--urgent); }
.badge.warning { color: var(--warn); background: var(--warn-soft); }
.badge.notice { color: var(--notice); background: var(--notice-soft); }
.badge.good { color: var(--good); background: var(--good-soft); }
.badge.plain { color: var(--quiet); }
.said { border: 1px solid var(--good); border-left-width: 6px; background: var(--good-soft); border-radius: var(--radius); padding: 0.6rem 0.9rem; margin: 0 0 1rem; }
.said p:last-child { margin-bottom: 0; }
.said form { display: inline-block; margin: 0.25rem 0 0; }
.caution { border-left: 6px solid var(--warn); background: var(--warn-soft); padding: 0.6rem 0.9rem; margin: 0 0 0.9rem; border-radius: var(--radius); }
.caution > :last-child { margin-bottom: 0; } .caution h2, .caution h3 { margin-top: 0; font-size: 1.02rem; }
.caution li { margin-bottom: 0.3rem; }
.alarm { background: #9c1616; color: #ffffff; border-radius: var(--radius); padding: 1.25rem 1.1rem; margin: 0 0 1.25rem; font-size: 1.15rem; min-height: 72vh; display: flex; flex-direction: column; justify-content: center; }
.alarm h1, .alarm h2 { font-size: 1.9rem; margin: 0 0 0.6rem; }
.alarm a { color: #ffffff; } .alarm :focus-visible { outline-color: #ffffff; }
.alarm .phone { font-size: 1.5rem; font-weight: 700; margin: 0.75rem 0; }
.alarm li { margin-bottom: 0.4rem; }
.finding { background: var(--sheet); border: 1px solid var(--line); border-left: 6px solid var(--notice); border-radius: var(--radius); padding: 0.7rem 0.95rem; margin: 0 0 0.75rem; }
.finding.warning { border-left-color: var(--warn); } .finding.urgent { border-left-color: var(--urgent); }
.finding h2, .finding h3 { margin: 0 0 0.3rem; font-size: 1.05rem; display: flex; flex-wrap: wrap; gap: 0.3rem 0.6rem; align-items: center; }
.finding p { margin-bottom: 0.4rem; }
.finding .meta { color: var(--quiet); font-size: 0.9rem; }
.finding details { margin-top: 0.3rem; }
summary { cursor: pointer; color: var(--accent); padding: 0.35rem 0; min-height: 1.5rem; }
body.field summary { padding: 0.75rem 0; }
.result { display: grid; grid-template-columns: repeat(auto-fit, minmax(13rem, 1fr)); gap: 0.9rem; }
.result .big { font-size: 1.7rem; font-weight: 650; line-height: 1.15; display: block; }
.result h2, .result h3 { font-size: 0.9rem; font-weight: 600; color: var(--quiet); margin: 0 0 0.15rem; }
dl.facts { display: grid; grid-template-columns: fit-content(50%) 1fr; gap: 0.15rem 1rem; margin: 0 0 0.6rem; }
dl.facts dt { color: var(--quiet); } dl.facts dd { margin: 0; }
.scroll { position: relative; overflow-x: auto; margin: 0 0 0.75rem; }
table { border-collapse: collapse; width: 100%; min-width: min-content; font-size: 0.94rem; background: var(--sheet); }
caption { text-align: left; padding: 0.3rem 0; color: var(--quiet); background: var(--ground); }
.sheet caption { background: var(--sheet); }
th, td { text-align: left; vertical-align: top; padding: 0.35rem 0.7rem; border-bottom: 1px solid var(--line); overflow-wrap: normal; }
td.wide { overflow-wrap: anywhere; min-width: 12rem; }
thead th { border-bottom: 2px solid var(--edge); font-weight: 600; white-space: nowrap; }
.num { text-align: right; white-space: nowrap; }
.nowrap { white-space: nowrap; }
table.snug { width: auto; min-width: min(100%, 24rem); }
@media (max-width: 40rem) { th, td { padding: 0.35rem 0.45rem; } td.wide { min-width: 9rem; } thead th { white-space: normal; vertical-align: bottom; } }
.empty { padding: 1.2rem 1rem; border: 1px dashed var(--edge); border-radius: var(--radius); }
`
