import { extent } from 'd3-array'
import { scaleLinear } from 'd3-scale'
import { line } from 'd3-shape'
import { fallTermPerM } from '../../../../shared-lib/earth/fall-of-potential.ts'
import { fitFallOfPotential } from '../../../../shared-lib/earth/linear-fit.ts'
import type { Reading } from '../../../../shared-lib/survey/survey.ts'
import { metres, ohm, ohmWithDoubt } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { at, PLOT_AREA, plotFrame, tickLabel } from './frame.ts'

export interface CurvePlotParts {
  id: string
  readings: readonly Reading[]
  currentProbeM: number
  leadAngleDeg?: number | undefined
  resistanceOhm: number | null
  expandedUncertaintyOhm: number | null
}

interface Spot {
  x: number
  ohm: number
}

/**
 * The readings along the line with the 52 to 72 % region, the current probe, the result with its doubt and, from three good readings
 * on, the uniform-soil line R − k·F(x) fitted to them. Null when no reading has a place and a number.
 */
export function curvePlot(parts: CurvePlotParts): Html | null {
  const D = parts.currentProbeM
  const angle = parts.leadAngleDeg ?? 0
  const spots: Spot[] = parts.readings.flatMap((r) =>
    r.condition === 'ok' && r.resistanceOhm !== undefined && r.potentialProbeM !== undefined
      ? [{ x: r.potentialProbeM, ohm: r.resistanceOhm }]
      : [],
  )
  const lost = parts.readings.filter((r) => r.condition !== 'ok' && r.potentialProbeM !== undefined)
  if (spots.length === 0 || !(D > 0)) return null
  const fitted = fittedLine(spots, D, angle)
  const furthest = Math.max(D * 1.04, ...parts.readings.map((r) => r.potentialProbeM ?? 0))
  const x = scaleLinear([0, furthest], [PLOT_AREA.x0, PLOT_AREA.x1])
  const value = parts.resistanceOhm
  const doubt = parts.expandedUncertaintyOhm ?? 0
  const [low = 0, high = 1] = extent([
    ...spots.map((s) => s.ohm),
    ...(value === null ? [] : [value - doubt, value + doubt]),
  ])
  const room = Math.max((high - low) * 0.2, high * 0.04)
  const y = scaleLinear(
    [low - room < high * 0.35 ? 0 : low - room, high + room],
    [PLOT_AREA.y0, PLOT_AREA.y1],
  )
  const inside = (v: number) => Math.min(PLOT_AREA.y0, Math.max(PLOT_AREA.y1, y(v)))
  const path = line<Spot>(
    (s) => Math.round(x(s.x) * 10) / 10,
    (s) => Math.round(y(s.ohm) * 10) / 10,
  )
  const band = (spots: Spot[], by: number) => {
    const edge = (sign: 1 | -1) => spots.map((s) => `${at(x(s.x))},${at(inside(s.ohm + sign * by))}`)
    return `M${edge(1).join('L')}L${edge(-1).reverse().join('L')}Z`
  }
  const shown = fitted.filter((s) => s.ohm >= y.domain()[0]! && s.ohm <= y.domain()[1]!)
  return plotFrame({
    id: parts.id,
    title: 'Readings along the line of stakes',
    description: `${spots.length} readings from ${metres(Math.min(...spots.map((s) => s.x)))} to ${metres(Math.max(...spots.map((s) => s.x)))} with the current probe at ${metres(D)}, between ${ohm(Math.min(...spots.map((s) => s.ohm)))} and ${ohm(Math.max(...spots.map((s) => s.ohm)))}. ${value === null ? 'No result.' : `Result ${ohm(value)}.`}${lost.length > 0 ? ` ${lost.length} without a number.` : ''} The table below has every number.`,
    xLabel: 'potential probe, m from the electrode',
    yLabel: 'Ω',
    xTicks: x.ticks(6).map((t) => ({ position: x(t), label: tickLabel(t) })),
    yTicks: y.ticks(5).map((t) => ({ position: y(t), label: tickLabel(t) })),
    content: [
      html`<rect class="region" x="${at(x(0.52 * D))}" y="${PLOT_AREA.y1}" width="${at(x(0.72 * D) - x(0.52 * D))}" height="${PLOT_AREA.y0 - PLOT_AREA.y1}"/>
<text x="${at(x(0.62 * D))}" y="${PLOT_AREA.y0 - 6}" text-anchor="middle">52–72 %</text>
<line class="break" x1="${at(x(D))}" x2="${at(x(D))}" y1="${PLOT_AREA.y1}" y2="${PLOT_AREA.y0}"/>
<text x="${at(x(D) - 4)}" y="${PLOT_AREA.y0 - 6}" text-anchor="end">current probe</text>`,
      value === null
        ? nothing
        : html`<rect class="doubt" x="${PLOT_AREA.x0}" y="${at(inside(value + doubt))}" width="${PLOT_AREA.x1 - PLOT_AREA.x0}" height="${at(Math.max(0, inside(value - doubt) - inside(value + doubt)))}"/>
<line class="result" x1="${PLOT_AREA.x0}" x2="${PLOT_AREA.x1}" y1="${at(inside(value))}" y2="${at(inside(value))}"/>
<text class="result" x="${PLOT_AREA.x0 + 4}" y="${at(inside(value) - 5)}">result ${ohmWithDoubt(value, doubt)}</text>`,
      // The model is no surer than the result: its band is the result's uncertainty along the line.
      shown.length > 1 && doubt > 0 ? html`<path class="fit-band" d="${band(shown, doubt)}"/>` : nothing,
      shown.length > 1 ? html`<path class="fit" d="${path(shown) ?? ''}"/>` : nothing,
      spots.map(
        (s) =>
          html`<g><title>${metres(s.x)}: ${ohm(s.ohm)}</title><circle class="dot" cx="${at(x(s.x))}" cy="${at(y(s.ohm))}" r="4.5"/></g>`,
      ),
      lost.map(
        (r) =>
          html`<g><title>${metres(r.potentialProbeM ?? 0)}: no number</title><path class="hollow" d="M${at(x(r.potentialProbeM ?? 0))},${PLOT_AREA.y1 + 18}l6,10h-12z"/></g>`,
      ),
    ],
  })
}

/** The uniform-soil line through three readings or more, from 5 to 95 % of the way; empty when it cannot be drawn. */
function fittedLine(spots: Spot[], D: number, angleDeg: number): Spot[] {
  if (spots.length < 3) return []
  const fit = fitFallOfPotential(
    spots.map((s) => ({ fallPerM: fallTermPerM(s.x, D, angleDeg), resistanceOhm: s.ohm })),
  )
  if (!fit) return []
  return Array.from({ length: 91 }, (_, i) => {
    const x = (D * (5 + i)) / 100
    return { x, ohm: fit.resistanceOhm - fit.k * fallTermPerM(x, D, angleDeg) }
  })
}
