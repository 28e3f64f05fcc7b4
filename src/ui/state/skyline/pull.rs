//! The line under the thumb: which bearing is looked at, and the sighting that is moved there.

use crate::angle::Angle;
use crate::land::ridge::{LEAST_DEG, MOST_DEG, RidgeLine, Sighting};
use crate::ui::state::document::ridge::RidgeEdit;

/// Heights are pulled and stepped in tenths of a degree, bearings in whole degrees.
const HEIGHT_STEP_DEG: f64 = 0.1;

/// A sighting stays about this far from its neighbours while it is pulled, degrees.
const APART_DEG: f64 = 1.0;

/// A sighting this near a bearing is the one there, degrees: angles lose their last digit in
/// radians.
pub const SAME_DEG: f64 = 0.005;

/// Part of the strip by which a key moves it.
const PAN_SHARE: f64 = 0.5;

/// Part of the strip within which the bearing looked at is kept, from the middle.
const IN_SIGHT_SHARE: f64 = 0.45;

/// The line under the thumb. Bearings are true.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pull {
    /// The bearing looked at; `None` = the middle of the strip.
    pub at: Option<Angle>,
    /// The bearing in the middle of the strip; `None` = where the subject crosses the meridian.
    pub middle: Option<Angle>,
    /// The sighting when it was taken hold of; `None` = nothing is held.
    pub(super) held: Option<Sighting>,
    /// Counts the pulls, each of which is undone by itself.
    pub(super) count: u32,
}

/// What changes it. The strip tells its middle and how many degrees it spans.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PullAction {
    /// The strip is touched at a bearing and height: the nearest sighting within so many degrees
    /// of bearing is taken hold of, or else a new one is made there.
    Press(Sighting, f64),
    /// What is held is moved by degrees of bearing and height from where it was.
    Drag(f64, f64),
    /// It is let go.
    Release,
    /// The bearing looked at moves by degrees, on a strip about a middle of so many degrees.
    Turn(Angle, (Angle, f64)),
    /// The line at a bearing is moved up or down by tenths of a degree.
    Raise(Angle, f64),
    /// The strip about a middle of so many degrees moves to the right, else to the left.
    Pan(bool, (Angle, f64)),
}

impl Pull {
    /// Applies an action, with the edit of the skyline that follows from it.
    pub(super) fn reduce(&mut self, action: PullAction, ridge: &RidgeLine) -> Option<RidgeEdit> {
        match action {
            PullAction::Press(place, within_deg) => {
                self.count = self.count.wrapping_add(1);
                if let Some(near) = nearest(ridge, place.bearing, within_deg) {
                    self.at = Some(near.bearing);
                    self.held = Some(near);
                    return None;
                }
                let to = sighting(place.bearing.degrees().round(), place.height.degrees());
                self.at = Some(to.bearing);
                self.held = Some(to);
                Some(self.edit(None, to))
            }
            PullAction::Drag(right_deg, up_deg) => {
                let (held, at) = (self.held?, self.at?);
                let bearing_deg = if right_deg == 0.0 {
                    held.bearing.degrees()
                } else {
                    between_neighbours(ridge, at, off_deg(held.bearing, at) + right_deg)
                };
                let to = sighting(bearing_deg, held.height.degrees() + up_deg);
                self.at = Some(to.bearing);
                Some(self.edit(Some(at), to))
            }
            PullAction::Release => {
                self.held = None;
                None
            }
            PullAction::Turn(to, (middle, span_deg)) => {
                self.count = self.count.wrapping_add(1);
                self.at = Some(bearing(to.degrees().round()));
                let reach_deg = span_deg * IN_SIGHT_SHARE;
                let off_deg = off_deg(to, middle);
                let turn_deg = off_deg - off_deg.clamp(-reach_deg, reach_deg);
                self.middle = Some(bearing(middle.degrees() + turn_deg));
                None
            }
            PullAction::Raise(at, tenths) => {
                // steps in a row at one bearing are one pull
                if self.at != Some(at) || self.held.is_some() {
                    self.count = self.count.wrapping_add(1);
                    self.held = None;
                }
                self.at = Some(at);
                let height_deg = ridge.height(at).degrees() + tenths * HEIGHT_STEP_DEG;
                Some(self.edit(Some(at), sighting(at.degrees(), height_deg)))
            }
            PullAction::Pan(right, (middle, span_deg)) => {
                self.count = self.count.wrapping_add(1);
                let turn_deg = if right { span_deg } else { -span_deg } * PAN_SHARE;
                let middle = bearing(middle.degrees() + turn_deg);
                (self.middle, self.at) = (Some(middle), Some(middle));
                None
            }
        }
    }

    fn edit(&self, from: Option<Angle>, to: Sighting) -> RidgeEdit {
        RidgeEdit::Pull {
            from,
            to,
            pull: self.count,
        }
    }
}

fn bearing(degrees: f64) -> Angle {
    Angle::from_degrees(degrees.rem_euclid(360.0))
}

/// To the steps in which the line is pulled, inside the bounds of a sighting.
fn sighting(bearing_deg: f64, height_deg: f64) -> Sighting {
    let height_deg = height_deg.clamp(LEAST_DEG, MOST_DEG);
    Sighting {
        bearing: bearing(bearing_deg),
        height: Angle::from_degrees((height_deg / HEIGHT_STEP_DEG).round() / 10.0),
    }
}

/// Degrees to the right from one bearing to another, −180 to 180.
fn off_deg(to: Angle, from: Angle) -> f64 {
    (to.degrees() - from.degrees() + 180.0).rem_euclid(360.0) - 180.0
}

fn nearest(ridge: &RidgeLine, at: Angle, within_deg: f64) -> Option<Sighting> {
    let off = |sighting: &Sighting| off_deg(sighting.bearing, at).abs();
    let near = ridge.sightings().iter().copied();
    near.filter(|sighting| off(sighting) <= within_deg)
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// Where a sighting comes to stand that is moved by degrees to the right: at a whole degree, and
/// not beyond its neighbours.
fn between_neighbours(ridge: &RidgeLine, at: Angle, right_deg: f64) -> f64 {
    let (mut left_deg, mut most_deg) = (-90.0_f64, 90.0_f64);
    for other in ridge.sightings() {
        let off = off_deg(other.bearing, at);
        if off < -SAME_DEG {
            left_deg = left_deg.max(off);
        } else if off > SAME_DEG {
            most_deg = most_deg.min(off);
        }
    }
    let moved_deg = right_deg
        .max(left_deg + APART_DEG)
        .min(most_deg - APART_DEG);
    let to_deg = (at.degrees() + moved_deg).round();
    let off = to_deg - at.degrees();
    if left_deg < off && off < most_deg {
        to_deg
    } else {
        at.degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(bearing_deg: f64, height_deg: f64) -> Sighting {
        Sighting {
            bearing: Angle::from_degrees(bearing_deg),
            height: Angle::from_degrees(height_deg),
        }
    }

    /// The line, the thumb, and what the thumb does.
    fn pulled(ridge: &mut RidgeLine, pull: &mut Pull, action: PullAction) -> Option<u32> {
        let edit = pull.reduce(action, ridge)?;
        let RidgeEdit::Pull { pull: number, .. } = edit else {
            return None;
        };
        edit.apply(ridge);
        Some(number)
    }

    fn written(ridge: &RidgeLine) -> Vec<(f64, f64)> {
        let sightings = ridge.sightings().iter();
        // to a hundredth, as a skyline is written
        let degrees = |angle: Angle| (angle.degrees() * 100.0).round() / 100.0;
        let degrees = |sighting: &Sighting| (degrees(sighting.bearing), degrees(sighting.height));
        sightings.map(degrees).collect()
    }

    #[test]
    fn a_tap_adds_a_sighting_and_a_drag_moves_it() {
        let (mut ridge, mut pull) = (RidgeLine::default(), Pull::default());
        let first = pulled(
            &mut ridge,
            &mut pull,
            PullAction::Press(at(196.3, 4.12), 3.0),
        );
        assert_eq!(written(&ridge), [(196.0, 4.1)]);
        let drag = pulled(&mut ridge, &mut pull, PullAction::Drag(4.2, 2.0));
        assert_eq!((first, written(&ridge)), (drag, vec![(200.0, 6.1)]));
        // from where it was taken hold of, not from where it is
        pulled(&mut ridge, &mut pull, PullAction::Drag(0.0, -1.0));
        assert_eq!(written(&ridge), [(196.0, 3.1)]);
        pulled(&mut ridge, &mut pull, PullAction::Release);
        assert_eq!(
            pulled(&mut ridge, &mut pull, PullAction::Drag(9.0, 9.0)),
            None
        );
    }

    #[test]
    fn a_sighting_near_the_thumb_is_taken_hold_of() {
        let mut ridge = RidgeLine::new(Angle::ZERO, [at(359.5, 5.0), at(12.0, 8.0)]);
        let mut pull = Pull::default();
        let press = PullAction::Press(at(1.0, 20.0), 3.0);
        assert_eq!(pulled(&mut ridge, &mut pull, press), None);
        let at_deg = pull.at.expect("a bearing").degrees();
        assert!((at_deg - 359.5).abs() < 1e-9, "{at_deg}");
        // a touch without a move leaves it as it was sighted
        pulled(&mut ridge, &mut pull, PullAction::Drag(0.0, 1.0));
        assert_eq!(written(&ridge), [(12.0, 8.0), (359.5, 6.0)]);
        // and it does not pass its neighbour
        pulled(&mut ridge, &mut pull, PullAction::Drag(40.0, 1.0));
        let [(first, _), (second, height)] = written(&ridge)[..] else {
            panic!("{ridge:?}");
        };
        assert!(first < 12.0 && second == 12.0 && height == 8.0, "{ridge:?}");
    }

    /// Through every degree of the circle, whatever its last digit in radians, one sighting stays
    /// one.
    #[test]
    fn a_sighting_leaves_no_others_behind() {
        let (mut ridge, mut pull) = (RidgeLine::default(), Pull::default());
        for start in [0.0, 90.0, 180.0, 270.0] {
            pulled(
                &mut ridge,
                &mut pull,
                PullAction::Press(at(start, 5.0), 0.4),
            );
            for turn in 1..=89 {
                pulled(
                    &mut ridge,
                    &mut pull,
                    PullAction::Drag(f64::from(turn), 0.0),
                );
                assert_eq!(ridge.sightings().len(), 1, "{start} {turn}: {ridge:?}");
            }
            ridge = RidgeLine::default();
        }
    }

    #[test]
    fn keys_step_the_line_and_keep_it_in_sight() {
        let (mut ridge, mut pull) = (RidgeLine::default(), Pull::default());
        let south = Angle::from_degrees(180.0);
        let strip = (south, 80.0);
        let steps = [1.0, 1.0, -1.0]
            .map(|tenths| pulled(&mut ridge, &mut pull, PullAction::Raise(south, tenths)));
        assert_eq!(written(&ridge), [(180.0, 0.1)]);
        assert!(steps[0] == steps[1] && steps[1] == steps[2], "{steps:?}");
        let turn = PullAction::Turn(Angle::from_degrees(220.0), strip);
        pulled(&mut ridge, &mut pull, turn);
        assert_eq!(pull.middle, Some(Angle::from_degrees(184.0)));
        let other = pulled(
            &mut ridge,
            &mut pull,
            PullAction::Raise(bearing(220.0), 1.0),
        );
        assert!(other.is_some() && other != steps[0], "{other:?}");
        pulled(&mut ridge, &mut pull, PullAction::Pan(false, strip));
        assert_eq!(pull.at, Some(Angle::from_degrees(140.0)));
    }
}
