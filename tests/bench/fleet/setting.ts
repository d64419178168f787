/** What one invented operator is like. Rates are an electrode-year unless said otherwise; all sizes are natural logarithms. */
export interface FleetSetting {
  name: string
  sites: number
  years: number
  /** Electrodes a site, from and to; the number is drawn so that small sites are the commoner. */
  electrodes: readonly [number, number]
  /** Years between visits, from and to; each site has its own rhythm. */
  visitYears: readonly [number, number]
  /** How strongly soil resistivity follows moisture (exponent of the saturation), and cold. */
  moistureExponent: number
  winterC: number
  /** Departure of a site from its region: standard deviation and days it lasts. */
  siteWeatherSd: number
  siteWeatherDays: number
  /** Scatter between two surveys of the middling crew, and of one reading on a sheet. */
  noiseSd: number
  readingSd: number
  /** Harmless slow wander of an electrode, ln a root-year. */
  wander: number
  /** Spread of how an electrode follows the soil beyond what its depth gives. */
  followSd: number
  /** Share of electrodes of a stricken site that corrode together, and share of sites stricken. */
  together: number
  strickenSites: number
  breakRate: number
  corrosionRate: number
  parallelRate: number
  /** Instruments that go off, a year. */
  instrumentRate: number
}

const ORDINARY: FleetSetting = {
  name: 'ordinary',
  sites: 60,
  years: 14,
  electrodes: [1, 20],
  visitYears: [0.5, 2.5],
  moistureExponent: 0.5,
  winterC: 3,
  siteWeatherSd: 0.07,
  siteWeatherDays: 35,
  noiseSd: 0.05,
  readingSd: 0.01,
  wander: 0.008,
  followSd: 0.18,
  together: 0,
  strickenSites: 0,
  breakRate: 0.011,
  corrosionRate: 0.013,
  parallelRate: 0.008,
  instrumentRate: 0.06,
}

/** The settings of the printed table. None of them is a fleet of the kind the model's first beliefs came from. */
export const SETTINGS: Record<string, FleetSetting> = {
  ordinary: ORDINARY,
  /** Hard winters, deep dry summers, careful crews. */
  extreme: {
    ...ORDINARY,
    name: 'extreme',
    winterC: -5,
    moistureExponent: 0.75,
    noiseSd: 0.035,
    siteWeatherSd: 0.1,
  },
  /** One to three electrodes a site, seldom tested. */
  lonely: { ...ORDINARY, name: 'lonely', sites: 320, electrodes: [1, 3], visitYears: [0.6, 3] },
  /** One electrode a site. */
  single: { ...ORDINARY, name: 'single', sites: 500, electrodes: [1, 1], visitYears: [0.5, 2] },
  /** Rough practice: noise, wander and electrodes that follow the soil each in its own way. */
  rough: { ...ORDINARY, name: 'rough', noiseSd: 0.08, wander: 0.03, followSd: 0.3 },
  /** At a third of the sites half, or nearly all, electrodes corrode together. */
  half: { ...ORDINARY, name: 'half', electrodes: [4, 20], together: 0.5, strickenSites: 0.35 },
  most: { ...ORDINARY, name: 'most', electrodes: [4, 20], together: 0.9, strickenSites: 0.35 },
}
