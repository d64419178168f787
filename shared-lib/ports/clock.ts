/** The clock port: logic never reads the time itself. */
export interface Clock {
  nowMs(): number
}
