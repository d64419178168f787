import { electrodeSizeM } from '../earth/electrode-size.ts'
import type { Electrode } from '../survey/register.ts'
import { PLAN_CAUTIONS } from './plan-cautions.ts'

/** What is known when a survey is planned: the electrode's kind and dimensions, and how far one can go. */
export interface PlanRequest
  extends Pick<Electrode, 'kind' | 'lengthM' | 'diagonalM' | 'areaM2' | 'count' | 'spacingM'> {
  /** The longest straight line from the electrode on which stakes can stand, m. Absent: there is room. */
  roomM?: number
}

export interface Stake {
  percent: number
  distanceM: number
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
  const { roomM, ...dimensions } = request
  const sizeM = electrodeSizeM({ electrodeId: '', siteId: '', ...dimensions })
  if (sizeM === null || !(sizeM < 1e4))
    return {
      ok: false,
      problem: `The plan needs the electrode's size: ${request.kind === 'rod' ? 'the driven depth of the rod' : 'its longest dimension'} in metres.`,
    }
  if (roomM !== undefined && !(roomM > 0 && roomM < 1e5))
    return { ok: false, problem: 'The room must be a distance in metres above zero.' }
  const wantedCurrentProbeM = tenth(AIM * sizeM)
  const currentProbeM =
    roomM === undefined ? wantedCurrentProbeM : Math.min(wantedCurrentProbeM, tenth(roomM))
  const timesSize = currentProbeM / sizeM
  const advised = timesSize >= ADVISED ? 'short' : timesSize >= FULL_ONLY ? 'full' : 'another-method'
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

/** Distances to a tenth of a metre: nobody sets a stake better. */
const tenth = (value: number): number => Math.round(value * 10) / 10
