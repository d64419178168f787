import type { EvaluationContext } from '../../../../shared-lib/evaluate/evaluation.ts'
import { contextInForce } from '../../../../shared-lib/evaluate/in-force.ts'
import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import { type Survey, subjectOf } from '../../../../shared-lib/survey/survey.ts'
import { allBooks, putBooks, removeBooks, type SiteBooks } from './store.ts'

/** A crew's sites are few and are all kept; who sees a whole fleet keeps the sites he asks for. */
const MOST_SITES_BY_THEMSELVES = 12
const FRESH_MS = 6 * 3_600_000

/** The register as far as this phone has it. */
export interface PhoneRegister {
  sites: SiteBooks[]
  /** By id, or by a tag that only one electrode has. */
  find(typed: string): Electrode | null
  /** Up to `most` electrodes whose id, tag, site or place holds what is typed; the best match first. */
  search(typed: string, most: number): Electrode[]
  /** What a survey is judged by. An electrode that is not known here is judged as one of unknown kind: `known` is false then. */
  contextFor(survey: Survey): { context: EvaluationContext; known: boolean }
}

function phoneRegister(sites: SiteBooks[]): PhoneRegister {
  const electrodes = sites.flatMap((s) => s.electrodes)
  const byId = new Map(electrodes.map((e) => [e.electrodeId, e]))
  const find = (typed: string) => {
    const text = typed.trim()
    const exact = byId.get(text)
    if (exact || text === '') return exact ?? null
    const wanted = text.toLowerCase()
    const same = electrodes.filter((e) => e.electrodeId.toLowerCase() === wanted)
    const tagged = same.length > 0 ? same : electrodes.filter((e) => e.tag?.toLowerCase() === wanted)
    return tagged.length === 1 ? tagged[0]! : null
  }
  return {
    sites,
    find,
    search(typed, most) {
      const words = typed.toLowerCase().split(/\s+/).filter(Boolean)
      const told = (e: Electrode) =>
        `${e.electrodeId} ${e.tag ?? ''} ${e.siteId} ${e.locationText ?? ''}`.toLowerCase()
      return electrodes
        .filter((e) => words.every((w) => told(e).includes(w)))
        .sort((a, b) => rank(a, words) - rank(b, words) || (a.electrodeId < b.electrodeId ? -1 : 1))
        .slice(0, most)
    },
    contextFor(survey) {
      const subject = subjectOf(survey)
      const electrode = subject?.kind === 'electrode' ? (byId.get(subject.id) ?? null) : null
      const site = sites.find((s) => s.siteId === (electrode?.siteId ?? survey.siteId))
      const stranger: Electrode = {
        electrodeId: subject?.kind === 'electrode' ? subject.id : '',
        siteId: survey.siteId ?? '',
        kind: 'other',
      }
      const books = {
        versions: [{ from: '', electrode: electrode ?? stranger }],
        limits: (site?.limits ?? []).filter((l) => l.electrodeId === electrode?.electrodeId),
        calibrations: (site ?? sites[0])?.calibrations ?? [],
        ...(electrode !== null && site?.soil ? { siteSoil: site.soil } : {}),
      }
      // Books with one version always have one in force.
      return { context: contextInForce(survey, books, Date.now())!, known: electrode !== null }
    },
  }
}

const rank = (e: Electrode, [first = '']: string[]): number =>
  e.electrodeId.toLowerCase().startsWith(first) || e.tag?.toLowerCase() === first ? 0 : 1

/** What this phone holds now. */
export async function keptRegister(personId: string): Promise<PhoneRegister> {
  return phoneRegister(await allBooks(personId))
}

async function fetchJson(address: string): Promise<unknown> {
  const answer = await fetch(address, { headers: { Accept: 'application/json' }, redirect: 'error' })
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`)
  return answer.json()
}

/** Fetches one site, or the site of an electrode. @throws without a network, or when it is not this person's */
export async function fetchSite(
  which: { site: string } | { electrode: string },
  personId: string,
): Promise<void> {
  const books = (await fetchJson(`/api/field-books?${new URLSearchParams(which)}`)) as SiteBooks
  if (!Array.isArray(books.electrodes)) throw new Error('not the register')
  const { siteId, electrodes, limits, calibrations, soil } = books
  await putBooks({
    siteId,
    personId,
    fetchedAtMs: Date.now(),
    electrodes,
    limits,
    calibrations,
    ...(soil === undefined ? {} : { soil }),
  })
}

/**
 * Brings the register up to date where it is older than a few hours: the person's sites when they are few, else those kept so far.
 * Without a network nothing changes. Resolves to true when something new is there.
 */
export async function refreshRegister(personId: string): Promise<boolean> {
  try {
    const { items } = (await fetchJson('/api/sites')) as { items: { siteId: string }[] }
    const seen = new Set(items.map((s) => s.siteId))
    const kept = await allBooks(personId)
    for (const { siteId } of kept) if (!seen.has(siteId)) await removeBooks(siteId)
    const wanted =
      seen.size <= MOST_SITES_BY_THEMSELVES ? [...seen] : kept.map((s) => s.siteId).filter((s) => seen.has(s))
    const old = wanted.filter((siteId) => {
      const has = kept.find((s) => s.siteId === siteId)
      return !has || Date.now() - has.fetchedAtMs > FRESH_MS
    })
    for (const siteId of old) await fetchSite({ site: siteId }, personId)
    return old.length > 0
  } catch {
    return false
  }
}
