import { plural } from '../../pages/view/format.ts'
import { type Html, html, nothing } from '../../pages/view/html.ts'
import { fetchSite, refreshRegister } from './field-books.ts'
import { editRecord, type FieldRecord, newRef, type Owner } from './field-record.ts'
import { clockTime, saidWords, stateBadge, subjectWords } from './record-words.ts'
import { saveCopy } from './save-copy.ts'
import { sendWaiting } from './sender.ts'
import {
  allBooks,
  allRecords,
  changeRecord,
  getRecord,
  onRecordsChanged,
  putRecord,
  removeRecord,
} from './store.ts'

/** The page "On this phone": every survey kept here with its state, and the sites that work without a network. */
export async function showPhonePage(person: Owner): Promise<void> {
  const place = document.querySelector<HTMLElement>('#on-this-phone')!
  const draw = async () => {
    const focused = document.activeElement?.id
    place.innerHTML = String(page(await allRecords(), await allBooks(person.id), person))
    if (focused) document.getElementById(focused)?.focus()
  }
  onRecordsChanged(() => void draw())
  place.addEventListener('click', (event) => {
    const button = (event.target as Element).closest<HTMLButtonElement>('button[data-do]')
    if (button) void act(button.dataset.do!, button.dataset.ref ?? '', person).then(draw)
  })
  place.addEventListener('submit', (event) => {
    event.preventDefault()
    const site = new FormData(event.target as HTMLFormElement).get('site')
    void keepSite(String(site ?? '').trim(), person, place).then(draw)
  })
  await draw()
  if (await refreshRegister(person.id)) await draw()
}

async function act(what: string, ref: string, person: Owner): Promise<void> {
  const record = await getRecord(ref)
  if (what === 'send-all') return sendWaiting(person.id, 'hand')
  if (!record) return
  switch (what) {
    case 'send':
      await changeRecord(ref, (r) => (r.state === 'refused' ? { ...r, state: 'waiting' } : null))
      return sendWaiting(person.id, 'hand')
    case 'edit': {
      const edited = await openForEditing(ref)
      if (!edited) return
      location.href = `/surveys/new?draft=${encodeURIComponent(edited.ref)}`
      return
    }
    case 'copy': {
      return saveCopy(record)
    }
    case 'delete':
      if (confirm(deleteWords(record))) await removeRecord(ref)
  }
}

/** The draft to go on with; decided while the record is locked, because the sender may be at it. */
async function openForEditing(ref: string): Promise<FieldRecord | null> {
  let edited: FieldRecord | null = null
  await changeRecord(ref, (record) => {
    edited = editRecord(record, newRef(), Date.now())
    return edited.ref === ref ? edited : null
  })
  const draft = edited as FieldRecord | null
  if (draft && draft.ref !== ref) await putRecord(draft)
  return draft
}

function deleteWords(record: FieldRecord): string {
  return record.state === 'received'
    ? 'The service has this survey. Remove the copy on this phone?'
    : 'This survey is nowhere but on this phone. Delete it for good?'
}

async function keepSite(siteId: string, person: Owner, place: HTMLElement): Promise<void> {
  if (siteId === '') return
  try {
    await fetchSite({ site: siteId }, person.id)
  } catch {
    const said = place.querySelector('#site-said')
    if (said)
      said.textContent = `Site ${siteId} could not be fetched: no connection, or not one of your sites.`
    await new Promise((done) => setTimeout(done, 4000))
  }
}

type Books = Awaited<ReturnType<typeof allBooks>>

function page(records: readonly FieldRecord[], books: Books, person: Owner): Html {
  const mine = records.filter((r) => r.personId === person.id).sort((a, b) => b.startedAtMs - a.startedAtMs)
  const others = records.filter((r) => r.personId !== person.id && r.state !== 'received')
  const unsent = mine.filter((r) => r.state !== 'received')
  const received = mine.filter((r) => r.state === 'received')
  const waiting = unsent.some((r) => r.state === 'waiting')
  return html`${
    unsent.length === 0
      ? html`<p class="empty">Everything is sent.</p>`
      : html`<h2>Not sent (${unsent.length})</h2>${waiting ? html`<p class="actions"><button class="main" type="button" data-do="send-all" id="send-all">Send now</button></p>` : nothing}<ul class="kept-list">${unsent.map(entry)}</ul>`
  }
${
  others.length === 0
    ? nothing
    : html`<h2>Of somebody else (${others.length})</h2><p>Made by ${[...new Set(others.map((r) => r.personName))].join(', ')} on this phone. They are sent when that person is signed in here; you can save a copy.</p><ul class="kept-list">${others.map(foreign)}</ul>`
}
${received.length === 0 ? nothing : html`<h2>Received (${received.length})</h2><p class="hint">Copies stay here for 30 days.</p><ul class="kept-list">${received.map(entry)}</ul>`}
<h2>Sites that work without a network</h2>
${
  books.length === 0
    ? html`<p>None yet.</p>`
    : html`<ul>${books.map((b) => html`<li>${b.siteId}: ${plural(b.electrodes.length, 'electrode')}, as of ${clockTime(b.fetchedAtMs)}</li>`)}</ul>`
}
<form class="find"><div class="control"><label for="site">Keep another site</label><input type="text" id="site" name="site" autocomplete="off"></div><button type="submit">Keep it</button></form><p id="site-said" role="status"></p>`
}

function entry(record: FieldRecord): Html {
  const { state, ref, receipt } = record
  const started = clockTime(record.startedAtMs)
  const button = (what: string, words: string, look = '') =>
    html`<button type="button" class="${look}" data-do="${what}" data-ref="${ref}" id="${what}-${ref}">${words}</button>`
  return html`<li class="sheet"><p>${stateBadge(record)}</p><p><strong>${subjectWords(record)}</strong>, ${state === 'draft' ? `started ${started}` : `${ref}, started ${started}`}</p>${saidWords(record)}
<p class="actions">${state === 'draft' ? html`<a class="button main" href="/surveys/new?draft=${encodeURIComponent(ref)}">Go on</a>` : nothing}${state === 'received' && receipt?.address ? html`<a class="button" href="${receipt.address}">See it</a>` : nothing}${state === 'waiting' ? button('send', 'Send now') : nothing}${state === 'refused' ? button('send', 'Send again') : nothing}${state === 'waiting' || state === 'refused' ? button('edit', 'Edit') : nothing}${state === 'received' ? button('edit', 'Correct') : nothing}${button('copy', 'Save a copy')}${state === 'sending' ? nothing : button('delete', 'Delete')}</p></li>`
}

function foreign(record: FieldRecord): Html {
  return html`<li class="sheet"><p>${stateBadge(record)}</p><p><strong>${subjectWords(record)}</strong>, by ${record.personName}, started ${clockTime(record.startedAtMs)}</p><p class="actions"><button type="button" data-do="copy" data-ref="${record.ref}">Save a copy</button></p></li>`
}
