/** What was planted, for one survey; the form of the fleets with known truth. */
export interface Truth {
  ref: string
  electrode: string
  day: number
  instrument: string
  campaign: number
  /** Earlier surveys of the electrode. */
  nPrior: number
  /** The survey before had a one-off error, or a lasting change ended since the survey before the last. */
  afterOneOff: boolean
  drought: boolean
  /** ln rise by corrosion. */
  rise: number
  /** First survey after recorded work. */
  worked: boolean
  labels: Label[]
}

export type Planted =
  | 'break'
  | 'parallel'
  | 'parallelOnce'
  | 'repair'
  | 'repairRecorded'
  | 'corrosion'
  | 'decimal'
  | 'unit'
  | 'copied'
  | 'wrongid'
  | 'tooclose'
  | 'order'
  | 'instrument'

/** `k`: how many surveys of the electrode (for an instrument: visits) since it began; `ev` names the event. */
export interface Label {
  type: Planted
  k: number
  size: number
  ev: number
}

export const ONE_OFF: ReadonlySet<Planted> = new Set<Planted>([
  'parallelOnce',
  'decimal',
  'unit',
  'copied',
  'wrongid',
  'tooclose',
  'order',
])
