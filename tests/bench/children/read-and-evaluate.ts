/** Reads, validates and evaluates every survey of a file, no history: node read-and-evaluate.ts REGISTER FILE. Prints the count. */
import { createReadStream, readFileSync } from 'node:fs'
import { evaluateSurvey } from '../../../shared-lib/evaluate/evaluate-survey.ts'
import { contextInForce } from '../../../shared-lib/evaluate/in-force.ts'
import { readElectrodes } from '../../../shared-lib/survey/read-register.ts'
import { readSurveys } from '../../../shared-lib/survey/read-surveys.ts'
import { scanSurveyFile } from '../../../shared-lib/survey/scan.ts'

const [registerFile, surveysFile] = process.argv.slice(2)
const register = await readElectrodes(readFileSync(registerFile!, 'utf8'))
const electrodes = new Map(register.items.map((electrode) => [electrode.electrodeId, electrode]))
const open = () => createReadStream(surveysFile!)
const scanned = await scanSurveyFile(open, {})
if (!scanned.ok) throw new Error(scanned.refused.problem)
let surveys = 0
let valid = 0
for await (const entry of readSurveys(open, scanned.plan, {})) {
  if (entry.kind !== 'survey') throw new Error(entry.problem)
  const electrode = electrodes.get(entry.survey.electrodeId ?? '')
  const context =
    electrode &&
    contextInForce(entry.survey, { versions: [{ from: '', electrode }], limits: [], calibrations: [] })
  if (!context) throw new Error(`${entry.survey.electrodeId} is not in the register`)
  surveys++
  if (evaluateSurvey(entry.survey, context).validity === 'valid') valid++
}
console.log(JSON.stringify({ surveys, valid }))
