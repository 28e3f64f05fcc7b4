//! A survey of the skyline: heights at many bearings, some of them unknown.
//!
//! An elevation model has the skyline only where the land that forms it is in the model. So a
//! survey marks other bearings as unknown, and the ridge line made of it has gaps there instead of
//! interpolated heights.

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::land::ridge::{HOLDS_DEG, RidgeLine, Sighting};

/// One bearing of a survey, such as the skyline over an elevation model.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Surveyed {
    /// True bearing.
    pub bearing: Angle,
    /// Apparent altitude; `None` if unknown.
    pub height: Option<Angle>,
}

/// Unknown ranges of a survey up to this width are interpolated, degrees: the extensions at both
/// ends of a gap cover it.
const NARROWEST_GAP_DEG: f64 = 2.0 * HOLDS_DEG;

/// The unknown ranges of a survey that become gaps of a ridge line, each by the last known bearing
/// before it and the first after it. Bearings of the survey ascend from north through east; a
/// survey without any height has the one range from 0° to 360°.
pub fn unknown_stretches(survey: &[Surveyed]) -> Vec<(Angle, Angle)> {
    let known: Vec<Angle> = survey
        .iter()
        .filter(|point| point.height.is_some())
        .map(|point| point.bearing)
        .collect();
    if known.is_empty() && !survey.is_empty() {
        return vec![(Angle::ZERO, Angle::from_degrees(360.0))];
    }
    let next = known.iter().cycle().skip(1);
    let neighbours = known.iter().zip(next);
    // from a single known bearing all the way round to itself
    let width = |from: f64, to: f64| match (to - from).rem_euclid(360.0) {
        0.0 => 360.0,
        width => width,
    };
    let inside = |from: f64, to: f64, at: f64| (at - from).rem_euclid(360.0) < width(from, to);
    neighbours
        .filter(|(from, to)| {
            let (from, to) = (from.degrees(), to.degrees());
            let unknown = survey
                .iter()
                .any(|point| point.height.is_none() && inside(from, to, point.bearing.degrees()));
            width(from, to) > NARROWEST_GAP_DEG && unknown
        })
        .map(|(from, to)| (*from, *to))
        .collect()
}

impl RidgeLine {
    /// From a survey, its bearings ascending, and the height where nothing is known. Unknown ranges
    /// become gaps, except narrow ones (5°), which are interpolated.
    pub fn surveyed(level: Angle, survey: &[Surveyed]) -> Self {
        let known = survey.iter().filter_map(|point| {
            let height = point.height?;
            let bearing = point.bearing;
            Some(Sighting { bearing, height })
        });
        let mut line = Self::new(level, known);
        for (from, _) in unknown_stretches(survey) {
            line.open_gap_after(from);
        }
        line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(line: &RidgeLine, bearing: f64) -> f64 {
        line.height(Angle::from_degrees(bearing)).degrees()
    }

    /// A survey at every degree, with unknown ranges.
    fn survey(unknown: &[std::ops::Range<i32>]) -> Vec<Surveyed> {
        let point = |bearing: i32| {
            let known = unknown
                .iter()
                .all(|range| !range.contains(&bearing) && !range.contains(&(bearing + 360)));
            Surveyed {
                bearing: Angle::from_degrees(f64::from(bearing)),
                height: known.then(|| Angle::from_degrees(4.0)),
            }
        };
        (0..360).map(point).collect()
    }

    /// Where a survey is unknown the line is level, except in the extensions at the ends of a gap.
    #[test]
    fn what_a_survey_does_not_know_is_a_gap() {
        let survey = survey(&[100..103, 200..231, 350..371]);
        let stretches: Vec<_> = unknown_stretches(&survey)
            .iter()
            .map(|(from, to)| (from.degrees().round(), to.degrees().round()))
            .collect();
        assert_eq!(stretches, [(199.0, 231.0), (349.0, 11.0)]);
        let line = RidgeLine::surveyed(Angle::from_degrees(-1.0), &survey);
        for thin in [line.clone(), line.thinned(Angle::from_degrees(0.05))] {
            for (bearing, want) in [
                (101.0, 4.0),
                (199.0, 4.0),
                (201.0, 4.0),
                (202.0, -1.0),
                (228.0, -1.0),
                (229.0, 4.0),
                (0.0, -1.0),
                (12.0, 4.0),
            ] {
                assert_eq!(height(&thin, bearing), want, "{bearing}°");
            }
            assert!(!thin.sighted(Angle::from_degrees(215.0)));
            assert_eq!(thin.stretches().len(), 2);
            assert_eq!(thin.least_and_most().0.degrees(), -1.0);
            // the level follows a later change
            assert_eq!(height(&thin.at_level(Angle::from_degrees(2.0)), 215.0), 2.0);
        }
        let nothing = RidgeLine::surveyed(Angle::ZERO, &self::survey(&[0..180, 180..360]));
        assert_eq!(nothing, RidgeLine::default());
        assert_eq!(
            unknown_stretches(&self::survey(&[0..180, 180..360])).len(),
            1
        );
        assert_eq!(unknown_stretches(&[]), []);
    }

    #[test]
    fn a_sighting_closes_a_gap_and_one_taken_away_widens_it() {
        let line = RidgeLine::surveyed(Angle::ZERO, &survey(&[200..231, 350..371]));
        let mut closed = line.clone();
        let mut take = |bearing: f64| {
            closed.take(Sighting {
                bearing: Angle::from_degrees(bearing),
                height: Angle::from_degrees(6.0),
            });
        };
        take(215.0);
        take(2.0);
        assert_eq!(height(&closed, 207.0), 5.0);
        assert!(closed.sighted(Angle::from_degrees(0.0)));
        assert_eq!(closed.gap_starts().count(), 0);
        let place = line
            .sightings()
            .iter()
            .position(|existing| existing.bearing.degrees() == 199.0)
            .expect("a sighting");
        let wider = line.without(place);
        let opened: Vec<f64> = wider
            .gap_starts()
            .map(|existing| existing.bearing.degrees())
            .collect();
        assert_eq!(opened, [198.0, 349.0]);
        let mut line = line;
        assert!(!line.open_gap_after(Angle::from_degrees(215.0)));
        assert!(line.open_gap_after(Angle::from_degrees(20.0)));
    }
}
