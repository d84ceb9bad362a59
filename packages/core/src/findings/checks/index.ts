import type { Check } from '../check.ts';
import { advanceOfNoReading } from './advance-of-no-reading.ts';
import { allowanceForNothingThere } from './allowance-for-nothing-there.ts';
import { allowanceMeetsNoHose } from './allowance-meets-no-hose.ts';
import { allowanceNeverDecides } from './allowance-never-decides.ts';
import { allowanceOfNoProduct } from './allowance-of-no-product.ts';
import { allowanceOfNobody } from './allowance-of-nobody.ts';
import { allowanceShadowed } from './allowance-shadowed.ts';
import { allowancesAlike } from './allowances-alike.ts';
import { allowancesNearlyAlike } from './allowances-nearly-alike.ts';
import { answerNeverGiven } from './answer-never-given.ts';
import { answersAlike } from './answers-alike.ts';
import { beyondTheDisplay } from './beyond-the-display.ts';
import { bodyWithoutAMeasure } from './body-without-a-measure.ts';
import { cardCheckDigit } from './card-check-digit.ts';
import { chartThatCannotBe } from './chart-that-cannot-be.ts';
import { chartUnlikeBody } from './chart-unlike-body.ts';
import { chartUnlikeCapacity } from './chart-unlike-capacity.ts';
import { closedInThePast } from './closed-in-the-past.ts';
import { coarsePulses } from './coarse-pulses.ts';
import { costCentreCodeTwice } from './cost-centre-code-twice.ts';
import { costCentreOfNobody } from './cost-centre-of-nobody.ts';
import { credentialNotDigits } from './credential-not-digits.ts';
import { credentialNumberTwice } from './credential-number-twice.ts';
import { credentialOfNobody } from './credential-of-nobody.ts';
import { credentialOfTheInactive } from './credential-of-the-inactive.ts';
import { danglingReference } from './dangling-reference.ts';
import { dayNeverReached } from './day-never-reached.ts';
import { departmentSpelledTwice } from './department-spelled-twice.ts';
import { dotsWithoutCount } from './dots-without-count.ts';
import { drawsAtNoMinute } from './draws-at-no-minute.ts';
import { driverNumberTwice } from './driver-number-twice.ts';
import { dyedDieselNotice } from './dyed-diesel-notice.ts';
import { dyedForTheRoad } from './dyed-for-the-road.ts';
import { endsBeforeItBegins } from './ends-before-it-begins.ts';
import { hoseAlwaysDecides } from './hose-always-decides.ts';
import { hoseFasterThanPump } from './hose-faster-than-pump.ts';
import { hoseOfNobody } from './hose-of-nobody.ts';
import { hoseWithoutTerminal } from './hose-without-terminal.ts';
import { idleLineTooLong } from './idle-line-too-long.ts';
import { idleTooManyLines } from './idle-too-many-lines.ts';
import { islandWithoutHose } from './island-without-hose.ts';
import { layoutCut } from './layout-cut.ts';
import { layoutLacksField } from './layout-lacks-field.ts';
import { layoutWordsUnwritten } from './layout-words-unwritten.ts';
import { limitAlwaysBeaten } from './limit-always-beaten.ts';
import { limitOfNothing } from './limit-of-nothing.ts';
import { limitOutOfReach } from './limit-out-of-reach.ts';
import { lowAboveSafeFill } from './low-above-safe-fill.ts';
import { lowLevelOfZero } from './low-level-of-zero.ts';
import { manifoldOfUnlikeTanks } from './manifold-of-unlike-tanks.ts';
import { moreWhenCutOff } from './more-when-cut-off.ts';
import { mostBelowLeast } from './most-below-least.ts';
import { namedTwice } from './named-twice.ts';
import { neverOpen } from './never-open.ts';
import { noAdvanceFits } from './no-advance-fits.ts';
import { noFillsADay } from './no-fills-a-day.ts';
import { nobodyBringsAnAllowance } from './nobody-brings-an-allowance.ts';
import { nobodyToComeWith } from './nobody-to-come-with.ts';
import { nothingToPresent } from './nothing-to-present.ts';
import { oddReaderSpeed } from './odd-reader-speed.ts';
import { oneCardForBoth } from './one-card-for-both.ts';
import { partOfAnotherSite } from './part-of-another-site.ts';
import { partsOfOneName } from './parts-of-one-name.ts';
import { pastItsDates } from './past-its-dates.ts';
import { petrolTooFast } from './petrol-too-fast.ts';
import { pinWithoutDriver } from './pin-without-driver.ts';
import { plateTwice } from './plate-twice.ts';
import { priceMissing } from './price-missing.ts';
import { priceOfNothing } from './price-of-nothing.ts';
import { pricesFromOneDay } from './prices-from-one-day.ts';
import { productInNoTank } from './product-in-no-tank.ts';
import { productsAlikeOnDisplay } from './products-alike-on-display.ts';
import { promptTooLong } from './prompt-too-long.ts';
import { pumpSharedOut } from './pump-shared-out.ts';
import { pumpWithoutHose } from './pump-without-hose.ts';
import { pumpWithoutTank } from './pump-without-tank.ts';
import { questionToNobody } from './question-to-nobody.ts';
import { questionWithoutAnswers } from './question-without-answers.ts';
import { questionWithoutWords } from './question-without-words.ts';
import { readingWithoutCounter } from './reading-without-counter.ts';
import { receiptLineTooLong } from './receipt-line-too-long.ts';
import { receiptRowBreaks } from './receipt-row-breaks.ts';
import { receiptWithoutPrinter } from './receipt-without-printer.ts';
import { safeFillAbove95 } from './safe-fill-above-95.ts';
import { shareOfNothing } from './share-of-nothing.ts';
import { sharedChannel } from './shared-channel.ts';
import { sharedHoseNumber } from './shared-hose-number.ts';
import { shortNameMissing } from './short-name-missing.ts';
import { shortNameTooLong } from './short-name-too-long.ts';
import { siteNotUsable } from './site-not-usable.ts';
import { siteOfNobody } from './site-of-nobody.ts';
import { siteWithoutHoses } from './site-without-hoses.ts';
import { sitesOfOneName } from './sites-of-one-name.ts';
import { stoppedInAnotherSpelling } from './stopped-in-another-spelling.ts';
import { tankNotDrawnFrom } from './tank-not-drawn-from.ts';
import { tankOfNoSize } from './tank-of-no-size.ts';
import { terminalWithoutHose } from './terminal-without-hose.ts';
import { timeOutWithoutEffect } from './time-out-without-effect.ts';
import { unlikeHoseAndTerminalIsland } from './unlike-hose-and-terminal-island.ts';
import { vehicleLargerThanAnyFill } from './vehicle-larger-than-any-fill.ts';
import { vehicleTankOfNothing } from './vehicle-tank-of-nothing.ts';
import { vinCheckDigit } from './vin-check-digit.ts';
import { vinLetters } from './vin-letters.ts';
import { vinTwice } from './vin-twice.ts';
import { wishAboutNobody } from './wish-about-nobody.ts';
import { wishUnclear } from './wish-unclear.ts';
import { wishWithoutQuantity } from './wish-without-quantity.ts';
import { wrongProduct } from './wrong-product.ts';
import { zoneShape } from './zone-shape.ts';

/** Every check, by code. */
export const CHECKS: readonly Check[] = [
  danglingReference,
  sharedChannel,
  sharedHoseNumber,
  wrongProduct,
  manifoldOfUnlikeTanks,
  limitOutOfReach,
  petrolTooFast,
  hoseFasterThanPump,
  pumpSharedOut,
  partOfAnotherSite,
  islandWithoutHose,
  tankNotDrawnFrom,
  pumpWithoutTank,
  hoseWithoutTerminal,
  terminalWithoutHose,
  tankOfNoSize,
  lowAboveSafeFill,
  safeFillAbove95,
  pumpWithoutHose,
  siteWithoutHoses,
  zoneShape,
  sitesOfOneName,
  partsOfOneName,
  timeOutWithoutEffect,
  lowLevelOfZero,
  coarsePulses,
  closedInThePast,
  namedTwice,
  productInNoTank,
  dyedDieselNotice,
  oddReaderSpeed,
  mostBelowLeast,
  unlikeHoseAndTerminalIsland,
  hoseOfNobody,
  chartThatCannotBe,
  chartUnlikeCapacity,
  chartUnlikeBody,
  bodyWithoutAMeasure,
  allowanceForNothingThere,
  nothingToPresent,
  allowanceMeetsNoHose,
  nobodyBringsAnAllowance,
  nobodyToComeWith,
  credentialNumberTwice,
  cardCheckDigit,
  credentialOfNobody,
  credentialNotDigits,
  vinCheckDigit,
  vinLetters,
  driverNumberTwice,
  plateTwice,
  vinTwice,
  neverOpen,
  allowancesAlike,
  allowanceOfNobody,
  limitAlwaysBeaten,
  dayNeverReached,
  noFillsADay,
  shareOfNothing,
  limitOfNothing,
  hoseAlwaysDecides,
  vehicleTankOfNothing,
  vehicleLargerThanAnyFill,
  departmentSpelledTwice,
  siteOfNobody,
  endsBeforeItBegins,
  pastItsDates,
  credentialOfTheInactive,
  pinWithoutDriver,
  oneCardForBoth,
  costCentreOfNobody,
  costCentreCodeTwice,
  readingWithoutCounter,
  wishAboutNobody,
  wishWithoutQuantity,
  siteNotUsable,
  allowanceOfNoProduct,
  dyedForTheRoad,
  allowanceShadowed,
  allowanceNeverDecides,
  drawsAtNoMinute,
  moreWhenCutOff,
  stoppedInAnotherSpelling,
  allowancesNearlyAlike,
  wishUnclear,
  idleLineTooLong,
  idleTooManyLines,
  receiptLineTooLong,
  receiptWithoutPrinter,
  beyondTheDisplay,
  promptTooLong,
  shortNameTooLong,
  shortNameMissing,
  questionToNobody,
  questionWithoutAnswers,
  answerNeverGiven,
  answersAlike,
  noAdvanceFits,
  advanceOfNoReading,
  priceMissing,
  pricesFromOneDay,
  priceOfNothing,
  questionWithoutWords,
  productsAlikeOnDisplay,
  layoutCut,
  receiptRowBreaks,
  layoutLacksField,
  layoutWordsUnwritten,
  dotsWithoutCount,
];
