import type { JudgedSurvey } from '../../../../shared-lib/evaluate/evaluation.ts'
import { type AlarmParts, alarm } from '../../pages/surveys/judgement.ts'

const told = new Set<string>()

/**
 * An urgent finding fills the screen, once for each cause, until the person has read it. While it stands there it follows what is
 * learnt meanwhile, such as the name of the responsible engineer.
 */
export function showAlarm(judged: JudgedSurvey, whom: Omit<AlarmParts, 'findings'>): void {
  const urgent = judged.findings.filter((f) => f.severity === 'urgent')
  const words = String(alarm({ findings: urgent, ...whom }))
  const standing = document.querySelector('dialog.alarm-screen[open] .words')
  if (standing && urgent.length > 0) {
    if (standing.innerHTML !== words) standing.innerHTML = words
    return
  }
  for (const code of told) if (!urgent.some((f) => f.code === code)) told.delete(code)
  if (urgent.every((f) => told.has(f.code))) return
  for (const f of urgent) told.add(f.code)
  document.querySelector('dialog.alarm-screen')?.remove()
  const dialog = document.createElement('dialog')
  dialog.className = 'alarm-screen'
  dialog.setAttribute('aria-label', 'Urgent')
  dialog.innerHTML = `<div class="words">${words}</div><form method="dialog"><button class="main">I have read this</button></form>`
  // Outside of the form, which may be drawn anew while this is being read.
  document.body.append(dialog)
  dialog.showModal()
}
