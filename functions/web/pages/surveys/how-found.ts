import type { Evaluation } from '../../../../shared-lib/evaluate/evaluation.ts'
import type { Method } from '../../../../shared-lib/survey/survey.ts'
import { chance, metres, number, ohm } from '../view/format.ts'
import { type Html, html, nothing } from '../view/html.ts'
import { plainWord } from '../view/words.ts'

interface Explained {
  name: string
  value: string
  /** How, from what. */
  how: string
  source: string
}

type Judged = Evaluation & { method: Method }

/** Every number of a judgement with how it was found, from what, and where the rule comes from. */
export function howFound(judged: Judged): Html {
  const numbers = explained(judged)
  if (numbers.length === 0) return nothing
  return html`<details class="how"><summary>How each number was found</summary><div class="scroll" role="region" aria-label="How each number was found" tabindex="0"><table><caption class="unseen">How each number was found</caption>
<thead><tr><th scope="col">Number</th><th scope="col" class="num">Value</th><th scope="col">How, from what</th><th scope="col">Source</th></tr></thead>
<tbody>${numbers.map((n) => html`<tr><th scope="row">${n.name}</th><td class="num">${n.value}</td><td class="wide">${n.how}</td><td class="wide">${n.source}</td></tr>`)}</tbody></table></div></details>`
}

function explained(j: Judged): Explained[] {
  const alongLine = j.method === 'fall-of-potential' || j.method === 'slope'
  const rows: (Explained | null)[] = [
    j.resistanceOhm === null
      ? null
      : {
          name: 'Effective resistance',
          value: ohm(j.resistanceOhm),
          how: `By ${plainWord(j.resultBy ?? 'the readings')}, from the good readings below.`,
          source: alongLine
            ? 'fall of potential: Curdts 1958, Tagg 1964, IEEE 81'
            : 'the instrument’s reading, less what is known to be no part of it',
        },
    j.meanOhm === null
      ? null
      : {
          name: 'Plain mean',
          value: ohm(j.meanOhm),
          how: `Sum of the readings${alongLine ? ' at 52 to 72 %' : ''} over their number: for a check by hand.`,
          source: 'arithmetic',
        },
    j.fitOhm === null
      ? null
      : {
          name: 'Fitted',
          value: ohm(j.fitOhm),
          how: 'R(x) = R − k·F(x), F = 1/x + 1/D − 1/d, fitted to the readings by least squares; x, D: distances of the two probes, d: between them.',
          source: 'Curdts 1958, Tagg 1964, IEEE 81',
        },
    j.expandedUncertaintyOhm === null
      ? null
      : {
          name: 'Expanded uncertainty',
          value: ohm(j.expandedUncertaintyOhm, 3),
          how: 'Twice the root of the summed squares of the contributions in the table below.',
          source: 'JCGM 100, k = 2',
        },
    j.spreadPercent === null
      ? null
      : {
          name: 'Spread',
          value: `${number(j.spreadPercent, 3)} %`,
          how: '(largest − smallest) over the mean of the readings at 52 to 72 %, less two digits of the display.',
          source: 'common practice, no source',
        },
    j.limitOhm === null || j.conformityProbability === null
      ? null
      : {
          name: 'Chance that it conforms',
          value: chance(j.conformityProbability),
          how: `Share of a normal distribution about the result, with half the expanded uncertainty as its width, at or below ${ohm(j.limitOhm)}; rule “${plainWord(j.conformityRule)}”.`,
          source: 'JCGM 106, 7.4',
        },
    j.impliedSoilResistivityOhmM === null
      ? null
      : j.method === 'four-point'
        ? {
            name: 'Soil resistivity',
            value: `${number(j.impliedSoilResistivityOhmM, 3)} Ω·m`,
            how: 'Each reading times 2π and its spacing, with the depth of the stakes taken into account; of these the mean of logarithms.',
            source: 'Wenner 1915, full formula',
          }
        : {
            name: 'Soil it implies',
            value: `${number(j.impliedSoilResistivityOhmM, 3)} Ω·m`,
            how: 'The resistivity of even soil in which an electrode of the registered kind and size would read this value.',
            source:
              'formula of the electrode’s kind (Dwight 1936 and others, as in the register’s documentation)',
          },
    j.recommendedCurrentProbeM === null
      ? null
      : {
          name: 'Current probe that would do',
          value: metres(j.recommendedCurrentProbeM),
          how: 'So many times the electrode’s driven depth or longest dimension.',
          source: 'common practice, no source',
        },
  ]
  return rows.filter((row) => row !== null)
}
