import type { Conformity, Validity } from '../../../../shared-lib/evaluate/evaluation.ts'
import type { Severity } from '../../../../shared-lib/survey/finding.ts'
import { type Html, html } from './html.ts'
import { CONFORMITY_WORDS, SEVERITY_WORDS, VALIDITY_WORDS } from './words.ts'

/** A word in a frame with a sign before it: the meaning is in the word and the sign, colour only helps. */
export function badge(
  look: 'urgent' | 'warning' | 'notice' | 'good' | 'plain',
  sign: string,
  word: string,
): Html {
  return html`<span class="badge ${look}"><span aria-hidden="true">${sign}</span> ${word}</span>`
}

export function severityBadge(severity: Severity): Html {
  const sign = { urgent: '▲', warning: '△', notice: '○' }[severity]
  return badge(severity, sign, SEVERITY_WORDS[severity])
}

export function validityBadge(validity: Validity): Html {
  if (validity === 'valid') return badge('good', '✓', VALIDITY_WORDS.valid)
  if (validity === 'doubtful') return badge('warning', '~', VALIDITY_WORDS.doubtful)
  return badge('urgent', '✕', VALIDITY_WORDS.invalid)
}

export function conformityBadge(conformity: Conformity): Html {
  const look = {
    conforming: 'good',
    nonconforming: 'urgent',
    inconclusive: 'warning',
    'not-assessed': 'plain',
  } as const
  const sign = { conforming: '✓', nonconforming: '✕', inconclusive: '~', 'not-assessed': '–' }[conformity]
  return badge(look[conformity], sign, CONFORMITY_WORDS[conformity])
}
