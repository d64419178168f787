/** What the API says of a finding after a decision. Only what the page shows. */
export interface DecidedFinding {
  id: string
  version: string
  state: 'open' | 'closed'
  ruling?: { action: string; reason: string; decidedBy: string; decidedAtMs: number }
  closedBy?: { laterSurveyRef?: string }
  claim?: { name: string }
}

export type Sent =
  | {
      kind: 'done'
      decided: DecidedFinding[]
      notDecided: { id: string; why: string; words: string; finding?: DecidedFinding }[]
    }
  /** Nothing was decided; what the service says, or that it could not be reached. */
  | { kind: 'refused'; words: string; reasonNeeded: boolean }

export interface NamedFinding {
  id: string
  seen?: string
}

interface Problem {
  detail?: string
  errors?: { code: string; detail: string }[]
}

/** Sends one decision about exactly these findings, with their number as it was when the key was pressed. */
export async function sendDecisions(
  action: string,
  reason: string,
  findings: readonly NamedFinding[],
): Promise<Sent> {
  try {
    const answer = await fetch('/api/findings/decisions', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ action, reason, findings, count: findings.length }),
    })
    const json: unknown = await answer.json()
    if (answer.ok) return { kind: 'done', ...(json as Omit<Extract<Sent, { kind: 'done' }>, 'kind'>) }
    const { detail, errors } = json as Problem
    const first = errors?.[0]
    return {
      kind: 'refused',
      words: first?.detail ?? detail ?? 'The decision was not taken.',
      reasonNeeded: first?.code === 'reason-needed',
    }
  } catch {
    const words =
      'Nothing was sent: the service could not be reached. Try again; deciding twice changes nothing.'
    return { kind: 'refused', words, reasonNeeded: false }
  }
}
