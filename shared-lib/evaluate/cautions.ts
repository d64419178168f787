/** The cautions, in our own words, each shown with the advice that needs it and not as one block everywhere. */

export const CAUTIONS = {
  link: 'Before a link is opened: consent of the person in control, a permit, the system dead or another proved earth in place, the current in the conductor measured first. One earth at a time, never both ends in the hands, and closing it again is part of the survey.',
  energised:
    'On an energised site use only methods that leave the earth closed. The far lead can carry a dangerous voltage: nobody at the stakes while the leads are connected.',
  lightning:
    'Do not begin with lightning about. At the first sign stop and leave the leads alone for 30 minutes, or as the local rule says.',
  liveLines:
    'Near live lines or railways cross at right angles, never throw a lead, and measure the lead for voltage before it is touched.',
  traffic: 'Guard the leads where people or vehicles pass, and bring every stake back.',
  driving: 'Look at the drawings and use a locator before a stake is driven, and drive it by hand.',
  pit: 'Do not enter a pit alone; test the air first and lift the lid with a tool.',
  record:
    "Local law and the operator's rules come first. A low resistance is no proof that step and touch voltages are safe.",
} as const
export type CautionTopic = keyof typeof CAUTIONS
