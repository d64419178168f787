import type { SurveyRecord } from '../../../../shared-lib/ledger/kept/survey.ts'
import type { Calibration } from '../../../../shared-lib/survey/register.ts'
import { day, number, ohm } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { paths, withQuery } from '../view/paths.ts'
import { badge } from '../view/severity.ts'

export interface Instrument {
  instrumentId: string
  /** Newest first. */
  calibrations: readonly Calibration[]
  /** Checks on a known resistor, newest first. */
  checks: readonly SurveyRecord[]
}

/** The check is asked for on each day of work; a check older than this says little about today (practice, no source). */
const CHECK_OLD_DAYS = 30
const DAY_MS = 86_400_000

/** Is the instrument within its calibration today? In words. */
function calibrationState(k: Calibration | undefined, today: string): Html {
  if (!k) return badge('warning', '~', 'Not calibrated')
  if (k.calibrationDueOn === undefined) return badge('plain', '–', 'No due date')
  return k.calibrationDueOn.slice(0, 10) < today
    ? badge('urgent', '✕', 'Overdue')
    : badge('good', '✓', `Until ${day(k.calibrationDueOn)}`)
}

/** How far off the last check on a known resistor was, and how old it is. */
function checkState(check: SurveyRecord | undefined, nowMs: number): Html {
  if (!check) return badge('warning', '~', 'Never checked')
  const off = offPercent(check)
  const old = nowMs - Date.parse(check.survey.testedAt) > CHECK_OLD_DAYS * DAY_MS
  const words = `${off === null ? 'no number' : `${off > 0 ? '+' : ''}${number(off, 2)} %`} on ${day(check.survey.testedAt)}`
  if (off !== null && Math.abs(off) > allowedPercent(check)) return badge('urgent', '✕', words)
  return old ? badge('warning', '~', `${words}, old`) : badge('good', '✓', words)
}

function offPercent({ survey }: SurveyRecord): number | null {
  const read = survey.readings.find((r) => r.condition === 'ok')?.resistanceOhm
  return read === undefined || survey.knownOhm === undefined ? null : 100 * (read / survey.knownOhm - 1)
}

/** Half the width that the judge itself gave the check's value, in %; 5 % where it gave none. */
function allowedPercent({ survey, judged }: SurveyRecord): number {
  const doubt = judged.expandedUncertaintyOhm
  return doubt !== null && survey.knownOhm ? (100 * doubt) / survey.knownOhm : 5
}

export interface InstrumentListParts {
  instruments: readonly Instrument[]
  nowMs: number
  mayAdd: boolean
}

/** Every instrument the register or a survey names, with its calibration and its last check. */
export function instrumentList({ instruments, nowMs, mayAdd }: InstrumentListParts): Html {
  const today = new Date(nowMs).toISOString().slice(0, 10)
  return html`<h1>Instruments</h1>
<p>Check each instrument on a known resistor on every day of work and hand the check in: a bias that surveys hide for years shows there at once.</p>
${mayAdd ? html`<p class="actions screen"><a class="button" href="${paths.addCalibration}">Add a calibration</a> <a class="button" href="${withQuery(paths.registerFile, { table: 'instruments' })}">Load a CSV of them</a></p>` : nothing}
${
  instruments.length === 0
    ? html`<p class="empty">No instrument is in the register yet.</p>`
    : html`<div class="scroll" role="region" aria-label="Instruments" tabindex="0"><table><caption class="unseen">Instruments</caption><thead><tr><th scope="col">Instrument</th><th scope="col">Calibration</th><th scope="col">Last check</th><th scope="col">Serial number</th></tr></thead>
<tbody>${instruments.map((i) => html`<tr><th scope="row"><a href="${paths.instrument(i.instrumentId)}">${i.instrumentId}</a></th><td>${calibrationState(i.calibrations[0], today)}</td><td>${checkState(i.checks[0], nowMs)}</td><td>${i.calibrations[0]?.serial ?? ''}</td></tr>`)}</tbody></table></div>`
}`
}

export interface InstrumentPageParts extends Instrument {
  nowMs: number
  mayAdd: boolean
}

/** One instrument: is it good today, its calibrations, its checks, and its findings. */
export function instrumentPage(parts: InstrumentPageParts): Html {
  const { instrumentId: id, calibrations, checks, nowMs } = parts
  const today = new Date(nowMs).toISOString().slice(0, 10)
  return html`<p class="crumbs"><a href="${paths.instruments}">Instruments</a></p>
<h1>Instrument ${id}</h1>
<div class="sheet result"><div><h2>Calibration</h2><p>${calibrationState(calibrations[0], today)}</p></div><div><h2>Last check on a known resistor</h2><p>${checkState(checks[0], nowMs)}</p></div></div>
<p class="actions screen"><a class="button" href="${withQuery(paths.findings, { instrument: id })}">Open findings with it</a>${parts.mayAdd ? html` <a class="button" href="${withQuery(paths.addCalibration, { instrument: id })}">Add a calibration</a>` : nothing}</p>
<h2>Calibrations</h2>
${calibrations.length === 0 ? html`<p class="empty">None in the register. Tests with it are judged with a wider doubt.</p>` : calibrationTable(calibrations)}
<h2>Checks on a known resistor</h2>
${checks.length === 0 ? html`<p class="empty">None handed in. Measure a resistor of known value at the start of the day and hand it in with the kind of test “check on a known resistor”.</p>` : checkTable(id, checks)}`
}

function calibrationTable(calibrations: readonly Calibration[]): Html {
  return html`<div class="scroll" role="region" aria-label="Calibrations" tabindex="0"><table><caption class="unseen">Calibrations, newest first</caption><thead><tr><th scope="col">Calibrated</th><th scope="col">Due</th><th scope="col">Accuracy</th><th scope="col" class="num">Resolution</th><th scope="col">Certificate</th></tr></thead>
<tbody>${calibrations.map((k) => html`<tr><th scope="row" class="nowrap">${day(k.calibratedOn)}</th><td class="nowrap">${k.calibrationDueOn ? day(k.calibrationDueOn) : 'not given'}</td><td>${accuracyWords(k)}</td><td class="num">${k.resolutionOhm === undefined ? '' : ohm(k.resolutionOhm)}</td><td>${k.certificate ?? ''}</td></tr>`)}</tbody></table></div>`
}

function accuracyWords(k: Calibration): string {
  const parts = [
    k.accuracyPercent === undefined ? '' : `${number(k.accuracyPercent)} %`,
    k.accuracyDigits === undefined ? '' : `${number(k.accuracyDigits)} digits`,
  ].filter(Boolean)
  return parts.length === 0 ? 'not given' : `± ${parts.join(' + ')}`
}

function checkTable(id: string, checks: readonly SurveyRecord[]): Html {
  return html`<div class="scroll" role="region" aria-label="Checks" tabindex="0"><table class="snug"><caption class="unseen">Checks, newest first</caption><thead><tr><th scope="col">Checked</th><th scope="col" class="num">Known</th><th scope="col" class="num">Read</th><th scope="col" class="num">Off</th></tr></thead>
<tbody>${checks.map((check) => {
    const off = offPercent(check)
    const read = check.survey.readings[0]?.resistanceOhm
    return html`<tr><th scope="row" class="nowrap"><a href="${paths.subjectSurvey({ kind: 'instrument', id }, check.survey.surveyRef)}">${day(check.survey.testedAt)}</a></th><td class="num">${ohm(check.survey.knownOhm)}</td><td class="num">${ohm(read)}</td><td class="num">${off === null ? '–' : `${off > 0 ? '+' : ''}${number(off, 2)} %`}</td></tr>`
  })}</tbody></table></div>`
}
