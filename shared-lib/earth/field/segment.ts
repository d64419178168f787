/** A straight piece of conductor; z is depth, positive downwards. */
export interface Segment {
  from: Point
  to: Point
  radiusM: number
}

export interface Point {
  x: number
  y: number
  z: number
}
