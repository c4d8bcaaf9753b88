//! Where the design leaves a meaning open, the guess stands here, once, so that settling it is changing one line.

use super::value::{Causes, MISSING, UNABLE};

/// A missing count lies from nought up, and a missing length anywhere on the line: counts are whole numbers of things.
pub const COUNT_FROM_NOUGHT: bool = true;

/// A date given as a year or a month is doubtful because the day is not known: open, not marginal.
pub const PART_OF_DATE: Causes = MISSING;

/// A list that the job does not state is one open verdict for the parent, except where the section surely does not apply
/// whatever the list may hold: by its date, or by the filter of what is walked.
pub const NOT_APPLICABLE_COMES_FIRST: bool = true;

/// Where one of two orders of a pair comes out worse, it stands; from best to worst.
pub const FROM_BEST_TO_WORST: [&str; 7] = ["not applicable", "met", "excepted", "marginal", "open", "unanswered", "not met"];

/// `beam.watches includes direction` may name the word that `each direction` binds.
pub const BARE_BOUND_WORD: bool = true;

/// `none` in a table's column of counts is the count nought: no means needed. In a column of lengths it is no length at all.
pub const NONE_IN_COUNTS_IS_NOUGHT: bool = true;

/// A least or greatest over members that may all turn out not to be in may turn out to be none at all. With nought here, a
/// doubt by tolerance alone would be marginal instead of unanswered.
pub const MAY_BE_EMPTY: Causes = UNABLE;
