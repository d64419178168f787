/**
 * What the potential probe sees along the lead. Point source on two layers by the image series (IEEE 81, Sunde):
 * f(r) = 1/r · (1 + 2 Σ kⁿ / √(1 + (2nh/r)²)), k = (ρ2 − ρ1)/(ρ2 + ρ1); uniform soil is k = 0.
 */

export interface Soil {
  /** Upper layer, ohm-metre. */
  upperOhmM: number
  /** Below it, ohm-metre. */
  lowerOhmM: number
  /** Thickness of the upper layer, m. */
  depthM: number
}

/** Terms enough for |k| up to 0.8 to well under the display step. */
const IMAGES = 40

/** Potential kernel at distance r, 1/m: times ρ1/2π and the current it is volts. */
function kernelPerM(distanceM: number, soil: Soil): number {
  const k = (soil.lowerOhmM - soil.upperOhmM) / (soil.lowerOhmM + soil.upperOhmM)
  let sum = 0
  let kn = 1
  for (let n = 1; n <= IMAGES; n++) {
    kn *= k
    const ratio = (2 * n * soil.depthM) / distanceM
    sum += kn / Math.sqrt(1 + ratio * ratio)
  }
  return (1 + 2 * sum) / distanceM
}

export interface SetUp {
  currentProbeM: number
  /** Half the electrode's longest dimension, m: near the electrode a wide body is no point. */
  halfWidthM: number
  /** How far the electrical centre lies behind the point the tape starts from, m. */
  centreOffsetM: number
  leadAngleDeg: number
}

/**
 * Ratio of the reading at that probe distance to the true resistance, when the electrode's equivalent hemisphere has the
 * given radius: 1 − a·(f(x) + f(D) − f(D − x)). Never below 0.02.
 */
export function readingRatio(probeM: number, hemisphereM: number, setUp: SetUp, soil: Soil): number {
  const fromCentre = probeM + setUp.centreOffsetM
  const far = setUp.currentProbeM + setUp.centreOffsetM
  const angle = (setUp.leadAngleDeg * Math.PI) / 180
  const apart = Math.sqrt(fromCentre * fromCentre + far * far - 2 * fromCentre * far * Math.cos(angle))
  const softened = Math.sqrt(fromCentre * fromCentre + (setUp.halfWidthM * setUp.halfWidthM) / 4)
  const fall = kernelPerM(softened, soil) + kernelPerM(far, soil) - kernelPerM(apart, soil)
  return Math.max(0.02, 1 - hemisphereM * fall)
}
