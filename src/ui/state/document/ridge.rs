//! Edits of the skyline.

use crate::angle::Angle;
use crate::land::ridge::{RidgeLine, Sighting};
use crate::land::survey::Surveyed;
use crate::outing::plan::bounds::RIDGE;

/// A skyline that was read is simplified to this accuracy.
const THINNED: Angle = Angle::from_degrees(0.05);

/// An edit of the skyline.
#[derive(Debug, Clone)]
pub enum RidgeEdit {
    /// The height where nobody has looked.
    Level(Angle),
    /// That height to the next whole degree up, else down.
    StepLevel(bool),
    /// A sighting is added.
    Add(Sighting),
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
            Self::StepLevel(up) => {
                let degrees = ridge.all_round().degrees();
                let next = if up {
                    degrees.floor() + 1.0
                } else {
                    degrees.ceil() - 1.0
                };
                ridge.at_level(Angle::from_degrees(next.clamp(RIDGE.least, RIDGE.most)))
            }
            Self::Add(sighting) => {
                let mut ridge = ridge.clone();
                ridge.take(sighting);
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
