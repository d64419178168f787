import type { LayOut } from '../../../../shared-lib/plan/lay-outs.ts'
import { metres } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'

const WIDTH = 480
const LEFT = 40
const RIGHT = 440
const GROUND = 60

/** Where the stakes go, seen from above: the electrode at the left, the current probe's line to the right. Not to be taken for a survey of the ground. */
export function stakeSketch(way: LayOut, id: string): Html {
  const angle = (way.angleDeg * Math.PI) / 180
  const longest = Math.max(way.currentProbeM, ...way.stakes.map((stake) => stake.distanceM))
  // A line at a right angle must fit under the first one.
  const scale = (RIGHT - LEFT) / longest
  const drop = Math.max(...way.stakes.map((stake) => stake.distanceM)) * Math.sin(angle) * scale
  const height = Math.round(GROUND + 60 + drop)
  const place = (distanceM: number) => ({
    x: Math.round(10 * (LEFT + distanceM * scale * Math.cos(angle))) / 10,
    y: Math.round(10 * (GROUND + distanceM * scale * Math.sin(angle))) / 10,
  })
  const last = place(Math.max(...way.stakes.map((stake) => stake.distanceM)))
  const far = LEFT + way.currentProbeM * scale
  return html`<svg class="plot" viewBox="0 0 ${WIDTH} ${height}" role="img" aria-labelledby="${id}-t ${id}-d" xmlns="http://www.w3.org/2000/svg">
<title id="${id}-t">Stakes seen from above</title>
<desc id="${id}-d">The electrode at the left, the current probe ${metres(way.currentProbeM)} away, the potential probe at ${way.stakes.map((s) => metres(s.distanceM)).join(', ')}${way.angleDeg === 0 ? ' on the same line' : `, ${way.angleDeg} degrees aside`}.</desc>
<line class="axis" x1="${LEFT}" y1="${GROUND}" x2="${far}" y2="${GROUND}"/>
${way.angleDeg === 0 ? nothing : html`<line class="break" x1="${LEFT}" y1="${GROUND}" x2="${last.x}" y2="${last.y}"/>`}
<rect class="dot" x="${LEFT - 7}" y="${GROUND - 7}" width="14" height="14"/>
<text class="strong" x="${LEFT - 30}" y="24">electrode</text>
<circle class="mark" cx="${far}" cy="${GROUND}" r="7"/>
<text class="strong" x="${WIDTH - 6}" y="24" text-anchor="end">current probe, ${metres(way.currentProbeM)}</text>
${way.stakes.map((stake, i) => {
  const { x, y } = place(stake.distanceM)
  // Neighbouring labels alternate so that they can be read.
  const label = way.angleDeg === 0 ? y + 24 + (i % 2) * 18 : y + 22
  return html`<circle class="hollow" cx="${x}" cy="${y}" r="5"/><text x="${x}" y="${label}" text-anchor="middle">${metres(stake.distanceM)}</text>`
})}
</svg>`
}
