import { type ElectrodeShape, formDoubt, relativeStrengthM, strengthDoubt } from '../earth/electrode-shape.ts'
import { probeToProbeM } from '../earth/fall-of-potential.ts'
import { layerTermsPerM, type SoilGuess } from '../earth/layered-line.ts'

/** Where the probes stand, and from where the tape may have been laid. */
export interface LineGeometry {
  potentialProbeM: readonly number[]
  currentProbeM: number
  angleDeg: number
  origins: ElectrodeShape['origins']
}

/**
 * R(x) = R (1 − s F(x)) for every soil and origin that is tried: all that does not depend on the readings, so that it serves every survey
 * with the same stakes. `fall` and `own` hold one row of `positions` numbers a model.
 */
export interface LineModels {
  count: number
  positions: number
  /** s F. */
  fall: Float64Array
  /** Variance of a reading, of R², by the places of the stakes and the electrode's form near by. */
  own: Float64Array
  /** 1/(relative doubt of s)². */
  strengthWeight: Float64Array
  /** ln of the belief beforehand. */
  logPrior: Float64Array
  /** ln of the upper layer's resistivity over which the electrode would have 1 ohm, less that of the expected topsoil. */
  lnUpperOff: Float64Array
  /** 1/(2 sd²) of the expected topsoil, in ln. */
  topsoilWeight: Float64Array
  uniform: Uint8Array
}

/** Stakes stand where the record says within this, m (standard deviation). Our own estimate, no source. */
const STAKE_M = 0.1

/**
 * Topsoil where nobody measured it: about 110 ohm-m within a factor of 3.3 (one standard deviation, in ln), which spans the rows from
 * humus to sand of IEC 60364-5-54 Table D.54.1 (from memory). A very high reading is therefore rather rock below than a topsoil of rock.
 */
const TOPSOIL_LN_OHM_M = Math.log(110)
const TOPSOIL_LN_DOUBT = 1.2

/** Models worked out last, newest overwriting oldest: an electrode is mostly measured with the stakes where they stood before. */
const kept: Kept[] = []
const MOST_KEPT = 96
let next = 0

interface Kept {
  shape: ElectrodeShape
  soils: readonly SoilGuess[]
  geometry: LineGeometry
  models: LineModels
}

/**
 * Every soil at every origin for these stakes. The answer is shared by all lines alike and written over after `MOST_KEPT` others (a
 * judgement makes one to six of them): it is to be read only, and at once.
 */
export function lineModels(
  shape: ElectrodeShape,
  soils: readonly SoilGuess[],
  geometry: LineGeometry,
): LineModels {
  for (const known of kept)
    if (known.shape === shape && known.soils === soils && alike(known.geometry, geometry)) return known.models
  const models = workedOut(shape, soils, geometry, kept[next]?.models)
  kept[next] = { shape, soils, geometry, models }
  next = (next + 1) % MOST_KEPT
  return models
}

function alike(a: LineGeometry, b: LineGeometry): boolean {
  return (
    a.currentProbeM === b.currentProbeM &&
    a.angleDeg === b.angleDeg &&
    a.potentialProbeM.length === b.potentialProbeM.length &&
    a.potentialProbeM.every((distanceM, i) => distanceM === b.potentialProbeM[i]) &&
    a.origins.length === b.origins.length &&
    a.origins.every(({ offsetM, weight }, i) => {
      const other = b.origins[i]!
      return offsetM === other.offsetM && weight === other.weight
    })
  )
}

/** `room` is no longer needed, and its arrays are used again where they are large enough: fresh ones would cost more than the physics. */
function workedOut(
  shape: ElectrodeShape,
  soils: readonly SoilGuess[],
  { potentialProbeM, currentProbeM, angleDeg, origins }: LineGeometry,
  room: LineModels | undefined,
): LineModels {
  const n = potentialProbeM.length
  const count = soils.length * origins.length
  const models = emptyModels(count, n, room)
  const onShape = soilsOnShape(shape, soils)
  const distances = new Array<number>(1 + 2 * n).fill(0)
  const logs = new Array<number>(1 + 2 * n).fill(0)
  const bare = new Array<number>(n).fill(0)
  const stake = new Array<number>(n).fill(0)
  const form = new Array<number>(n).fill(0)
  if (layers.length < 1 + 2 * n) layers = new Float64Array(1 + 2 * n)
  let m = 0
  for (const { offsetM, weight } of origins) {
    const far = currentProbeM + offsetM
    distances[0] = far
    for (let i = 0; i < n; i++) {
      const r = potentialProbeM[i]! + offsetM
      const d = Math.max(1e-6, probeToProbeM(r, far, angleDeg))
      distances[1 + i] = r
      distances[1 + n + i] = d
      stake[i] = STAKE_M * (1 / (r * r) + 1 / (d * d))
      form[i] = (shape.sizeM * shape.sizeM) / (r * r * r)
      bare[i] = shape.surfaceTermPerM(r) - 1 / d
    }
    for (let j = 0; j < logs.length; j++) logs[j] = Math.log(distances[j]!)
    const bareFar = shape.surfaceTermPerM(far)
    const lnWeight = Math.log(weight)
    for (let k = 0; k < soils.length; k++, m++) {
      const soil = soils[k]!
      const on = onShape[k]!
      models.strengthWeight[m] = on.strengthWeight
      models.logPrior[m] = lnWeight + on.logPrior
      models.lnUpperOff[m] = on.lnUpperOff
      models.topsoilWeight[m] = on.topsoilWeight
      models.uniform[m] = soil.contrast === 0 ? 1 : 0
      layerTermsPerM(distances, logs, soil, layers)
      const common = bareFar + layers[0]!
      for (let i = 0; i < n; i++) {
        models.fall[m * n + i] = on.strengthM * (common + bare[i]! + layers[1 + i]! - layers[1 + n + i]!)
        const moved = on.strengthM * stake[i]!
        const formed = on.strengthM * on.formDoubt * form[i]!
        models.own[m * n + i] = moved * moved + formed * formed
      }
    }
  }
  return models
}

let layers = new Float64Array(0)

function emptyModels(count: number, n: number, room: LineModels | undefined): LineModels {
  if (room && room.logPrior.length >= count && room.fall.length >= count * n)
    return Object.assign(room, { count, positions: n })
  return {
    count,
    positions: n,
    fall: new Float64Array(count * n),
    own: new Float64Array(count * n),
    strengthWeight: new Float64Array(count),
    logPrior: new Float64Array(count),
    lnUpperOff: new Float64Array(count),
    topsoilWeight: new Float64Array(count),
    uniform: new Uint8Array(count),
  }
}

interface SoilOnShape {
  strengthM: number
  formDoubt: number
  strengthWeight: number
  logPrior: number
  lnUpperOff: number
  topsoilWeight: number
}
const worked = new WeakMap<ElectrodeShape, WeakMap<readonly SoilGuess[], SoilOnShape[]>>()

/** What the soils make of a shape, worked out once for each pair of objects. */
function soilsOnShape(shape: ElectrodeShape, soils: readonly SoilGuess[]): SoilOnShape[] {
  const ofShape = worked.get(shape) ?? new WeakMap<readonly SoilGuess[], SoilOnShape[]>()
  worked.set(shape, ofShape)
  const known = ofShape.get(soils)
  if (known) return known
  const fresh = soils.map((soil) => {
    const strengthM = relativeStrengthM(shape, soil)
    return {
      strengthM,
      formDoubt: formDoubt(shape, soil),
      strengthWeight: 1 / strengthDoubt(shape, soil) ** 2,
      logPrior: strengthM > 0 ? Math.log(soil.weight) : Number.NEGATIVE_INFINITY,
      lnUpperOff: Math.log(2 * Math.PI * strengthM) - (soil.lnUpperOhmM ?? TOPSOIL_LN_OHM_M),
      topsoilWeight: 0.5 / (soil.lnUpperDoubt ?? TOPSOIL_LN_DOUBT) ** 2,
    }
  })
  ofShape.set(soils, fresh)
  return fresh
}
