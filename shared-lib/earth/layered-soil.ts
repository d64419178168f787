import type { Soil } from './field/two-layer-soil.ts'

/** Soil as a person states it: one layer over another, or the same throughout (`lowerOhmM` and `depthM` null). */
export interface LayeredSoil {
  upperOhmM: number
  lowerOhmM: number | null
  /** Depth of the upper layer, m. */
  depthM: number | null
}

/** Two layers, or one where they do not differ. */
export function soilFrom(upperOhmM: number, lowerOhmM: number | null, depthM: number | null): LayeredSoil {
  return lowerOhmM === null || depthM === null || lowerOhmM === upperOhmM
    ? { upperOhmM, lowerOhmM: null, depthM: null }
    : { upperOhmM, lowerOhmM, depthM }
}

/** The same soil as the field calculation wants it; null when a number of it is not positive and finite. */
export function fieldSoil({ upperOhmM, lowerOhmM, depthM }: LayeredSoil): Soil | null {
  const fine = (value: number): boolean => value > 0 && value < 1e9
  if (!fine(upperOhmM)) return null
  if (lowerOhmM === null || depthM === null) return { upperOhmM, contrast: 0, depthM: 1 }
  if (!fine(lowerOhmM) || !(depthM > 1e-3 && depthM < 1e6)) return null
  return { upperOhmM, contrast: (lowerOhmM - upperOhmM) / (lowerOhmM + upperOhmM), depthM }
}
