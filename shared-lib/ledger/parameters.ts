import type { Parameters } from '../history/assessment.ts'
import { defaultParameters } from '../history/parameters.ts'
import { getCheaply } from './get-cheaply.ts'
import type { Adoption, LearntVersion } from './kept/learnt.ts'
import { ADOPTED_KEY, PARAMETERS_PK, parametersKey } from './keys.ts'
import type { Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/** The parameters in force: what was adopted last, else the defaults. */
export const parametersInForce = async (ledger: Pick<Ledger, 'adoptedParameters'>): Promise<Parameters> =>
  (await ledger.adoptedParameters())?.parameters ?? defaultParameters

/** Told by which parameters a site was judged so far, and whether a mark waits there: the parameters in force. */
export type ParametersReader = (site: {
  judgedBy: ReadonlySet<string>
  waits: boolean
}) => Promise<Parameters>

/**
 * The parameters in force for half a read unit. Whoever adopts others marks every site afterwards: so a read that may be a moment
 * old does while no mark waits and it says what the site was judged by so far. If not, it is read strongly.
 */
export function parametersReader(ledger: Pick<Ledger, 'adoptedParameters'>): ParametersReader {
  const read = async (strong: boolean) =>
    (await ledger.adoptedParameters({ strong }))?.parameters ?? defaultParameters
  return async ({ judgedBy, waits }) => {
    const known = await read(waits)
    const others = [...judgedBy].some((version) => version !== known.version)
    return others && !waits ? read(true) : known
  }
}

type ParametersArea = Pick<Ledger, 'putLearnt' | 'listLearnt' | 'adoptParameters' | 'adoptedParameters'>

/** Learnt parameters by version, and which of them is adopted. */
export function parametersArea(table: TableAccess): ParametersArea {
  return {
    async putLearnt(learnt) {
      await table.put(row(parametersKey(learnt.parameters.version), { d: learnt }))
    },
    async listLearnt() {
      const rows = await table.queryAll({ partition: PARAMETERS_PK })
      return rows
        .filter((r) => r.sk !== ADOPTED_KEY.sk)
        .map((r) => r.d as LearntVersion)
        .sort((a, b) => (a.learntAt < b.learntAt ? 1 : -1))
    },
    async adoptParameters(adoption) {
      if (!(await table.get(parametersKey(adoption.version)))) return false
      await table.put(row(ADOPTED_KEY, { d: adoption }))
      return true
    },
    async adoptedParameters(options = { strong: true }) {
      const adopted = (await table.get(ADOPTED_KEY, options))?.d as Adoption | undefined
      if (!adopted) return null
      // A version is stored before it is adopted and does not change.
      const [stored] = (await getCheaply(table, [parametersKey(adopted.version)])).values()
      return stored ? { adoption: adopted, parameters: (stored.d as LearntVersion).parameters } : null
    },
  }
}
