import type { FormState } from '../../pages/surveys/form-state.ts'
import type { TestKindName } from '../../pages/surveys/test-kinds.ts'
import type { FormProblem } from '../../pages/view/error-summary.ts'
import type { PhoneRegister } from '../phone/field-books.ts'

/** What can be done to the form on this page. */
export interface FieldForm {
  readonly state: FormState
  readonly register: PhoneRegister
  /** Reads the page, keeps it, judges it. */
  typed(): void
  /** Draws the whole form anew from a state: another kind of test, other units, problems to mend. */
  draw(change: { state?: FormState; problems?: FormProblem[]; notice?: string; focus?: string }): void
  showKind(kind: TestKindName): void
  /** Takes an electrode of the register and leads on; `typed`: the person is elsewhere already and stays there. */
  pick(electrodeId: string, typed?: boolean): void
  /** Asks the service for an electrode this phone does not know. */
  ask(electrodeId: string): Promise<void>
  check(): void
  handIn(): Promise<void>
  takeOver(): Promise<void>
  learn(register: PhoneRegister): void
}
