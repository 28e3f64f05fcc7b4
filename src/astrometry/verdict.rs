//! Why the stars of a frame are as they are, in a word.

use serde::{Deserialize, Serialize};

use crate::astrometry::cause::Cause;
use crate::astrometry::solution::NoSolution;
use crate::listed::listed;

listed! {
    /// What explains the stars of a frame.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Verdict {
        /// The turning sky alone.
        AsPredicted,
        /// The camera was moved during the exposure.
        Knocked,
        /// The lens is out of focus.
        Defocused,
        /// The lens draws wider or longer stars in its corners, or in some of them.
        Lens,
        /// The camera followed the sky.
        Tracked,
        /// There are no stars.
        NoStars,
        /// The stars were not identified.
        NotIdentified,
    }
}

impl Verdict {
    /// Of a frame without a solution.
    pub fn unsolved(why: NoSolution) -> Self {
        match why {
            NoSolution::NoStars => Self::NoStars,
            NoSolution::NotIdentified | NoSolution::Mirrored => Self::NotIdentified,
        }
    }

    /// Of a solved frame, by its first cause.
    pub fn of(causes: &[Cause]) -> Self {
        match causes.first() {
            None => Self::AsPredicted,
            Some(Cause::Knocked) => Self::Knocked,
            Some(Cause::Defocused) => Self::Defocused,
            Some(Cause::Tracked) => Self::Tracked,
            Some(Cause::Tilted(_) | Cause::Decentred(_) | Cause::Lens) => Self::Lens,
        }
    }
}
