import { extent } from 'd3-array'
import { scaleLog, scaleUtc } from 'd3-scale'
import { line } from 'd3-shape'
import type { Severity } from '../../../../shared-lib/survey/finding.ts'
import { day, ohm } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { at, logTicks, PLOT_AREA, plotFrame, tickLabel } from './frame.ts'

export interface HistoryPoint {
  surveyRef: string
  testedAtMs: number
  /** The value that counts; absent when the survey is not valid. */
  resistanceOhm: number | null
  expandedUncertaintyOhm: number | null
  /** What the readings said all the same, for a survey that is not valid: drawn hollow. */
  readOhm: number | null
  limitOhm: number | null
  /** The gravest finding about this survey that is shown. */
  severity: Severity | null
}

export interface HistoryPlotParts {
  id: string
  /** Words for what was connected: each quantity has a plot of its own. */
  of: string
  points: HistoryPoint[]
  /** Instants at which a new baseline starts, with the reason. */
  breaks: { atMs: number; why: string }[]
  /** What was expected before a test was read, ohm, by survey. */
  expected?: ReadonlyMap<string, readonly [number, number]> | undefined
  /** The test that is meant, ringed. */
  hereRef?: string | undefined
}

const DAY_MS = 86_400_000

/**
 * Resistance over time on a logarithmic scale: a bar is the expanded uncertainty, hollow is a survey that is not valid, a triangle
 * is a finding, a long-dashed line the limit in force, a dotted line a new baseline. Null when nothing has a number.
 */
export function historyPlot(parts: HistoryPlotParts): Html | null {
  const points = parts.points
    .filter((p) => positive(p.resistanceOhm) || positive(p.readOhm))
    .sort((a, b) => a.testedAtMs - b.testedAtMs)
  const first = points[0]
  const last = points.at(-1)
  if (!first || !last) return null
  const margin = Math.max(60 * DAY_MS, (last.testedAtMs - first.testedAtMs) * 0.05)
  const x = scaleUtc(
    [new Date(first.testedAtMs - margin), new Date(last.testedAtMs + margin)],
    [PLOT_AREA.x0, PLOT_AREA.x1],
  )
  const [low = 1, high = 1] = extent(
    points.flatMap((p) => [...heights(p), ...(parts.expected?.get(p.surveyRef) ?? [])]),
  )
  const y = scaleLog([low / 1.25, high * 1.35], [PLOT_AREA.y0, PLOT_AREA.y1])
  const inside = parts.breaks.filter(
    (b) => b.atMs > first.testedAtMs - margin && b.atMs < last.testedAtMs + margin,
  )
  const path = line<HistoryPoint>()
    .defined((p) => positive(p.resistanceOhm))
    .x((p) => Math.round(x(p.testedAtMs) * 10) / 10)
    .y((p) => Math.round(y(p.resistanceOhm ?? 1) * 10) / 10)
  return plotFrame({
    id: parts.id,
    title: `Resistance over time, ${parts.of}`,
    description: describe(points),
    xLabel: 'date of test',
    yLabel: 'Ω, logarithmic',
    xTicks: x.ticks(4).map((t) => ({ position: x(t), label: x.tickFormat(4)(t) })),
    yTicks: logTicks(low / 1.25, high * 1.35).map((t) => ({ position: y(t), label: tickLabel(t) })),
    content: [
      breakMarks(inside.map((b) => ({ x: x(b.atMs), why: b.why }))),
      points.map((p) => {
        const band = parts.expected?.get(p.surveyRef)
        return band === undefined
          ? nothing
          : html`<rect class="band" x="${at(x(p.testedAtMs) - 6)}" y="${at(y(band[1]))}" width="12" height="${at(Math.max(1, y(band[0]) - y(band[1])))}"/>`
      }),
      limitLine(
        points,
        (ms) => x(ms),
        (v) => y(v),
      ),
      html`<path class="path" d="${path(points.filter((p) => positive(p.resistanceOhm))) ?? ''}"/>`,
      points.map((p) => pointMark(p, x(p.testedAtMs), (v) => y(v), p.surveyRef === parts.hereRef)),
    ],
  })
}

/** About the width of a letter of the plot's font, in its units. */
const LETTER = 7.5
const LABEL_LINE = 15

/** A line where a new baseline begins, and why: what begins at one place has one label, and labels never lie on each other. */
function breakMarks(breaks: readonly { x: number; why: string }[]): Html[] {
  const places: { x: number; why: string }[] = []
  for (const b of [...breaks].sort((one, other) => one.x - other.x)) {
    const last = places.at(-1)
    if (last && b.x - last.x < LETTER) last.why += `, ${b.why}`
    else places.push({ ...b })
  }
  // Where each line of labels is free again.
  const freeFrom: number[] = []
  return places.map(({ x, why }) => {
    const width = why.length * LETTER
    const left = Math.min(x + 4, PLOT_AREA.x1 - width)
    const found = freeFrom.findIndex((free) => free <= left)
    const row = found < 0 ? freeFrom.length : found
    freeFrom[row] = left + width
    return html`<line class="break" x1="${at(x)}" x2="${at(x)}" y1="${PLOT_AREA.y1}" y2="${PLOT_AREA.y0}"/>
<text x="${at(left)}" y="${PLOT_AREA.y1 + 11 + row * LABEL_LINE}">${why}</text>`
  })
}

function positive(value: number | null): value is number {
  return value !== null && value > 0
}

function heights(p: HistoryPoint): number[] {
  const value = p.resistanceOhm ?? p.readOhm ?? 1
  const doubt = p.resistanceOhm === null ? 0 : (p.expandedUncertaintyOhm ?? 0)
  return [Math.max(value / 4, value - doubt), value + doubt, ...(positive(p.limitOhm) ? [p.limitOhm] : [])]
}

function limitLine(points: HistoryPoint[], x: (ms: number) => number, y: (v: number) => number): Html {
  const known = points.filter((p) => positive(p.limitOhm))
  const lastKnown = known.at(-1)
  if (!lastKnown) return nothing
  const steps = known.map((p, i) => {
    const from = i === 0 ? PLOT_AREA.x0 : x(p.testedAtMs)
    return `${i === 0 ? 'M' : 'L'}${at(from)},${at(y(known[Math.max(0, i - 1)]!.limitOhm!))}L${at(from)},${at(y(p.limitOhm!))}`
  })
  const height = y(lastKnown.limitOhm!)
  const atLeft = labelAtLeft(points)
  const side = atLeft ? PLOT_AREA.x0 + 3 : PLOT_AREA.x1 - 2
  const labelY = atLeft ? y(known[0]!.limitOhm!) : height
  return html`<path class="limit" fill="none" d="${steps.join('')}L${PLOT_AREA.x1},${at(height)}"/>
<text class="limit" x="${side}" y="${at(labelY - 5)}" text-anchor="${atLeft ? 'start' : 'end'}">limit ${ohm(atLeft ? known[0]!.limitOhm : lastKnown.limitOhm)}</text>`
}

/** The words of the limit stand where the curve is further from it. */
function labelAtLeft(points: HistoryPoint[]): boolean {
  const gap = (p: HistoryPoint | undefined) => {
    const value = p?.resistanceOhm ?? p?.readOhm
    return value && p?.limitOhm ? Math.abs(Math.log(value / p.limitOhm)) : 0
  }
  return gap(points[0]) > gap(points.at(-1))
}

function pointMark(p: HistoryPoint, x: number, y: (v: number) => number, here: boolean): Html {
  const value = p.resistanceOhm ?? p.readOhm
  if (!positive(value)) return nothing
  const counts = positive(p.resistanceOhm)
  const doubt = counts ? (p.expandedUncertaintyOhm ?? 0) : 0
  const top = y(value + doubt)
  const words = `${p.surveyRef}, ${day(new Date(p.testedAtMs).toISOString())}: ${ohm(value)}${counts ? '' : ', not valid'}${p.severity ? `, ${p.severity} finding` : ''}${here ? ', this one' : ''}`
  return html`<g><title>${words}</title>
${doubt > 0 ? html`<path class="bar" d="M${at(x - 3)},${at(top)}h6M${at(x)},${at(top)}V${at(y(Math.max(value / 4, value - doubt)))}m-3,0h6"/>` : nothing}
${here ? html`<circle class="here" cx="${at(x)}" cy="${at(y(value))}" r="9"/>` : nothing}<circle class="${counts ? 'dot' : 'hollow'}" cx="${at(x)}" cy="${at(y(value))}" r="4.5"/>
${p.severity && p.severity !== 'notice' ? html`<path class="mark ${p.severity}" d="M${at(x)},${at(top - 17)}l6.5,11h-13z"/>` : nothing}</g>`
}

function describe(points: HistoryPoint[]): string {
  const counted = points.filter((p) => positive(p.resistanceOhm))
  const first = counted[0]
  const last = counted.at(-1)
  if (!first || !last) return `${points.length} tests, none of them valid.`
  const marked = points.filter((p) => p.severity && p.severity !== 'notice').length
  const span =
    first === last
      ? `One value: ${ohm(first.resistanceOhm)}`
      : `From ${ohm(first.resistanceOhm)} on ${day(new Date(first.testedAtMs).toISOString())} to ${ohm(last.resistanceOhm)} on ${day(new Date(last.testedAtMs).toISOString())}, ${counted.length} values`
  const left = points.length - counted.length
  return `${span}. ${marked === 0 ? 'No finding is marked.' : `${marked} marked with a finding.`}${left > 0 ? ` ${left} not valid.` : ''} The table below has every number.`
}
