import { extent } from 'd3-array'
import { scaleLog, scaleUtc } from 'd3-scale'
import type { EvidenceLinePoint, EvidencePoint } from '../../../../shared-lib/history/evidence.ts'
import { chance, day, ohm } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { at, logTicks, PLOT_AREA, plotFrame, tickLabel } from './frame.ts'

export interface ExpectedPlotParts {
  id: string
  /** By date; the last one or the one of `hereRef` is what the finding is about. */
  points: readonly EvidencePoint[]
  hereRef: string
  limitOhm?: number | undefined
  /** The fitted line up to where it crosses the limit. */
  line?: readonly EvidenceLinePoint[] | undefined
  crossesBetween?: readonly [string, string | null] | undefined
}

const DAY_MS = 86_400_000
const ms = (isoDay: string) => Date.parse(`${isoDay}T12:00:00Z`)

/**
 * What was expected before each test, as a band, and what was read: the finding in one picture, on a logarithmic scale. Hollow is a
 * test that did not count for the baseline. Null with nothing to draw.
 */
export function expectedPlot(parts: ExpectedPlotParts): Html | null {
  const { points, line = [], limitOhm } = parts
  if (points.length === 0) return null
  const days = [...points.map((p) => ms(p.testedAt)), ...line.map((p) => ms(p.on))]
  const [from = 0, to = 1] = extent(days)
  const margin = Math.max(60 * DAY_MS, (to - from) * 0.04)
  const x = scaleUtc([new Date(from - margin), new Date(to + margin)], [PLOT_AREA.x0, PLOT_AREA.x1])
  const [low = 1, high = 1] = extent([
    ...points.flatMap((p) => [p.resistanceOhm, p.lowOhm ?? p.resistanceOhm, p.highOhm ?? p.resistanceOhm]),
    ...line.map((p) => p.ohm),
    ...(limitOhm === undefined ? [] : [limitOhm]),
  ])
  const y = scaleLog([low / 1.2, high * 1.25], [PLOT_AREA.y0, PLOT_AREA.y1]).clamp(true)
  const X = (isoDay: string) => at(x(ms(isoDay)))
  const Y = (value: number) => at(y(value))
  return plotFrame({
    id: parts.id,
    title: 'What was expected and what was read',
    description: describe(parts),
    xLabel: 'date of test',
    yLabel: 'Ω, logarithmic',
    xTicks: x.ticks(4).map((t) => ({ position: x(t), label: x.tickFormat(4)(t) })),
    yTicks: logTicks(low / 1.2, high * 1.25).map((t) => ({ position: y(t), label: tickLabel(t) })),
    content: [
      points.map((p) =>
        p.lowOhm === undefined || p.highOhm === undefined
          ? nothing
          : html`<rect class="band" x="${at(x(ms(p.testedAt)) - 7)}" y="${Y(p.highOhm)}" width="14" height="${at(Math.max(1, y(p.lowOhm) - y(p.highOhm)))}"/>${p.expectedOhm === undefined ? nothing : html`<path class="expected" d="M${at(x(ms(p.testedAt)) - 7)},${Y(p.expectedOhm)}h14"/>`}`,
      ),
      limitOhm === undefined
        ? nothing
        : html`<path class="limit" fill="none" d="M${PLOT_AREA.x0},${Y(limitOhm)}H${PLOT_AREA.x1}"/><text class="limit" x="${PLOT_AREA.x0 + 3}" y="${at(y(limitOhm) - 5)}">limit ${ohm(limitOhm)}</text>`,
      line.length < 2
        ? nothing
        : html`<path class="fit-band" d="M${line.map((p) => `${X(p.on)},${Y(p.highOhm)}`).join('L')}L${[
            ...line,
          ]
            .reverse()
            .map((p) => `${X(p.on)},${Y(p.lowOhm)}`)
            .join('L')}Z"/><path class="fit" d="M${line.map((p) => `${X(p.on)},${Y(p.ohm)}`).join('L')}"/>`,
      html`<path class="path" d="M${points
        .filter((p) => p.used)
        .map((p) => `${X(p.testedAt)},${Y(p.resistanceOhm)}`)
        .join('L')}"/>`,
      points.map((p) => mark(p, x(ms(p.testedAt)), y(p.resistanceOhm), p.surveyRef === parts.hereRef)),
    ],
  })
}

function mark(p: EvidencePoint, x: number, y: number, here: boolean): Html {
  const expected = p.expectedOhm === undefined ? '' : `, expected ${ohm(p.expectedOhm)}`
  return html`<g><title>${p.surveyRef}, ${day(p.testedAt)}: ${ohm(p.resistanceOhm)}${expected}${p.used ? '' : ', not counted'}</title>${here ? html`<circle class="here" cx="${at(x)}" cy="${at(y)}" r="9"/>` : nothing}<circle class="${p.used ? 'dot' : 'hollow'}" cx="${at(x)}" cy="${at(y)}" r="4.5"/></g>`
}

function describe({ points, hereRef, crossesBetween, limitOhm }: ExpectedPlotParts): string {
  const here = points.find((p) => p.surveyRef === hereRef) ?? points.at(-1)!
  const inBand = points.filter(
    (p) =>
      p.lowOhm !== undefined &&
      p.highOhm !== undefined &&
      p.resistanceOhm >= p.lowOhm &&
      p.resistanceOhm <= p.highOhm,
  ).length
  const expected = points.filter((p) => p.lowOhm !== undefined).length
  const band =
    here.lowOhm === undefined || here.highOhm === undefined
      ? ''
      : `, where ${ohm(here.lowOhm)} to ${ohm(here.highOhm)} was expected`
  const crosses =
    crossesBetween === undefined
      ? ''
      : ` The line meets the limit of ${ohm(limitOhm)} between ${day(crossesBetween[0])} and ${crossesBetween[1] === null ? 'never' : day(crossesBetween[1])}.`
  return `${points.length} tests. This one read ${ohm(here.resistanceOhm)}${band}. ${inBand} of ${expected} tests with an expectation lay within it (${chance(0.95)} bands).${crosses} The table below has every number.`
}
