/** Colours, type and the frame of every page. Contrast is at least 4.5:1 for text and 3:1 for the edge of a control. */
export const BASE_CSS = `
:root {
  color-scheme: light dark;
  --ground: #f6f5f1; --sheet: #ffffff; --ink: #16191c; --quiet: #4c545b; --line: #d3d5d2; --edge: #6d757c;
  --accent: #0a5160; --accent-ink: #ffffff; --accent-soft: #e2eff1; --focus: #b3480b;
  --urgent: #9c1616; --urgent-ink: #ffffff; --urgent-soft: #fbe9e7;
  --warn: #7a4b00; --warn-soft: #fdf0d6; --good: #17602f; --good-soft: #e3f2e6; --notice: #38506e; --notice-soft: #e8edf5;
  --gap: 0.75rem; --radius: 4px; --control: 2.25rem;
}
@media (prefers-color-scheme: dark) {
  :root {
    --ground: #121618; --sheet: #1a2023; --ink: #eceff0; --quiet: #b3bcc2; --line: #39434a; --edge: #87929a;
    --accent: #85d0de; --accent-ink: #06252c; --accent-soft: #17343b; --focus: #ffb074;
    --urgent: #ffb3a9; --urgent-ink: #3c0602; --urgent-soft: #46191a;
    --warn: #f6c977; --warn-soft: #3b2c0c; --good: #92d8a4; --good-soft: #16331e; --notice: #b3c7e6; --notice-soft: #222e40;
  }
}
*, *::before, *::after { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
body {
  margin: 0; background: var(--ground); color: var(--ink);
  font: 1rem/1.45 system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", sans-serif;
  font-variant-numeric: tabular-nums; overflow-wrap: anywhere;
}
body.field { --control: 3rem; --gap: 1rem; font-size: 1.0625rem; }
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0 0 0.5rem; }
h2 { font-size: 1.2rem; line-height: 1.3; margin: 1.75rem 0 0.5rem; }
h3 { font-size: 1.02rem; line-height: 1.3; margin: 1rem 0 0.25rem; }
p, ul, ol, dl { margin: 0 0 0.6rem; }
ul, ol { padding-left: 1.3rem; }
a { color: var(--accent); text-underline-offset: 0.15em; }
a:hover { text-decoration-thickness: 2px; }
:focus-visible { outline: 3px solid var(--focus); outline-offset: 2px; border-radius: 2px; }
main:focus { outline: none; }
.inner, main { max-width: 68rem; margin: 0 auto; padding: 0 1rem; }
body.field main { max-width: 44rem; }
main { padding-top: 1.1rem; padding-bottom: 2.5rem; }
.skip { position: absolute; left: -99rem; top: 0; background: var(--sheet); padding: 0.6rem 1rem; z-index: 2; }
.skip:focus { left: 0; }
.top { background: var(--sheet); border-bottom: 1px solid var(--line); }
.top .inner { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0 0.9rem; padding-top: 0.35rem; padding-bottom: 0.2rem; }
.brand { font-weight: 700; font-size: 1.1rem; color: var(--ink); text-decoration: none; padding: 0.35rem 0; }
.operator { color: var(--quiet); font-size: 0.9rem; }
.top nav { flex: 1 1 100%; }
.top nav ul { display: flex; flex-wrap: wrap; list-style: none; gap: 0 0.15rem; margin: 0 -0.55rem; padding: 0; }
.top nav a { display: inline-flex; align-items: center; min-height: 2.75rem; padding: 0 0.55rem; color: var(--ink); text-decoration: none; border-bottom: 3px solid transparent; }
.top nav a:hover { border-bottom-color: var(--line); }
.top nav a[aria-current] { border-bottom-color: var(--accent); font-weight: 600; }
@media (min-width: 48rem) {
  .top nav { flex: 0 1 auto; margin-left: auto; }
}
.bottom { border-top: 1px solid var(--line); color: var(--quiet); font-size: 0.875rem; padding: 0.9rem 0 1.5rem; }
.bottom .who { display: flex; flex-wrap: wrap; gap: 0 1rem; align-items: center; }
.bottom p { margin: 0.2rem 0; }
.hint, .aside { color: var(--quiet); }
.aside { font-size: 0.9rem; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
code { font-family: ui-monospace, "Cascadia Mono", Menlo, Consolas, monospace; font-size: 0.92em; }
`
