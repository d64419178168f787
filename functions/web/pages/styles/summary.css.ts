/** The compliance summary: a wide table that fits a sheet of A4 or Letter on its side, nothing cut off. */
export const SUMMARY_CSS = `
.summary .aside { display: block; font-weight: 400; } .summary-facts { max-width: 60rem; }
.compliance { table-layout: fixed; min-width: 62rem; } .compliance td, .compliance th { overflow-wrap: anywhere; } .compliance thead th { white-space: normal; }
.compliance th:nth-child(1) { width: 20%; } .compliance th:nth-child(2) { width: 14%; } .compliance th:nth-child(4) { width: 7%; } .compliance th:nth-child(5) { width: 17%; } .compliance th:nth-child(6) { width: 13%; } .compliance th:nth-child(8) { width: 9%; }
.paper { display: none; }
@media print {
  @page lying { size: landscape; margin: 12mm; }
  body main:has(.summary) { page: lying; } body:has(.summary) .top, body:has(.summary) .bottom { display: none; }
  .paper { display: block; }
  .summary table { min-width: 0; table-layout: fixed; font-size: 8pt; }
  .summary td, .summary th, .summary .num, .summary .nowrap { white-space: normal; overflow-wrap: anywhere; padding: 1.5pt 4pt; }
  .summary thead th { font-size: 7.5pt; } .summary .aside { font-size: 7pt; } .summary .summary-facts { font-size: 8pt; }
  .summary .tiles { grid-template-columns: repeat(7, 1fr); gap: 4pt; margin-bottom: 6pt; } .summary .tiles > li { padding: 2pt 5pt; } .summary .tiles .big { font-size: 11pt; }
  .summary .sign { margin-top: 14pt; break-inside: avoid; }
}
`
