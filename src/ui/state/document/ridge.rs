//! Edits of the skyline.

use crate::angle::Angle;
use crate::land::ridge::{RidgeLine, Sighting};
use crate::land::survey::Surveyed;

/// A skyline that was read is simplified to this accuracy.
const THINNED: Angle = Angle::from_degrees(0.05);

/// An edit of the skyline.
#[derive(Debug, Clone)]
pub enum RidgeEdit {
    /// The height where nobody has looked.
    Level(Angle),
    /// A sighting is added.
    Add(Sighting),
    /// The line is pulled: a sighting moves from this bearing, if it was there before the pull.
    /// What belongs to one pull is undone together.
    Pull {
        /// Where it stood.
        from: Option<Angle>,
        /// Where it stands now.
        to: Sighting,
        /// The number of the pull.
        pull: u32,
    },
    /// A sighting is removed, by its place in the list.
    Remove(usize),
    /// All sightings are removed.
    Clear,
    /// A skyline that was read takes the place of the sightings.
    Survey(Vec<Surveyed>),
}

impl RidgeEdit {
    /// Applies the edit.
    pub(in crate::ui::state) fn apply(self, ridge: &mut RidgeLine) {
        *ridge = match self {
            Self::Level(level) => ridge.at_level(level),
            Self::Add(sighting) => {
                let mut ridge = ridge.clone();
                ridge.take(sighting);
                ridge
            }
            Self::Pull { from, to, .. } => {
                let place = from.and_then(|from| ridge.sighting_at(from));
                let mut ridge = place.map_or_else(|| ridge.clone(), |place| ridge.without(place));
                ridge.take(to);
                ridge
            }
            Self::Remove(place) => ridge.without(place),
            Self::Clear => RidgeLine::level(ridge.all_round()),
            Self::Survey(survey) => {
                RidgeLine::surveyed(ridge.all_round(), &survey).thinned(THINNED)
            }
        };
    }
}
