/** What a crew reads before it goes out, in our own words. Local law and the operator's rules come first. */
export const PLAN_CAUTIONS: readonly string[] = [
  "Local law and the operator's rules come first, and a person licensed for it does the work where they ask for one.",
  'Open no link without consent of the person in control, a permit, and the system dead or another proved earth in place; measure the current in the conductor first, and never take both ends in the hands. Closing the link again is part of the survey.',
  'On an energised site use only methods that leave the earth closed. Nobody stands at the stakes while the leads are connected.',
  'Look at the drawings and use a locator before a stake is driven, and drive it by hand.',
  'Do not begin with lightning about; at the first sign stop and leave the leads alone for 30 minutes, or as the local rule says.',
  'Cross live lines and railways at right angles, never throw a lead, and measure it for voltage before it is touched.',
  'Guard the leads where people or vehicles pass, and bring every stake back.',
]

/** At every piece of advice that sends a person to a joint or a conductor. */
export const LINK_CAUTION =
  'The joint is on a conductor that may carry current: consent of the person in control, a permit, and another proved earth in place before it is opened.'
