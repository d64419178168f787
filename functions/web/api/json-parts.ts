import type { JsonProblem } from '../../../shared-lib/survey/schema.ts'
import type { ProblemPart } from '../problems.ts'
import { pointer } from './route.ts'

/** The problems of a survey or a register entry as parts of a problem document; `under` is where the entry stands in the body. */
export function jsonParts(
  problems: readonly JsonProblem[],
  under: readonly PropertyKey[] = [],
): ProblemPart[] {
  return problems.map(({ path, code, problem }) => ({
    pointer: pointer([...under, ...path]),
    code,
    detail: problem,
  }))
}
