/** Acceptance limits of the invented operator's own invented rule book. */
import type { Electrode, ElectrodeKind, Limit } from '../../shared-lib/survey/register.ts'

const STEPS_OHM = [0.5, 1, 2, 4, 5, 8, 10, 15, 20, 25, 30, 40, 50, 70, 100, 150, 200] as const

/** The first step that leaves room for an ordinary dry season above the electrode's level. */
export function limitFor(levelOhm: number): number {
  return STEPS_OHM.find((step) => step >= levelOhm * 1.6) ?? 200
}

const BASES: Record<ElectrodeKind, string> = {
  rod: 'Ulmarrow rule E-4 (invented): supply earth',
  'rod-group': 'Ulmarrow rule E-5 (invented): neutral earth',
  ring: 'Ulmarrow rule E-2 (invented): lightning protection',
  grid: 'Ulmarrow rule E-1 (invented): station',
  plate: 'Ulmarrow rule E-6 (invented): static discharge',
  foundation: 'Ulmarrow rule E-3 (invented): building earth',
  wire: 'Ulmarrow rule E-7 (invented): telecom earth',
  'tower-footing': 'Ulmarrow rule E-8 (invented): line support',
  other: 'Ulmarrow rule E-9 (invented): agreed for this electrode',
}

export function basisFor(kind: ElectrodeKind): string {
  return BASES[kind]
}

const PURPOSES: Record<ElectrodeKind, string> = {
  rod: 'protective',
  'rod-group': 'neutral',
  ring: 'lightning',
  grid: 'station',
  plate: 'static',
  foundation: 'lightning',
  wire: 'telecom',
  'tower-footing': 'lightning',
  other: 'protective',
}

const EDITIONS = { old: '2014', now: '2021' } as const

function limitsOf(of: Electrode, number: number): Limit[] {
  const limitOhm = of.limitOhm
  if (limitOhm === undefined) return []
  const plain: Limit = {
    electrodeId: of.electrodeId,
    purpose: PURPOSES[of.kind],
    limitOhm,
    appliesTo: 'electrode-alone',
    basis: basisFor(of.kind),
    edition: EDITIONS.old,
    validFrom: '2015-01-01',
  }
  // A system in service reads far below any one of its electrodes: its own limit.
  if (of.canBeIsolated === 'no')
    return [{ ...plain, appliesTo: 'connected', limitOhm: Math.max(0.5, limitOhm) }]
  if (number % 6 === 1) return [plain]
  // Tests in the wet half of the year are held against a value the dry half is to meet.
  if (number % 6 === 4) return [{ ...plain, seasonFactor: 1.2 }]
  return []
}

/** The limits table. `DEMO-BEL-11` has one that was tightened in 2022; bonding limits serve the two-point tests. */
export function limitsTable(electrodes: readonly Electrode[]): Limit[] {
  const byKind = electrodes.flatMap((of) => limitsOf(of, Number(of.electrodeId.slice(-2))))
  const changed = electrodes.find((of) => of.electrodeId === 'DEMO-BEL-11')
  const telecom = (limitOhm: number, edition: string, validFrom: string): Limit[] =>
    changed
      ? [
          {
            electrodeId: changed.electrodeId,
            purpose: 'telecom',
            limitOhm,
            appliesTo: 'electrode-alone',
            basis: basisFor('wire'),
            edition,
            validFrom,
          },
        ]
      : []
  const bonding = ['DEMO-ARN-01', 'DEMO-DUN-01', 'DEMO-HAT-13'].map(
    (electrodeId): Limit => ({
      electrodeId,
      purpose: 'bonding',
      limitOhm: 0.1,
      basis: 'Ulmarrow rule B-1 (invented): bond, point to point',
      edition: EDITIONS.now,
      validFrom: '2016-01-01',
    }),
  )
  return [
    ...byKind,
    ...telecom(20, EDITIONS.old, '2015-01-01'),
    ...telecom(10, EDITIONS.now, '2022-01-01'),
    ...bonding,
  ]
}
