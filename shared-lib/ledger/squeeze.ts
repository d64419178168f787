import { deflateRawSync, inflateRawSync } from 'node:zlib'

/**
 * What every short history has in it, so that it need not be spelt out in each: names of fields and common values, the commonest last.
 * Stored items can only be read with the very text they were written with: another one is another schema version.
 */
const HISTORY_WORDS = new TextEncoder().encode(
  [
    '"latitude":,"longitude":,"timeZone":"Europe/","retestPolicy":"same-month","canBeIsolated":"yes","deputyEmail":"',
    '"burialDepthM":0.5,"areaM2":,"count":,"spacingM":,"diagonalM":,"usualCurrentProbeM":30,"grid","ring","foundation","plate",',
    '"wire","tower-footing","rod-group","decisions":[],"assessmentDigest":"","dueOn":"2027-01-01","electrode":{"diameterMm":16,',
    '"electrodeId":"","installedOn":"2010-01-01","kind":"rod","lengthM":3,"limitOhm":25,"material":"copper","responsibleEmail":',
    '"@example.org","retestMonths":12,"siteId":""},"findings":{"":{"limit-exceeded":"wo","current-probe-too-close":"wc",',
    '"rising-drift":"wo"}},"lastTestedAt":"2026-01-01T10:00:00.000Z","parametersVersion":"default-","series":[{"baselineFromMs":',
    'null,"kendallS":0,"measuredAs":"electrode-alone","not-known","medianOhm":1,"n":20,"pValue":0.,"slopeHighPercentPerYear":0.,',
    '"slopeLowPercentPerYear":-0.,"slopePercentPerYear":0.}],"works":[]}],[[[0.52,1],[0.62,1],[0.72,1]],1,"S-',
  ].join(''),
)

/** The same of a judged survey. */
const SURVEY_WORDS = new TextEncoder().encode(
  [
    '"knownOhm":,"leadAngleDeg":,"fromPoint":"","toPoint":"","leads":"","distanceFrom":"","earthLeadOhm":,"leadResistanceOhm":,"purpose":"",',
    '"permitRef":"","personInControl":"","secondPerson":"","witness":"","linkOpenedAt":"","linkClosedAt":"","restoredBy":"","probeHOhm":,',
    '"probeSOhm":,"interferenceV":,"testFrequencyHz":,"testCurrentMa":,"rainLast48h":"","soilTemperatureC":,"airTemperatureC":,',
    '"notes":"","soilState":"dry","moist","wet","frozen","visual":"good","corroded","linkChecked":"tight","event":"","corrects":"",',
    '"repeatOf":"","secondDirectionOf":"","connection":"3-wire","4-wire","lineDirection":"north","probeSpacingM":,"probeDepthM":,"atLeastOhm":,"condition":"unsteady",',
    '"method":"slope","two-pole","clamp","four-point","check-resistor","outcome":"not-possible","reason":"","siteId":"","instrumentId":"",',
    '"tester":"","kind":"site","instrument","inconclusive","nonconforming","not-assessed","doubtful","invalid","acceptance","linear-fit",',
    '"mean-of-three","resultBy":"slope","severity":"notice","warning","urgent","code":"current-probe-too-close","limit-exceeded","advice":[',
    '"Check the visible connections.","Repeat the survey with the current probe further out.","Plan a longer electrode, or more of them in ',
    'parallel; treated soil comes last."],"evidence":{"rule":"simple"},"probability":1,"message":" ohm is above the limit of  ohm. Look for ',
    'a loose or corroded connection first, then plan what brings it down; open nothing without the person in control." The readings at 52, ',
    '62 and 72 % lie  % apart. Repeat it with the current probe at m or more: ',
    '"code":"reading-unusable","message":" ohm at  m does not go with the other readings, which agree among themselves. Repeat this ',
    'position before the stakes are pulled.","advice":["Repeat the position.","Compare with the field sheet.","Look for a pipe or a cable ',
    'beside that position."],"evidence":{"readings":[5],"potentialProbeM":[],"resistanceOhm":[],"usable":4}},{"code":"auxiliary-too-resistive",',
    '"severity":"notice","probability":0.5,"message":"The potential probe (S) has  ohm against an earth of  ohm. Moisten the soil at that ',
    'stake and read once more; a change of more than a few digits means the stake was the fault.","advice":["Check lead and clamp of that ',
    'stake.","Moisten the soil at that stake only, never at the earth under test.","Drive it deeper.","Add a second stake in parallel a metre ',
    'away."],"evidence":{"stake":"potential probe (S)","stakeOhm":,"lostReadings":0,"timesEarth":}},"limits":[{"purpose":"register","limitOhm":',
    ',"passes":false}]"cautions":["Before a link is opened: consent of the person in control, a permit, the system dead or another proved ',
    'earth in place, the current in the conductor measured first. One earth at a time, never both ends in the hands, and closing it again is ',
    'part of the survey.","Look at the drawings and use a locator before a stake is driven, and drive it by hand."auxiliary stake, ',
    '{"id":"","subject":{"kind":"electrode","id":""},"siteId":"","survey":{"method":"fall-of-potential","outcome":"tested","measuredAs":',
    '"electrode-alone","surveyRef":"","electrodeId":"","currentProbeM":30,"testedAt":"2026-01-01T10:00:00.000Z","readings":[',
    '{"potentialProbeM":15.6,"resistanceOhm":,"condition":"ok"},{"potentialProbeM":18.6,"resistanceOhm":,"condition":"ok"},',
    '{"potentialProbeM":21.6,"resistanceOhm":,"condition":"ok"}]},"contentHash":"","receivedAt":"2026-01-01T10:00:00.000Z",',
    '"receivedFrom":{"via":"form","by":"local:field"},{"via":"api","by":"local:field"},{"via":"upload","by":"local:field","uploadId":"",',
    '"entry":},"judged":{"kind":"survey","surveyRef":"","electrodeId":"","testedAt":"","method":"fall-of-potential","measuredAs":',
    '"electrode-alone","validity":"valid","reasons":[" ohm by weighing uniform and layered soils against the readings; their mean at 52 to ',
    '72 % is  ohm.","No calibration of the instrument is known: 5 % and 3 digits are taken for it.","A uniform soil of  ohm-m would explain ',
    'it (as in alluvium, humus, damp peat)."],"usableFor":["acceptance","trend"],"resistanceOhm":,"expandedUncertaintyOhm":,',
    '"uncertaintyParts":[{"name":"instrument (not known: 5 % and 3 digits)","standardOhm":0.},{"name":"repeatability, stakes and display",',
    '"standardOhm":0.},{"name":"soil, position and model","standardOhm":0.}],"resultBy":"model-average","meanOhm":,"fitOhm":,',
    '"spreadPercent":,"conformity":"conforming","conformityRule":"simple","conformityProbability":1,"limitOhm":25,',
    '"impliedSoilResistivityOhmM":,"recommendedCurrentProbeM":,"findings":[],"cautions":["Local law and the operator\'s rules come first. ',
    'A low resistance is no proof that step and touch voltages are safe."],"judgeVersion":"3"},"judgedBy":"","booksAt":""}',
  ].join(''),
)

/** Small tables and buffers: to make the usual ones takes longer than to squeeze a kilobyte. */
const SMALL = { memLevel: 6, chunkSize: 4096 }

/** A text for the table and back again. Repeating text shrinks to a fifth. */
function squeezer(dictionary: Uint8Array) {
  return {
    squeezed: (text: string): Uint8Array => deflateRawSync(text, { ...SMALL, level: 9, dictionary }),
    unsqueezed: (bytes: Uint8Array): string =>
      inflateRawSync(bytes, { chunkSize: SMALL.chunkSize, dictionary }).toString('utf8'),
  }
}

export const { squeezed, unsqueezed } = squeezer(HISTORY_WORDS)
/** A judged survey of 1.8 kB takes a third of that, so that its item is one write unit. */
export const { squeezed: squeezedSurvey, unsqueezed: unsqueezedSurvey } = squeezer(SURVEY_WORDS)
