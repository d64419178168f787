/** Label sheets: on paper 63.5 x 38.1 mm, three across and seven down on A4 (210 x 297 mm), the common 21-label sheet. */
export const LABEL_CSS = `
.labels { list-style: none; margin: 0; padding: 0; display: grid; grid-template-columns: repeat(auto-fill, 63.5mm); gap: 2.5mm; }
.label { width: 63.5mm; height: 38.1mm; display: flex; gap: 2mm; align-items: center; padding: 2mm 3mm; background: #ffffff; color: #000000; border: 1px solid #8a8a8a; break-inside: avoid; overflow: hidden; }
.label .code { flex: none; width: 31mm; height: 31mm; } .label .code svg { display: block; width: 100%; height: 100%; }
.label .told { display: grid; gap: 0.8mm; font-size: 3.1mm; line-height: 1.2; min-width: 0; } .label strong { font-size: 4.2mm; }
@media print {
  @page labels { margin: 0; }
  body main:has(.labels) { page: labels; padding: 15.1mm 7.2mm; max-width: none; }
  body:has(.labels) .top, body:has(.labels) .bottom { display: none; }
  .labels { grid-template-columns: repeat(3, 63.5mm); gap: 0 2.5mm; }
  .label { border-color: transparent; }
}
`
