import type { JudgedSurvey } from '../../../../shared-lib/evaluate/evaluation.ts'
import { alarm } from '../../pages/surveys/judgement.ts'

const told = new Set<string>()

/** An urgent finding fills the screen, once for each cause, until the person has read it. */
export function showAlarm(
  judged: JudgedSurvey,
  whom: { controlRoomPhone?: string | undefined; responsibleEmail?: string | undefined },
): void {
  const urgent = judged.findings.filter((f) => f.severity === 'urgent')
  for (const code of told) if (!urgent.some((f) => f.code === code)) told.delete(code)
  if (urgent.every((f) => told.has(f.code))) return
  for (const f of urgent) told.add(f.code)
  document.querySelector('dialog.alarm-screen')?.remove()
  const dialog = document.createElement('dialog')
  dialog.className = 'alarm-screen'
  dialog.setAttribute('aria-label', 'Urgent')
  dialog.innerHTML = `${alarm({ findings: urgent, ...whom })}<form method="dialog"><button class="main">I have read this</button></form>`
  document.querySelector('main')!.append(dialog)
  dialog.showModal()
}
