import type { LayeredSoil } from '../../../shared-lib/earth/layered-soil.ts'
import { CannotRun } from '../exit-status.ts'

/** The soil that the options describe; null when they give none. Layers need all three numbers. */
export function soilOption(given: {
  soilOhmM: number | undefined
  lowerOhmM: number | undefined
  layerM: number | undefined
}): LayeredSoil | null {
  const { soilOhmM, lowerOhmM, layerM } = given
  if (lowerOhmM === undefined && layerM === undefined)
    return soilOhmM === undefined ? null : { upperOhmM: soilOhmM, lowerOhmM: null, depthM: null }
  if (soilOhmM === undefined || lowerOhmM === undefined || layerM === undefined)
    throw new CannotRun('Two layers need --soil-ohm-m, --lower-ohm-m and --layer-m together.')
  return { upperOhmM: soilOhmM, lowerOhmM, depthM: layerM }
}
