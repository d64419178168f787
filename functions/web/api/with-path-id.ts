/** A JSON object with the id of the address filled in where the body leaves it out. Anything else is left for the check to tell. */
export function withPathId(json: unknown, key: string, id: string): unknown {
  if (typeof json !== 'object' || json === null || Array.isArray(json) || Object.hasOwn(json, key))
    return json
  return { ...json, [key]: id }
}
