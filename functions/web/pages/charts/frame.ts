import { number } from '../view/format.ts'
import { type Html, html } from '../view/html.ts'

/** Size of a plot in its own units; the stylesheet scales it to the page. Small enough that its letters can be read on a phone. */
const PLOT = { width: 480, height: 300, left: 58, right: 16, top: 22, bottom: 44 } as const

export const PLOT_AREA = {
  x0: PLOT.left,
  x1: PLOT.width - PLOT.right,
  y0: PLOT.height - PLOT.bottom,
  y1: PLOT.top,
} as const

/** Coordinates to a tenth of a unit: enough for a printer, and the page stays small. */
export function at(coordinate: number): string {
  return String(Math.round(coordinate * 10) / 10)
}

interface Tick {
  position: number
  label: string
}

export interface FrameParts {
  /** Unique on the page. */
  id: string
  title: string
  /** What a person who cannot see it should know, in a sentence or two with numbers. */
  description: string
  xTicks: Tick[]
  yTicks: Tick[]
  xLabel: string
  yLabel: string
  content: unknown
}

/** Axes, grid lines and the words around a plot. */
export function plotFrame(parts: FrameParts): Html {
  const { x0, x1, y0 } = PLOT_AREA
  return html`<svg class="plot" viewBox="0 0 ${PLOT.width} ${PLOT.height}" role="img" aria-labelledby="${parts.id}-t ${parts.id}-d" xmlns="http://www.w3.org/2000/svg">
<title id="${parts.id}-t">${parts.title}</title>
<desc id="${parts.id}-d">${parts.description}</desc>
${parts.yTicks.map(
  (t) => html`<line class="grid" x1="${x0}" x2="${x1}" y1="${at(t.position)}" y2="${at(t.position)}"/>
<text x="${x0 - 6}" y="${at(t.position + 4.5)}" text-anchor="end">${t.label}</text>`,
)}
${parts.xTicks.map(
  (t) => html`<line class="axis" x1="${at(t.position)}" x2="${at(t.position)}" y1="${y0}" y2="${y0 + 5}"/>
<text x="${at(t.position)}" y="${y0 + 19}" text-anchor="middle">${t.label}</text>`,
)}
<line class="axis" x1="${x0}" x2="${x1}" y1="${y0}" y2="${y0}"/>
<text x="${x1}" y="${PLOT.height - 7}" text-anchor="end">${parts.xLabel}</text>
<text x="6" y="13">${parts.yLabel}</text>
${parts.content}
</svg>`
}

/** Ticks of a logarithmic axis at 1, 2 and 5 times powers of ten; only powers of ten when that would be too many. */
export function logTicks(low: number, high: number, most = 7): number[] {
  const all = [1, 2, 5]
    .flatMap((m) =>
      range(Math.floor(Math.log10(low)), Math.ceil(Math.log10(high))).map((e) => Number(`${m}e${e}`)),
    )
    .filter((v) => v >= low && v <= high)
    .sort((a, b) => a - b)
  if (all.length <= most) return all
  const tens = all.filter((v) => Number.isInteger(Math.round(Math.log10(v) * 1e9) / 1e9))
  return tens.length >= 2 ? tens : all.filter((_, i) => i % Math.ceil(all.length / most) === 0)
}

function range(from: number, to: number): number[] {
  return Array.from({ length: to - from + 1 }, (_, i) => from + i)
}

/** The number of a tick, without a unit. */
export function tickLabel(value: number): string {
  return number(value, 3)
}
