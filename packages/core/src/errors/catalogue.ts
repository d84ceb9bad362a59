/**
 * Every problem that Fillwright can report, by stable code: 1xx reading input, 2xx the fleet's data, 3xx drafts and releases,
 * 4xx people and access, 5xx hub, 6xx site and journal, 7xx devices, 8xx numbers, 9xx running the programs.
 * A code is never reused; its text may improve.
 */
export const CATALOGUE = {
  'FW-101': {
    cause: 'The file cannot be read as what its name says.',
    mend: 'Open it, save it anew as .xlsx or .csv, and import that.',
  },
  'FW-102': {
    cause: 'The file is larger than an import may be.',
    mend: 'Split it, or remove what is not needed, and import again.',
  },
  'FW-103': {
    cause: 'The sheet or file is not one that an import knows.',
    mend: 'Rename it to one of the names in the template, or map it as a roster.',
  },
  'FW-104': {
    cause: 'The column is not one that this sheet has.',
    mend: 'Rename the column, map it, or leave it out.',
  },
  'FW-105': {
    cause: 'A column that this sheet needs is missing.',
    mend: 'Add the column, or map another column to it.',
  },
  'FW-106': { cause: 'The cell holds a formula without a plain value.', mend: 'Replace the formula by its value.' },
  'FW-107': { cause: 'The text cannot be read as what belongs here.', mend: 'Write it as shown under expected.' },
  'FW-108': { cause: 'Two rows have the same key.', mend: 'Keep one of them, or give one another key.' },
  'FW-109': { cause: 'The text is in an encoding that cannot be told.', mend: 'Save the file as UTF-8.' },
  'FW-110': { cause: 'Reading took longer than an import may take.', mend: 'Split the file and import the parts.' },
  'FW-111': { cause: 'The import is no longer there.', mend: 'Import the file again.' },
  'FW-112': {
    cause: 'Several records have this name.',
    mend: 'Choose one of them from the list, or give its id instead of its name.',
  },
  'FW-201': {
    cause: 'The field does not have a value that it may have.',
    mend: 'Give it a value as shown under expected.',
  },
  'FW-202': {
    cause: 'The record refers to one that does not exist.',
    mend: 'Make the record that it refers to, or choose another.',
  },
  'FW-203': { cause: 'The id is taken.', mend: 'Choose another id.' },
  'FW-204': { cause: 'There is no such record.', mend: 'Look for it under another id, or make it.' },
  'FW-205': { cause: 'Other records refer to this one.', mend: 'Change or remove those first.' },
  'FW-206': { cause: 'The field is not one that this record has.', mend: 'Leave it out.' },
  'FW-301': {
    cause: 'The draft was changed by someone else where you changed it.',
    mend: 'Look at their change, then make yours again if it still holds.',
  },
  'FW-302': { cause: 'Findings of severity error stand against this draft.', mend: 'Mend each error, then release.' },
  'FW-303': {
    cause: 'There is nothing to release: the draft equals what was last released.',
    mend: 'Change something first.',
  },
  'FW-304': {
    cause: 'Warnings stand that nobody has given a word for.',
    mend: 'Write a word for each warning, or mend it.',
  },
  'FW-305': { cause: 'There is nothing to undo or redo.', mend: 'Nothing needs to be done.' },
  'FW-306': {
    cause: 'The bundle is not one that this site may run.',
    mend: 'Release again; if it stays so, join the site anew.',
  },
  'FW-307': {
    cause: 'The site decides otherwise than the hub expects under this bundle.',
    mend: 'Keep the site on what it runs and report both versions.',
  },
  'FW-308': { cause: 'There is no such release.', mend: 'Choose one from the list of releases.' },
  'FW-309': {
    cause: 'Somebody gains access by this release and nobody has said that it is meant.',
    mend: 'Read what is gained and confirm it, or change the draft.',
  },
  'FW-320': {
    cause: 'An expectation of the customer is broken, and nobody has said why it may stand.',
    mend: 'Mend the rule that breaks it, or write a word for it.',
  },
  'FW-322': { cause: 'The calculation was stopped.', mend: 'Ask again if it is still wanted.' },
  'FW-323': {
    cause: 'The calculation ended before it had an answer.',
    mend: 'Try again; if it stays so, give the office more memory.',
  },
  'FW-335': {
    cause: 'An access statement is about one site, department, driver or vehicle.',
    mend: 'Name one of them; for what a site runs, name the site.',
  },
  'FW-336': {
    cause: 'The site has not said what it runs.',
    mend: 'Choose the draft or a release, or wait until the site is heard.',
  },
  'FW-350': {
    cause: 'The first wave is not one of sites that this release has.',
    mend: 'Choose at least one site of the fleet for it.',
  },
  'FW-351': { cause: 'This release is not going out in waves any more.', mend: 'Look at the newest release.' },
  'FW-352': {
    cause: 'This release was stopped on its way, for good.',
    mend: 'Mend what stopped it, then release again; sites that run it go on until they have the new one.',
  },
  'FW-337': {
    cause: 'The session did not end by a rule of the fleet, or its release is not here.',
    mend: 'Look at its reason: a site out of service, a clock in doubt or a person who left is mended at the site.',
  },
  'FW-338': {
    cause: 'Nobody can be presented: no card was given, and neither the driver nor the vehicle has one there.',
    mend: 'Give the number of a card, or choose somebody who holds one in what the site runs.',
  },
  'FW-401': { cause: 'Nobody is signed in.', mend: 'Sign in, then try again.' },
  'FW-402': {
    cause: 'The e-mail or the password is wrong.',
    mend: 'Try again, or ask an owner to make you a new account.',
  },
  'FW-403': { cause: 'Your role does not allow this.', mend: 'Ask an owner or an editor.' },
  'FW-404': { cause: 'This office has an owner already.', mend: 'Sign in.' },
  'FW-405': {
    cause: 'The one-time code is wrong, used or too old.',
    mend: 'Make a new code at the office and try again.',
  },
  'FW-406': {
    cause: 'The PIN is not one that may be set.',
    mend: 'Choose 4 to 8 digits that are not all the same or in sequence.',
  },
  'FW-407': { cause: 'The password is too short.', mend: 'Choose at least 10 characters.' },
  'FW-408': { cause: 'An account with this e-mail exists.', mend: 'Use another e-mail.' },
  'FW-409': { cause: 'Too many wrong passwords for this account.', mend: 'Wait some minutes, then try again.' },
  'FW-411': { cause: 'There is no such gap that waits for a word.', mend: 'Look at the list of gaps again.' },
  'FW-412': {
    cause: 'A gap is passed over only with a word.',
    mend: 'Write what is known of the missing entries, so that whoever looks back can read it.',
  },
  'FW-413': {
    cause: 'No box has joined as this site.',
    mend: 'Make a join code on the site’s sheet and join the box first.',
  },
  'FW-414': {
    cause: 'This is not a file that a box of this fleet wrote, or it was cut short.',
    mend: 'Take the file whose name begins with from-, and copy it again if the stick was pulled out early.',
  },
  'FW-415': {
    cause: 'The file is not signed by the box that stands at this site.',
    mend: 'Take the file from the box itself. If the box was replaced meanwhile, let the new one write it.',
  },
  'FW-416': {
    cause: 'The file is older than one that this box has taken.',
    mend: 'Make a new one at the office.',
  },
  'FW-417': {
    cause: 'This is not a file for a site, or it was cut short.',
    mend: 'Make it at the office with the site’s name, and copy it again if the stick was pulled out early.',
  },
  'FW-418': {
    cause: 'The box has not answered the file.',
    mend: 'See that the box runs with this data folder, then try again.',
  },
  'FW-419': {
    cause: 'The office’s key is being given on already.',
    mend: 'Wait until every box has the new one, or until the date that was given.',
  },
  'FW-420': {
    cause: 'The date on which the old key ends is not one that boxes can keep.',
    mend: 'Name one between an hour and 400 days from now.',
  },
  'FW-421': {
    cause: 'This is not the text of an office’s key.',
    mend: 'Copy it whole from `fillwright office-key` at the office: a number, a point, and letters.',
  },
  'FW-501': {
    cause: 'The request does not have the form that this route takes.',
    mend: 'Send it as the OpenAPI document shows.',
  },
  'FW-502': { cause: 'There is nothing at this address.', mend: 'Check the address.' },
  'FW-503': { cause: 'The database cannot be reached.', mend: 'Start it, or correct DATABASE_URL.' },
  'FW-504': { cause: 'The message broker cannot be reached.', mend: 'Start it, or correct MQTT_URL.' },
  'FW-505': {
    cause: 'The hub met a fault of its own.',
    mend: 'Try again; if it stays so, send the log with the request number.',
  },
  'FW-506': { cause: 'The request is larger than the hub takes.', mend: 'Send less at once.' },
  'FW-601': {
    cause: 'The journal cannot be written.',
    mend: 'Free space on the disk or replace it; the site starts no fill until then.',
  },
  'FW-602': {
    cause: 'The journal is damaged: its chain does not hold.',
    mend: 'Keep the file as it is, replace the disk, and join the site anew.',
  },
  'FW-603': { cause: 'This box has no bundle to run.', mend: 'Join it to an office and release.' },
  'FW-604': {
    cause: 'The clock of this box cannot be right.',
    mend: 'Set the clock, or wait until the office has told the time.',
  },
  'FW-605': { cause: 'Another process holds this folder.', mend: 'Stop that process, or name another folder.' },
  'FW-606': {
    cause: 'This box joins no office yet.',
    mend: 'Make a one-time code at the office and run the join command.',
  },
  'FW-607': {
    cause: 'The journal in this folder belongs to another box or another life of this box.',
    mend: 'Never copy a folder from box to box: name the right folder, or join this box anew in an empty one.',
  },
  'FW-610': {
    cause: 'The wiring file is no JSON.',
    mend: 'Mend it where shown; docs/reference/wiring.md has its form.',
  },
  'FW-611': {
    cause: 'A field of the wiring file does not have a value that it may have.',
    mend: 'Give it a value as in docs/reference/wiring.md.',
  },
  'FW-612': {
    cause: 'The wiring file names a line or unit that it does not have.',
    mend: 'Add it, or use the name of one that is there.',
  },
  'FW-613': {
    cause: 'The wiring would not be safe.',
    mend: 'Change the wiring, by a licensed person and isolated, or the file where it tells of it wrongly.',
  },
  'FW-614': {
    cause: 'The wiring file and the release tell of different yards.',
    mend: 'Wire what is missing, or mend the ids in the file; what is not wired stays closed.',
  },
  'FW-701': {
    cause: 'The device does not answer.',
    mend: 'Check its power, wiring and address; work on it only when it is isolated.',
  },
  'FW-702': {
    cause: 'The device answered with something impossible.',
    mend: 'The hose stays stopped; have the device looked at.',
  },
  'FW-703': {
    cause: 'What the reader sent is not a whole, correct card.',
    mend: 'Present the card again; if it stays so, replace card or reader.',
  },
  'FW-740': {
    cause: 'The period does not follow the last one that was closed.',
    mend: 'Begin on the day after it, so that no day is left out and none counts twice.',
  },
  'FW-741': {
    cause: 'The period is not over at every site.',
    mend: 'Close it from the day after its last one, or choose an earlier last day.',
  },
  'FW-742': {
    cause: 'The statement is not the one that you looked at: fills, prices, taxes or corrections have changed since.',
    mend: 'Look at it again, then close it.',
  },
  'FW-743': {
    cause: 'The dates are no span that a statement can speak of.',
    mend: 'Write two dates as YYYY-MM-DD, the first not after the last, at most 400 days.',
  },
  'FW-744': { cause: 'More fills fall into the span than one statement holds.', mend: 'Choose a shorter span.' },
  'FW-755': {
    cause: 'Test fuel may go back only into a tank of the hose’s own site and product.',
    mend: 'Choose such a tank; if the fuel went into another, stop and have the tank contractor look.',
  },
  'FW-756': {
    cause: 'The fill is not one of this hose, or belongs to another proving run.',
    mend: 'Name the fills that were drawn from this hose for this run.',
  },
  'FW-757': {
    cause: 'The worksheet is signed: nothing more is written into it.',
    mend: 'Make a new worksheet for what is tried again.',
  },
  'FW-758': {
    cause: 'The worksheet cannot be signed yet: steps are open or were not in order.',
    mend: 'Do what is open; mend and repeat what was not in order, or say in a word why it stands.',
  },
  'FW-759': {
    cause: 'The picture is not a JPEG or PNG, or is larger than a worksheet keeps, or there are too many.',
    mend: 'Take it again with the page’s own button, which makes it small enough.',
  },
  'FW-801': {
    cause: 'The number is outside the range for which the method holds.',
    mend: 'Check the value and its unit.',
  },
  'FW-802': { cause: 'The text cannot be read as a number.', mend: 'Write digits, with at most one decimal point.' },
  'FW-770': {
    cause: 'The span of the flags ends before it begins.',
    mend: 'Give a beginning that lies before the end, or leave both out for the last 30 days.',
  },
  'FW-771': {
    cause: 'There is no such flag, or what it spoke of has been mended since.',
    mend: 'Look at the list of flags again and choose one that stands there.',
  },
  'FW-901': { cause: 'The port is taken.', mend: 'Stop what uses it, or name another port.' },
  'FW-902': {
    cause: 'The option or argument is not one that this command takes.',
    mend: 'Run the command with --help.',
  },
  'FW-903': { cause: 'The data folder cannot be used.', mend: 'Name a folder that exists and that you may write to.' },
  'FW-904': { cause: 'The desk has not been built.', mend: 'Run npm run build:desk, then start again.' },
  'FW-905': { cause: 'No office answers at this address.', mend: 'Start one, or name its address with --office.' },
  'FW-911': {
    cause: 'The desk met a fault of its own.',
    mend: 'Load the page again; if it stays so, report what you did and the words under found.',
  },
} as const satisfies Record<string, { cause: string; mend: string }>;

export type ProblemCode = keyof typeof CATALOGUE;
