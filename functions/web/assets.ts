/** A file that pages load: the browser scripts, the manifest, the icon. The same for everybody, nobody's data. */
export interface Asset {
  /** Address under which it is served, `/assets/phone-3F2A91BC.js`. */
  path: string
  contentType: string
  body: string
  /** `base64`: the body is bytes, a picture; otherwise it is text. */
  encoding?: 'base64'
  cacheControl: string
  /** Name of the script entry, when pages name it (`scripts: ['phone']`); absent for files that only scripts load. */
  entry?: string
}

/** Addresses of the scripts a page asked for by name; a name that was not built is a bug, save that no script at all is fine. */
export function scriptPaths(assets: readonly Asset[] | undefined, entries: readonly string[]): string[] {
  if (assets === undefined) return []
  return entries.map((entry) => {
    const asset = assets.find((a) => a.entry === entry)
    if (!asset) throw new Error(`no script entry "${entry}" was built`)
    return asset.path
  })
}
