export {
  parseCalibration,
  parseElectrode,
  parseLimit,
  parseWork,
} from '../../../shared-lib/survey/schema.ts'
export { readForm } from './surveys/read-form.ts'
