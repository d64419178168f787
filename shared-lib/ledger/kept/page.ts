export interface Page<T> {
  items: T[]
  /** Opaque; null when there is no more. */
  next: string | null
}

export interface PageRequest {
  limit?: number
  cursor?: string
}

export type WriteOutcome = 'created' | 'changed' | 'same'
