import type { Decision } from '../../../../shared-lib/history/assessment.ts'
import { readEvidence } from '../../../../shared-lib/history/evidence.ts'
import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { versionOf } from '../../finding-version.ts'
import { cautionBox } from '../surveys/judgement.ts'
import type { FormProblem } from '../view/error-summary.ts'
import { errorSummary } from '../view/error-summary.ts'
import { age, chance, day, instant, minutesLeft } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths } from '../view/paths.ts'
import { badge, severityBadge } from '../view/severity.ts'
import { DECISION_WORDS, FINDING_TITLES } from '../view/words.ts'
import { decidedNotice, decideForm, decisionMeanings } from './decide-form.ts'
import { evidenceDetails, expectedWords } from './evidence.ts'
import { recordWords, type TrackRecord } from './track-record.ts'
import { explanations, SHOWN_ABOVE, whyNumbers, whyPicture } from './why-section.ts'

export interface FindingPageParts {
  finding: FindingItem
  decisions: readonly Decision[]
  /** History of the electrode as drawn on its own page. */
  plot: Html | null
  cautions: readonly string[]
  /** How chances have done against decisions here. */
  record: TrackRecord
  /** Version of the judge of its survey. */
  judgeVersion: string | undefined
  nowMs: number
  mayDecide: boolean
  decided?: Decision['action'] | undefined
  personId: string
  why?: string
  reason?: string
  problems?: readonly FormProblem[]
  /** What happened while this person was looking, and what they wanted. */
  meanwhile?: { action: Decision['action']; happened: string }
}

/** One finding with everything it rests on: the sentence, the numbers, what else it could be, the picture, every decision. */
export function findingPage(parts: FindingPageParts): Html {
  const { finding: f, nowMs } = parts
  const expected = expectedWords(f.evidence)
  const title = FINDING_TITLES[f.code]
  const { parametersVersion } = readEvidence(f.evidence)
  const rest = Object.entries(f.evidence).filter(([key]) => !SHOWN_ABOVE.includes(key))
  const numbers = evidenceDetails(Object.fromEntries(rest), f.electrodeId)
  return html`${errorSummary(parts.problems ?? [])}
${parts.decided === undefined ? nothing : decidedNotice({ findingId: f.id, electrodeId: f.electrodeId, title, surveyRef: f.surveyRef, action: parts.decided, back: paths.finding(f.id) })}
${parts.meanwhile === undefined ? nothing : meanwhileBox(parts.meanwhile)}
<p class="crumbs"><a href="${paths.findings}">Findings</a> · <a href="${paths.electrode(f.electrodeId)}">Electrode ${f.electrodeId}</a> · <a href="${paths.site(f.siteId)}">Site ${f.siteId}</a></p>
<h1>${title}</h1>
<p>${severityBadge(f.severity)} ${f.state === 'open' ? badge('plain', '○', 'Open') : badge('plain', '●', 'Closed')} Survey <a href="${paths.survey(f.electrodeId, f.surveyRef)}">${f.surveyRef}</a> of ${day(f.testedAt)}, raised ${age(f.openedAt, nowMs)}.</p>
<div class="why"><div><section class="sheet"><p>${f.message}</p>
${expected === null ? nothing : html`<p><strong>${expected}.</strong></p>`}
${f.advice.length === 0 ? nothing : html`<h2>What to do, in this order</h2><ol>${f.advice.map((a) => html`<li>${a}</li>`)}</ol>`}
${f.probability === null ? nothing : html`<p class="aside">Chance that it is true: ${chance(f.probability)}. ${recordWords(parts.record, f.probability)}</p>`}</section>
${explanations(title, f.probability, readEvidence(f.evidence))}</div>
<div>${whyPicture(f, parts.plot)}
${parts.cautions.length === 0 ? nothing : cautionBox(parts.cautions)}</div></div>
${
  parts.mayDecide && (f.state === 'open' || parts.meanwhile)
    ? html`<h2 class="screen">Decide</h2>${claimLine(parts)}${decideForm({ findingId: f.id, key: 'one', seen: versionOf(f), back: paths.finding(f.id), ...(parts.why === undefined ? {} : { why: parts.why }), ...(parts.reason === undefined ? {} : { reason: parts.reason }), ...(parts.problems ? { problems: parts.problems } : {}) })}${decisionMeanings()}`
    : nothing
}
${closedWords(f, parts.mayDecide)}
${whyNumbers(f)}
${numbers === null ? nothing : html`<h2>The numbers behind it</h2>${numbers}`}
<p class="aside">Judged with version ${parts.judgeVersion ?? 'not known'}${parametersVersion === undefined ? '' : `, parameters ${parametersVersion}`}.</p>
${trail(parts.decisions)}`
}

function meanwhileBox({ action, happened }: NonNullable<FindingPageParts['meanwhile']>): Html {
  return html`<section class="mend" aria-labelledby="meanwhile"><div role="alert"><h2 id="meanwhile">This finding changed while you were looking</h2>
<p>${happened} Your decision (${DECISION_WORDS[action].button.toLowerCase()}) was not recorded; your reason is kept below. Decide again if it should stand all the same: both decisions stay in the trail.</p></div></section>`
}

/** Who is at it, and the means to say so. */
function claimLine({ finding: f, personId, nowMs }: FindingPageParts): Html {
  const held = f.claim && f.claim.untilMs > nowMs ? f.claim : null
  if (held && held.by !== personId)
    return html`<p class="said"><strong>${held.name} is at it</strong>, for ${minutesLeft(held.untilMs, nowMs)} more. You may decide all the same.</p>`
  return html`<form class="screen" method="post" action="${paths.claim(f.id)}">${held ? html`<p>You are at it, for ${minutesLeft(held.untilMs, nowMs)} more; others see that. <button type="submit" class="quiet" name="let-go" value="yes">Let it go</button></p>` : html`<button type="submit" class="quiet">Say that I am at it (30 minutes)</button>`}</form>`
}

function closedWords(f: FindingItem, mayDecide: boolean): Html {
  if (f.state !== 'closed' || f.closedBy === undefined) return nothing
  if ('laterSurveyRef' in f.closedBy)
    return html`<p>Closed by <a href="${paths.survey(f.electrodeId, f.closedBy.laterSurveyRef)}">the later survey ${f.closedBy.laterSurveyRef}</a>, which settled it.</p>`
  const d = f.closedBy.decision
  return html`<p>Closed: ${DECISION_WORDS[d.action].done} by ${d.decidedBy}${d.reason ? `, because: ${d.reason}` : ''}.</p>
${
  mayDecide
    ? html`<form class="screen" method="post" action="${paths.decisions(f.id)}"><input type="hidden" name="back" value="${paths.finding(f.id)}"><button type="submit" name="action" value="reopen">Undo: open it again</button></form>`
    : nothing
}`
}

function trail(decisions: readonly Decision[]): Html {
  if (decisions.length === 0) return html`<h2>Decisions</h2><p>None yet.</p>`
  const inOrder = [...decisions].sort((a, b) => a.decidedAtMs - b.decidedAtMs)
  return html`<h2>Decisions</h2><ol>${inOrder.map(
    (d) =>
      html`<li>${instant(new Date(d.decidedAtMs).toISOString())}: ${DECISION_WORDS[d.action].done} by ${d.decidedBy}${d.reason ? `, because: ${d.reason}` : ''}</li>`,
  )}</ol>`
}
