export { judgeByBooks } from '../../../shared-lib/ledger/judge-record.ts'
export {
  parseCalibration,
  parseElectrode,
  parseLimit,
  parseWork,
} from '../../../shared-lib/survey/schema.ts'
export { isMailAddress, mailChoiceSchema } from '../mail-choice-schema.ts'
export { readForm } from './surveys/read-form.ts'
