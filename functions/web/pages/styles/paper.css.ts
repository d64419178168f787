/** What is printed at a desk: the test record on one sheet, and the compliance summary, a wide table on its side. */
export const PAPER_CSS = `
.summary .aside { display: block; font-weight: 400; } .summary-facts { max-width: 60rem; }
.compliance { table-layout: fixed; min-width: 62rem; } .compliance td, .compliance th { overflow-wrap: anywhere; } .compliance thead th { white-space: normal; }
.compliance th:nth-child(1) { width: 20%; } .compliance th:nth-child(2) { width: 14%; } .compliance th:nth-child(4) { width: 7%; } .compliance th:nth-child(5) { width: 17%; } .compliance th:nth-child(6) { width: 13%; } .compliance th:nth-child(8) { width: 9%; }
.paper { display: none; }
@media print {
  .decide, .pager, .tick-cell, td.acts, th.acts { display: none !important; } svg.plot { max-width: 11cm; } .columns { grid-template-columns: repeat(3, 1fr); gap: 0 1rem; }
  @page lying { size: landscape; margin: 12mm; }
  body main:has(.summary) { page: lying; } body:has(.summary) .top, body:has(.summary) .bottom { display: none; }
  .record { border: 0; padding: 0; max-width: none; } .record h2 { margin: 4pt 0 1pt; font-size: 10pt; } .record .big { font-size: 13pt; } .record-columns { grid-template-columns: repeat(4, 1fr); gap: 0 10pt; }
  .record dl.facts { font-size: 8pt; } .record-readings { grid-template-columns: 1fr 1fr; } .record svg.plot { max-width: 8.2cm; } .record p, .record li { margin-bottom: 2pt; } .record-foot { font-size: 7.5pt; } .record .caution { padding: 2pt 6pt; font-size: 8pt; }
  body:has(.record) .top, body:has(.record) .bottom { display: none; }
  .paper { display: block; }
  .summary table { min-width: 0; table-layout: fixed; font-size: 8pt; }
  .summary td, .summary th, .summary .num, .summary .nowrap { white-space: normal; overflow-wrap: anywhere; padding: 1.5pt 4pt; }
  .summary thead th { font-size: 7.5pt; } .summary .aside { font-size: 7pt; } .summary .summary-facts { font-size: 8pt; }
  .summary .tiles { grid-template-columns: repeat(7, 1fr); gap: 4pt; margin-bottom: 6pt; } .summary .tiles > li { padding: 2pt 5pt; } .summary .tiles .big { font-size: 11pt; }
  .summary .sign { margin-top: 14pt; break-inside: avoid; }
}
`
