import type { Conformity } from '../../../../shared-lib/evaluate/evaluation.ts'
import { instant } from '../view/format.ts'
import { type Html, html } from '../view/html.ts'
import type { ComplianceRow } from './read-compliance.ts'

/** How an electrode counts in the summary: by its newest test, and not by an older value where that test gave none. */
export type StandsAs = Conformity | 'no-value' | 'never-tested'

export function standsAs({ standing }: Pick<ComplianceRow, 'standing'>): StandsAs {
  if (!standing?.test) return 'never-tested'
  return standing.test.resistanceOhm === null ? 'no-value' : standing.conformity
}

/** What the rules of `judge-limit.ts` mean to who was not there. */
const RULE_WORDS: Record<string, string> = {
  simple:
    'a valid test is decided by its value alone, the uncertainty stands beside it; a doubtful test is decided only where that is 95 % sure',
  'guarded-0.95': 'a test is decided only where that is 95 % sure, else it is inconclusive',
}

export interface CountedFor {
  operatorName: string
  countedAt: string
  printedBy: string
  printedAt: string
  rules: readonly string[]
}

/** What an auditor asks first: whose count, of when, by which rule, made by whom. */
export function countedWords(of: CountedFor): Html {
  return html`<dl class="facts summary-facts"><dt>Operator</dt><dd>${of.operatorName}</dd><dt>Counted</dt><dd>${instant(of.countedAt)}</dd>
<dt>By the rule</dt><dd>Each electrode counts by its newest test. ${of.rules.map((rule) => html`“${rule.replaceAll('-', ' ')}”: ${RULE_WORDS[rule] ?? 'see the test record'}. `)}Uncertainties are expanded, k = 2 (JCGM 100); chances by JCGM 106.</dd>
<dt>Printed</dt><dd>${instant(of.printedAt)} by ${of.printedBy}</dd></dl>`
}
