/** Lets the form open without a network from now on. A browser without service workers simply needs the network. */
export async function registerWorker(): Promise<void> {
  if (!('serviceWorker' in navigator)) return
  try {
    await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' })
  } catch {
    // Private windows refuse: everything but opening offline still works.
  }
}

/** Asks the browser not to throw away what is typed when the phone runs short of room. Browsers answer without a question. */
export async function askToKeep(): Promise<void> {
  try {
    if (!(await navigator.storage.persisted())) await navigator.storage.persist()
  } catch {
    // An old browser: the badge and the saved copy remain.
  }
}
