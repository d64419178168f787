import type { Parameters } from '../history/assessment.ts'
import { defaultParameters } from '../history/parameters.ts'
import { ADOPTED_KEY, PARAMETERS_PK, parametersKey } from './keys.ts'
import type { Adoption, LearntVersion, Ledger } from './ledger.ts'
import { row } from './rows.ts'
import type { TableAccess } from './table-access.ts'

/** The parameters in force: what was adopted last, else the defaults. */
export const parametersInForce = async (ledger: Pick<Ledger, 'adoptedParameters'>): Promise<Parameters> =>
  (await ledger.adoptedParameters())?.parameters ?? defaultParameters

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
    async adoptedParameters() {
      const adopted = (await table.get(ADOPTED_KEY))?.d as Adoption | undefined
      if (!adopted) return null
      const stored = await table.get(parametersKey(adopted.version))
      return stored ? { adoption: adopted, parameters: (stored.d as LearntVersion).parameters } : null
    },
  }
}
