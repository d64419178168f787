import { judgement } from '../../pages/surveys/judgement.ts'
import { html, nothing } from '../../pages/view/html.ts'
import type { JudgedHere } from './judge-here.ts'

/** The judgement so far, below the readings. Nothing while too few are read and none has trouble. */
export function showJudgement(here: JudgedHere | null, controlRoomPhone?: string): void {
  const readings = document.getElementById('readings')
  if (!readings) return
  let panel = document.getElementById('so-far')
  if (here === null) {
    panel?.remove()
    return
  }
  if (!panel) {
    panel = document.createElement('section')
    panel.id = 'so-far'
    panel.tabIndex = -1
    panel.setAttribute('aria-labelledby', 'so-far-heading')
    readings.after(panel)
  }
  const { judged, survey, known } = here
  // The same panel as on the survey's page; what was open in it stays open.
  const open = [...panel.querySelectorAll('details')].map((d) => d.open)
  panel.innerHTML = String(
    html`<h2 id="so-far-heading">So far</h2>${known ? nothing : html`<p class="hint">Judged without the register’s words: size and limit are not looked at.</p>`}${judgement({ judged, findings: judged.findings, electrodeId: survey.electrodeId ?? null, controlRoomPhone })}`,
  )
  panel.querySelectorAll('details').forEach((details, i) => {
    details.open = open[i] ?? false
  })
}
