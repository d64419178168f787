/** On paper: no menu, no buttons, meaning in words and frames, table heads repeated, nothing cut in two. */
export const PRINT_CSS = `
@media print {
  :root { --ground: #fff; --sheet: #fff; --ink: #000; --quiet: #333; --line: #bbb; --edge: #555; --accent: #0a4552; --urgent: #7d0d0d; --urgent-ink: #fff; --warn: #5f3a00; --good: #0f4a23; --notice: #223; --warn-soft: #fff; --good-soft: #fff; --urgent-soft: #fff; --notice-soft: #fff; }
  @page { margin: 15mm; }
  html { font-size: 9.5pt; } body, body.field { font-size: 1rem; line-height: 1.3; }
  h1 { font-size: 15pt; } h2 { margin: 8pt 0 3pt; } .result .big { font-size: 15pt; }
  main { padding-top: 4pt; padding-bottom: 0; } figcaption { max-width: 11cm; }
  details:not([open]) { display: none; }
  .sheet, .finding, .caution { padding: 4pt 8pt; margin-bottom: 6pt; } th, td { padding: 1.5pt 6pt; }
  .top nav, .skip, .bottom .who, button, .button, form.find, .screen { display: none !important; }
  .badge, .badge.urgent { background: none; color: #000; border-color: #000; }
  .alarm { color: #000; background: none; border: 3px solid #000; min-height: 0; } .alarm a { color: #000; }
  .finding, .sheet, figure, tr, .alarm { break-inside: avoid; } h1, h2, h3 { break-after: avoid; }
  thead { display: table-header-group; } .scroll { overflow: visible; background: none; }
  a { color: inherit; text-decoration: none; }
  .inner, main, body.field main { max-width: none; padding: 0; }
}
`
