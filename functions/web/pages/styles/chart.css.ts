/** Plots, drawn on the server. Meaning is carried by shape, dash and words; colour only helps. */
export const CHART_CSS = `
figure { margin: 0 0 1rem; }
figcaption { color: var(--quiet); font-size: 0.9rem; }
svg.plot { display: block; width: 100%; max-width: 36rem; height: auto; background: var(--sheet); border: 1px solid var(--line); border-radius: var(--radius); font: 14px system-ui, sans-serif; }
.plot text { fill: var(--quiet); } .plot text.strong { fill: var(--ink); font-weight: 600; }
.plot .grid { stroke: var(--line); stroke-width: 1; } .plot .axis { stroke: var(--edge); stroke-width: 1; }
.plot .limit { stroke: var(--urgent); stroke-width: 2; stroke-dasharray: 9 4; } .plot text.limit { stroke: none; fill: var(--urgent); font-weight: 600; }
.plot .break { stroke: var(--quiet); stroke-width: 1.5; stroke-dasharray: 2 4; }
.plot .bar { stroke: var(--accent); stroke-width: 1.5; fill: none; }
.plot .path { stroke: var(--accent); stroke-width: 1; stroke-opacity: 0.55; fill: none; }
.plot .fit { stroke: var(--accent); stroke-width: 2; fill: none; }
.plot .fit-band, .plot .band { fill: var(--accent); fill-opacity: 0.13; stroke: none; } .plot .band { fill-opacity: 0.2; } .plot .expected { stroke: var(--accent); stroke-width: 2; fill: none; }
.plot .dot { fill: var(--accent); stroke: var(--sheet); stroke-width: 1; } .plot .hollow { fill: var(--sheet); stroke: var(--accent); stroke-width: 2; }
.plot .mark { fill: var(--warn); stroke: var(--sheet); stroke-width: 1; } .plot .mark.urgent { fill: var(--urgent); }
.plot .region { fill: var(--accent); fill-opacity: 0.12; } .plot .result { stroke: var(--good); stroke-width: 2; stroke-dasharray: 1 0; }
.plot text.result { stroke: none; fill: var(--good); font-weight: 600; }
.plot .doubt { fill: var(--good); fill-opacity: 0.14; }
.plot .here { fill: none; stroke: var(--ink); stroke-width: 2; }
@media (forced-colors: active) { .plot .dot, .plot .mark { fill: CanvasText; } .plot .limit, .plot .fit { stroke: CanvasText; } }
`
