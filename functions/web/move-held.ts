import type { HeldSurvey } from '../../shared-lib/ledger/kept/survey.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { barToHandIn, seesBeyondSites } from './access.ts'
import type { WebDeps } from './deps.ts'
import type { ProblemName } from './problems.ts'

export type MovedHeld =
  | { kind: 'moved'; electrodeId: string; surveyRef: string }
  | { kind: 'no-such-electrode' }
  /** The electrode has another survey under this reference: both are kept, the held one stays held. */
  | { kind: 'conflict' }
  | { kind: 'barred'; problem: ProblemName }

/**
 * Hands a held survey in for the electrode it is really of, as its sender's, with a note of who matched it; only then is it no longer
 * held. A crash between the two leaves it held, and moving it again finds it stored. Notes are no part of what makes a survey the same.
 */
export async function moveHeld(
  deps: WebDeps,
  person: Person,
  held: HeldSurvey,
  electrodeId: string,
): Promise<MovedHeld> {
  const record = await deps.ledger.getElectrode(electrodeId)
  if (!record) return { kind: 'no-such-electrode' }
  const barred = seesBeyondSites(person) ? barToHandIn(person, record.electrode.siteId) : 'role-not-allowed'
  if (barred) return { kind: 'barred', problem: barred }
  const note = `Handed in for electrode ${held.electrodeId}; matched to ${electrodeId} by ${person.name}.`
  const notes = [held.survey.notes, note].filter(Boolean).join('\n')
  const done = await deps.desk.handIn({ ...held.survey, electrodeId, notes }, held.receivedFrom)
  if (done.kind === 'conflict') return { kind: 'conflict' }
  if (done.kind === 'held') return { kind: 'no-such-electrode' }
  await deps.ledger.removeHeld(held)
  return { kind: 'moved', electrodeId, surveyRef: held.survey.surveyRef }
}
