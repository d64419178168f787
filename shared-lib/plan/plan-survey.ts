import { electrodeShape } from '../earth/electrode-shape.ts'
import { electrodeSizeM } from '../earth/electrode-size.ts'
import { expectedInSoil } from '../earth/expected-in-soil.ts'
import { fieldSoil, type LayeredSoil } from '../earth/layered-soil.ts'
import type { Electrode } from '../survey/register.ts'
import { type LayOut, layOuts, rightPlacePercent, type Stake, tenth } from './lay-outs.ts'
import { PLAN_CAUTIONS } from './plan-cautions.ts'

/** What is known when a survey is planned: the electrode's kind and dimensions, and how far one can go. */
export interface PlanRequest
  extends Pick<
    Electrode,
    'kind' | 'lengthM' | 'diameterMm' | 'diagonalM' | 'areaM2' | 'count' | 'spacingM' | 'burialDepthM'
  > {
  /** The longest straight line from the electrode on which stakes can stand, m. Absent: there is room. */
  roomM?: number
  /** What a soil survey found; absent: any soil. */
  soil?: LayeredSoil
}

export interface SurveyPlan {
  ok: true
  /** The dimension that rules the distances, m. */
  sizeM: number
  currentProbeM: number
  /** currentProbeM / sizeM. */
  timesSize: number
  /** What would do if there were room, m; equal to currentProbeM when there is. */
  wantedCurrentProbeM: number
  /** The short survey serves at the advised distance; nearer, only the full one does. */
  advised: 'short' | 'full' | 'another-method'
  short: Stake[]
  full: Stake[]
  /** Every way to set the stakes in this room, the least doubtful first, each with the doubt (k = 2, %) of the lay-out by itself. */
  layOuts: LayOut[]
  /** The least doubt that there would be with the wanted room, %: what the missing room costs is the difference. */
  wantedDoubtPercent: number
  /** Where on the straight line the reading is right, % of the distance, in the soil given or else in even soil; absent when nowhere. */
  rightPlacePercent?: number
  /** Repeat with the line turned: a different result shows something buried beside one of the lines. */
  secondDirection: { turnDeg: 90; needed: boolean; words: string }
  /** What the electrode should read in the soil given, with its relative standard uncertainty by the formula. */
  expected?: { resistanceOhm: number; formula: string; relativeDoubt: number }
  /** Lead lengths to bring, m, with a tenth to spare. */
  leads: { currentM: number; potentialM: number; earthM: number }
  /** In the order a person would do them. */
  advice: string[]
  cautions: string[]
  /** Where the distances come from. */
  basis: string
}

export interface NoPlan {
  ok: false
  problem: string
}

/** Times the electrode's size: to aim at, to accept as it is, the least that a full survey can mend. Common practice, no source. */
const AIM = 10
const ADVISED = 8
const FULL_ONLY = 3

/**
 * Stake distances, leads and cautions for a fall-of-potential survey in a straight line. Common practice, no source: current probe at ten
 * times the driven depth or longest dimension (eight at least), readings at 52, 62, 72 % (short) or every 10 % (full).
 * A request without usable dimensions answers with what is missing.
 */
export function planSurvey(request: PlanRequest): SurveyPlan | NoPlan {
  const { roomM, soil, ...dimensions } = request
  const electrode: Electrode = { electrodeId: '', siteId: '', ...dimensions }
  const sizeM = electrodeSizeM(electrode)
  if (sizeM === null || !(sizeM < 1e4))
    return {
      ok: false,
      problem: `The plan needs the electrode's size: ${request.kind === 'rod' ? 'the driven depth of the rod' : 'its longest dimension'} in metres.`,
    }
  if (roomM !== undefined && !(roomM > 0 && roomM < 1e5))
    return { ok: false, problem: 'The room must be a distance in metres above zero.' }
  if (soil && !fieldSoil(soil))
    return {
      ok: false,
      problem: 'The soil needs resistivities in ohm-m and a depth in metres, all above zero.',
    }
  const shape = electrodeShape(electrode)
  const wantedCurrentProbeM = tenth(AIM * sizeM)
  const currentProbeM =
    roomM === undefined ? wantedCurrentProbeM : Math.min(wantedCurrentProbeM, tenth(roomM))
  const timesSize = currentProbeM / sizeM
  const advised = timesSize >= ADVISED ? 'short' : timesSize >= FULL_ONLY ? 'full' : 'another-method'
  // An electrode or a room of some centimetres leaves no distance to set a stake at.
  if (!shape || !(currentProbeM > 0))
    return { ok: false, problem: 'There is no room to set a stake: give sizes and room in metres.' }
  const ways = layOuts(shape, currentProbeM, soil ?? null)
  const withRoom = layOuts(shape, wantedCurrentProbeM, soil ?? null)
  const rightPlace = rightPlacePercent(shape, currentProbeM, soil ?? null)
  const expected = soil ? expectedInSoil(electrode, soil) : null
  const at = (percent: number): Stake => ({ percent, distanceM: tenth((percent / 100) * currentProbeM) })
  return {
    ok: true,
    sizeM,
    currentProbeM,
    timesSize,
    wantedCurrentProbeM,
    advised,
    short: [52, 62, 72].map(at),
    full: [10, 20, 30, 40, 50, 60, 70, 80, 90].map(at),
    layOuts: ways,
    wantedDoubtPercent: withRoom[0]?.doubtPercent ?? 999,
    ...(rightPlace === null ? {} : { rightPlacePercent: rightPlace }),
    secondDirection: secondDirection(advised),
    ...(expected ? { expected } : {}),
    leads: {
      currentM: Math.ceil(1.1 * currentProbeM),
      potentialM: Math.ceil(1.1 * 0.9 * currentProbeM),
      earthM: 5,
    },
    advice: adviceFor(advised, sizeM, wantedCurrentProbeM),
    cautions: [...PLAN_CAUTIONS],
    basis: 'Common practice, no source: 8 to 10 times the driven depth or the longest dimension.',
  }
}

function secondDirection(advised: SurveyPlan['advised']): SurveyPlan['secondDirection'] {
  const words =
    'Turn the whole line by 90 degrees and repeat at the same distances. Results that agree show that nothing buried runs along either line; if they differ, believe neither and look for pipes, cables and fences.'
  return { turnDeg: 90, needed: advised !== 'short', words }
}

function adviceFor(advised: SurveyPlan['advised'], sizeM: number, wantedM: number): string[] {
  const always = [
    'Lay both leads in one straight line, away from pipes, cables and fences.',
    'Measure every distance from the same point of the electrode and record which point that was.',
    'Record what is connected, the instrument, the soil and the weather before the stakes are pulled.',
  ]
  if (advised === 'short')
    return [...always, 'Repeat with the line turned by 90 degrees if the readings differ by more than 5 %.']
  const near = `There is less room than the ${Math.ceil(wantedM)} m that would do`
  if (advised === 'full')
    return [
      `${near}: take the full survey every 10 %, so that the curve itself can be judged.`,
      ...always,
      'Repeat with the line turned by 90 degrees and compare.',
    ]
  return [
    `${near}, and under ${Math.ceil(FULL_ONLY * sizeM)} m the two earths overlap: look for a longer line in another direction, or use a method that leaves the earth closed.`,
    ...always,
  ]
}
