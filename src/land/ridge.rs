//! The ridge line: the skyline seen from a site, by its apparent height in every
//! direction.
//!
//! It is made of sightings, from whatever source. Between two neighbours it runs
//! straight; where neighbours are more than [`WIDEST_GAP`] apart nobody has
//! looked, and the line is taken to be level, at the height given for all round. So it is
//! in a narrower gap of which a survey has said that it knows nothing there.

use crate::angle::Angle;

/// Neighbours further apart than this leave a gap that nobody has looked at.
///
/// A quarter of the circle: corners of a valley given at four bearings are one
/// line, a ridge sighted in the south says nothing of the north.
pub const WIDEST_GAP: Angle = Angle::from_degrees(90.0);

/// At the end of what was sighted the ridge goes on for this much, degrees, so
/// that a lone sighting is a ridge too.
const HOLDS_DEG: f64 = 2.5;

/// Sightings nearer to one another than this are one, degrees.
const SAME_DEG: f64 = 0.01;

/// Most sightings of a line: as many as tenths of a degree.
pub const MOST_SIGHTINGS: usize = 3600;

/// Lowest and highest a skyline can be sighted, degrees: a plain far below a
/// summit, and a wall one stands under.
pub const LEAST_DEG: f64 = -10.0;
/// See [`LEAST_DEG`].
pub const MOST_DEG: f64 = 89.0;

/// One measured point of the ridge line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sighting {
    /// True bearing, 0 to under 360°.
    pub bearing: Angle,
    /// Height above the flat horizon as it looks.
    pub height: Angle,
}

/// One bearing of a survey, such as the skyline over an elevation model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surveyed {
    /// True bearing.
    pub bearing: Angle,
    /// Height above the flat horizon as it looks; `None` where that is not known.
    pub height: Option<Angle>,
}

/// Unknown stretches of a survey no wider than this are drawn straight across, degrees:
/// as far as the ends of a gap hold.
const NARROWEST_GAP_DEG: f64 = 2.0 * HOLDS_DEG;

/// The stretches of a survey in which the height is not known and which stay gaps of a
/// ridge line, each by the last known bearing before it and the first after it.
/// Bearings of the survey rise from north through east; a survey that knows nothing has
/// the one stretch from 0° to 360°.
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
    let inside =
        |from: f64, to: f64, at: f64| (at - from).rem_euclid(360.0) < (to - from).rem_euclid(360.0);
    neighbours
        .filter(|(from, to)| {
            let (from, to) = (from.degrees(), to.degrees());
            let unknown = survey
                .iter()
                .any(|point| point.height.is_none() && inside(from, to, point.bearing.degrees()));
            (to - from).rem_euclid(360.0) > NARROWEST_GAP_DEG && unknown
        })
        .map(|(from, to)| (*from, *to))
        .collect()
}

/// The skyline seen from a site.
#[derive(Debug, Clone, PartialEq)]
pub struct RidgeLine {
    level: Angle,
    sightings: Vec<Sighting>,
    /// For each sighting, whether a survey knows nothing from it to the next.
    open: Vec<bool>,
}

impl Default for RidgeLine {
    /// The flat horizon.
    fn default() -> Self {
        Self::level(Angle::ZERO)
    }
}

impl RidgeLine {
    /// One height all round.
    pub const fn level(level: Angle) -> Self {
        Self {
            level,
            sightings: Vec::new(),
            open: Vec::new(),
        }
    }

    /// From sightings in any order, and the height where there are none. Of two
    /// at one bearing the later stands; those beyond [`MOST_SIGHTINGS`] are left
    /// out.
    ///
    /// ```
    /// use tarnlight::angle::Angle;
    /// use tarnlight::land::ridge::{RidgeLine, Sighting};
    /// let point = |bearing, height| Sighting {
    ///     bearing: Angle::from_degrees(bearing),
    ///     height: Angle::from_degrees(height),
    /// };
    /// let line = RidgeLine::of(Angle::ZERO, [point(200.0, 12.0), point(160.0, 8.0)]);
    /// assert_eq!(line.height(Angle::from_degrees(180.0)).degrees(), 10.0);
    /// assert_eq!(line.height(Angle::from_degrees(20.0)).degrees(), 0.0);
    /// ```
    pub fn of(level: Angle, sightings: impl IntoIterator<Item = Sighting>) -> Self {
        let mut line = Self::level(level);
        for sighting in sightings {
            line.take(sighting);
        }
        line
    }

    /// From a survey, its bearings rising, and the height where nothing is known. Stretches
    /// of which it knows nothing are gaps, but for narrow ones (5°), which are drawn straight
    /// across.
    pub fn surveyed(level: Angle, survey: &[Surveyed]) -> Self {
        let known = survey.iter().filter_map(|point| {
            let height = point.height?;
            let bearing = point.bearing;
            Some(Sighting { bearing, height })
        });
        let mut line = Self::of(level, known);
        for (from, _) in unknown_stretches(survey) {
            line.open_after(from);
        }
        line
    }

    /// Has nothing known from the sighting at a bearing to the next; whether there is one.
    pub fn open_after(&mut self, bearing: Angle) -> bool {
        let bearing = bearing.degrees().rem_euclid(360.0);
        let near = |held: &Sighting| (held.bearing.degrees() - bearing).abs() < SAME_DEG / 2.0;
        let place = self.sightings.iter().position(near);
        if let Some(place) = place {
            self.open[place] = true;
        }
        place.is_some()
    }

    /// The sightings from which to the next nothing is known, as a survey said.
    pub fn opened(&self) -> impl Iterator<Item = &Sighting> {
        let both = self.sightings.iter().zip(&self.open);
        both.filter_map(|(held, open)| open.then_some(held))
    }

    /// Takes in a sighting. One in a gap of a survey closes it.
    pub fn take(&mut self, sighting: Sighting) {
        let bearing = sighting.bearing.degrees().rem_euclid(360.0);
        if !bearing.is_finite() || !sighting.height.degrees().is_finite() {
            return;
        }
        // a hair below north is north
        let bearing = if bearing > 360.0 - SAME_DEG / 2.0 {
            0.0
        } else {
            bearing
        };
        let sighting = Sighting {
            bearing: Angle::from_degrees(bearing),
            ..sighting
        };
        let place = self
            .sightings
            .partition_point(|held| held.bearing.degrees() < bearing - SAME_DEG / 2.0);
        let room = self.sightings.len() < MOST_SIGHTINGS;
        match self.sightings.get_mut(place) {
            Some(held) if held.bearing.degrees() < bearing + SAME_DEG / 2.0 => *held = sighting,
            _ if room => {
                let before = place.checked_sub(1).or(self.open.len().checked_sub(1));
                if let Some(before) = before {
                    self.open[before] = false;
                }
                self.sightings.insert(place, sighting);
                self.open.insert(place, false);
            }
            _ => {}
        }
    }

    /// The line without one of its sightings; a gap of a survey beside it widens.
    pub fn without(&self, place: usize) -> Self {
        let mut line = self.clone();
        if place < line.sightings.len() {
            line.sightings.remove(place);
            let open = line.open.remove(place);
            let before = place.checked_sub(1).or(line.open.len().checked_sub(1));
            if let Some(before) = before.filter(|_| open) {
                line.open[before] = true;
            }
        }
        line
    }

    /// The line with another height where nothing was sighted.
    pub fn at_level(&self, level: Angle) -> Self {
        let mut line = self.clone();
        line.level = level;
        line
    }

    /// The height where nothing was sighted.
    pub const fn all_round(&self) -> Angle {
        self.level
    }

    /// The sightings by bearing, from north through east.
    pub fn sightings(&self) -> &[Sighting] {
        &self.sightings
    }

    /// Whether somebody looked there.
    pub fn sighted(&self, bearing: Angle) -> bool {
        self.sighted_height_deg(bearing.degrees()).is_some()
    }

    /// The apparent height at a true bearing.
    pub fn height(&self, bearing: Angle) -> Angle {
        let sighted = self.sighted_height_deg(bearing.degrees());
        sighted.map_or(self.level, Angle::from_degrees)
    }

    /// The lowest and the highest height anywhere on it.
    pub fn least_and_most(&self) -> (Angle, Angle) {
        let mut ends = None;
        let count = self.sightings.len();
        let gap = (0..count).any(|place| self.is_gap(place)) || count == 0;
        let level = gap.then_some(self.level);
        for height in self.sightings.iter().map(|held| held.height).chain(level) {
            let (least, most) = ends.unwrap_or((height, height));
            ends = Some((
                if height < least { height } else { least },
                if height > most { height } else { most },
            ));
        }
        ends.unwrap_or((self.level, self.level))
    }

    /// Stretches that were sighted, each by its first and last bearing; the whole
    /// circle is from 0° to 360°.
    pub fn stretches(&self) -> Vec<(Angle, Angle)> {
        let count = self.sightings.len();
        let gaps: Vec<usize> = (0..count).filter(|place| self.is_gap(*place)).collect();
        let (Some(first), Some(last)) = (gaps.first(), gaps.last()) else {
            let whole = (Angle::ZERO, Angle::from_degrees(360.0));
            return if count == 0 { Vec::new() } else { vec![whole] };
        };
        // a stretch begins after one gap and ends before the next
        let mut from = *last;
        let mut found = Vec::with_capacity(gaps.len());
        for gap in std::iter::once(first).chain(&gaps[1..]) {
            let start = self.sightings[(from + 1) % count].bearing;
            found.push((start, self.sightings[*gap].bearing));
            from = *gap;
        }
        found
    }

    /// Whether nobody looked between this sighting and the next round the circle, or
    /// whoever looked saw nothing.
    fn is_gap(&self, place: usize) -> bool {
        if self.open[place] {
            return true;
        }
        let count = self.sightings.len();
        let from = self.sightings[place].bearing.degrees();
        let to = self.sightings[(place + 1) % count].bearing.degrees();
        let apart = (to - from).rem_euclid(360.0);
        count == 1 || apart > WIDEST_GAP.degrees()
    }

    fn sighted_height_deg(&self, bearing_deg: f64) -> Option<f64> {
        let count = self.sightings.len();
        let bearing = bearing_deg.rem_euclid(360.0);
        if count == 0 || !bearing.is_finite() {
            return None;
        }
        let after = self
            .sightings
            .partition_point(|held| held.bearing.degrees() <= bearing);
        let before = (after + count - 1) % count;
        let (from, to) = (self.sightings[before], self.sightings[after % count]);
        let along = (bearing - from.bearing.degrees()).rem_euclid(360.0);
        let left = (to.bearing.degrees() - bearing).rem_euclid(360.0);
        if !self.is_gap(before) {
            let share = along / (along + left);
            let (from, to) = (from.height.degrees(), to.height.degrees());
            return Some(from + (to - from) * share);
        }
        if along <= HOLDS_DEG && along <= left {
            return Some(from.height.degrees());
        }
        (left <= HOLDS_DEG).then_some(to.height.degrees())
    }

    /// The same line with the fewest of its sightings from which it can be drawn
    /// to within so much: for a skyline computed at even steps.
    ///
    /// The farthest sighting from a straight piece is kept and both halves are
    /// looked at again (D. H. Douglas & T. K. Peucker, *Cartographica* 10 (1973)
    /// 112; from memory).
    pub fn thinned(&self, within: Angle) -> Self {
        let count = self.sightings.len();
        let mut kept = vec![false; count];
        let mut waiting = Vec::new();
        // neighbours of a gap stay; between gaps the line is thinned
        let mut from = 0;
        for place in 0..count {
            if self.is_gap(place) || place + 1 == count {
                waiting.push((from, place));
                from = place + 1;
            }
        }
        while let Some((from, to)) = waiting.pop() {
            (kept[from], kept[to]) = (true, true);
            let (a, b) = (self.sightings[from], self.sightings[to]);
            let width = b.bearing.degrees() - a.bearing.degrees();
            let off = |place: usize| {
                let at = self.sightings[place];
                let share = (at.bearing.degrees() - a.bearing.degrees()) / width;
                let line = a.height.degrees() + (b.height.degrees() - a.height.degrees()) * share;
                (at.height.degrees() - line).abs()
            };
            // a piece too wide to be one would become a gap
            let wide = width > WIDEST_GAP.degrees();
            let mut farthest = (from + to) / 2;
            for place in from + 1..to {
                if off(place) > off(farthest) {
                    farthest = place;
                }
            }
            if to - from > 1 && (wide || off(farthest) > within.degrees()) {
                waiting.extend([(from, farthest), (farthest, to)]);
            }
        }
        let mut line = self.clone();
        let mut held = kept.iter();
        line.sightings
            .retain(|_| held.next().copied().unwrap_or(true));
        let mut held = kept.iter();
        line.open.retain(|_| held.next().copied().unwrap_or(true));
        line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[(f64, f64)]) -> RidgeLine {
        let sightings = points.iter().map(|(bearing, height)| Sighting {
            bearing: Angle::from_degrees(*bearing),
            height: Angle::from_degrees(*height),
        });
        RidgeLine::of(Angle::from_degrees(1.0), sightings)
    }

    fn height(line: &RidgeLine, bearing: f64) -> f64 {
        line.height(Angle::from_degrees(bearing)).degrees()
    }

    #[test]
    fn runs_straight_between_sightings_and_round_north() {
        let ridge = line(&[(350.0, 4.0), (170.0, 10.0), (30.0, 8.0), (100.0, 2.0)]);
        for (bearing, want) in [
            (350.0, 4.0),
            (370.0, 6.0),
            (10.0, 6.0),
            (65.0, 5.0),
            (135.0, 6.0),
            // a gap from 170° to 350°, but for the ends
            (172.0, 10.0),
            (173.0, 1.0),
            (260.0, 1.0),
            (348.0, 4.0),
        ] {
            let got = height(&ridge, bearing);
            assert!((got - want).abs() < 1e-9, "{bearing}°: {got}, want {want}");
        }
        assert!(ridge.sighted(Angle::from_degrees(10.0)));
        assert!(!ridge.sighted(Angle::from_degrees(260.0)));
        let stretches = ridge.stretches();
        assert_eq!(stretches.len(), 1);
        assert_eq!(stretches[0].0.degrees(), 350.0);
        assert_eq!(stretches[0].1.degrees(), 170.0);
        let (least, most) = ridge.least_and_most();
        assert_eq!((least.degrees(), most.degrees()), (1.0, 10.0));
    }

    #[test]
    fn one_sighting_is_a_ridge_and_none_is_level() {
        let ridge = line(&[(180.0, 12.0)]);
        assert!((height(&ridge, 181.0) - 12.0).abs() < 1e-9);
        assert_eq!(height(&ridge, 184.0), 1.0);
        assert_eq!(ridge.stretches().len(), 1);
        let level = RidgeLine::level(Angle::from_degrees(7.0));
        assert_eq!(height(&level, 77.0), 7.0);
        assert_eq!(level.stretches(), []);
        assert_eq!(height(&level, f64::NAN), 7.0);
        let four = line(&[(0.0, 1.0), (90.0, 2.0), (180.0, 3.0), (270.0, 4.0)]);
        assert_eq!(height(&four, 315.0), 2.5);
        assert_eq!(four.stretches()[0].1.degrees(), 360.0);
    }

    #[test]
    fn a_later_sighting_stands_in_the_place_of_an_earlier() {
        let mut ridge = line(&[(180.0, 12.0), (180.001, 9.0), (359.999, 3.0), (0.0, 4.0)]);
        assert_eq!(ridge.sightings().len(), 2);
        assert_eq!(height(&ridge, 180.0), 9.0);
        assert_eq!(height(&ridge, 0.0), 4.0);
        ridge.take(Sighting {
            bearing: Angle::from_degrees(f64::NAN),
            height: Angle::ZERO,
        });
        assert_eq!(ridge.sightings().len(), 2);
        assert_eq!(ridge.without(9), ridge);
        assert_eq!(ridge.without(0).sightings().len(), 1);
    }

    /// A skyline at every quarter of a degree, drawn from fewer.
    #[test]
    fn a_thinned_line_stays_within_what_was_asked() {
        let point = |step: i32| {
            let bearing = f64::from(step) * 0.25;
            let wave = (bearing * 0.11).sin() * 4.0 + (bearing * 0.9).cos() * 0.8 + 6.0;
            (bearing, wave)
        };
        let all = line(&(0..1440).map(point).collect::<Vec<_>>());
        let thin = all.thinned(Angle::from_degrees(0.05));
        let count = thin.sightings().len();
        assert!(count < 450, "{count} of 1440");
        for step in 0..14_400 {
            let bearing = f64::from(step) * 0.025;
            let miss = (height(&thin, bearing) - height(&all, bearing)).abs();
            assert!(miss < 0.05 + 1e-9, "{bearing}°: {miss}");
        }
        // half a circle stays half a circle, a level one too
        let half = line(&(0..720).map(point).collect::<Vec<_>>());
        let thin = half.thinned(Angle::from_degrees(0.05));
        assert_eq!(thin.stretches(), half.stretches());
        let flat = line(
            &(0..1440)
                .map(|step| (f64::from(step) * 0.25, 5.0))
                .collect::<Vec<_>>(),
        );
        let thin = flat.thinned(Angle::from_degrees(0.05));
        assert!(thin.sightings().len() < 12);
        assert_eq!(height(&thin, 123.4), 5.0);
    }
    /// A survey at every degree, of which stretches are not known.
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

    /// Where a survey knows nothing the level stands, however narrow the gap is: all but what
    /// the ends of a gap hold.
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
            // the level follows what is typed later
            assert_eq!(height(&thin.at_level(Angle::from_degrees(2.0)), 215.0), 2.0);
        }
        let nothing = RidgeLine::surveyed(Angle::ZERO, &self::survey(&[0..360]));
        assert_eq!(nothing, RidgeLine::default());
        assert_eq!(unknown_stretches(&self::survey(&[0..360])).len(), 1);
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
        (take(215.0), take(2.0));
        assert_eq!(height(&closed, 207.0), 5.0);
        assert!(closed.sighted(Angle::from_degrees(0.0)));
        assert_eq!(closed.opened().count(), 0);
        let place = line
            .sightings()
            .iter()
            .position(|held| held.bearing.degrees() == 199.0)
            .expect("a sighting");
        let wider = line.without(place);
        let opened: Vec<f64> = wider.opened().map(|held| held.bearing.degrees()).collect();
        assert_eq!(opened, [198.0, 349.0]);
        let mut line = line;
        assert!(!line.open_after(Angle::from_degrees(215.0)));
        assert!(line.open_after(Angle::from_degrees(20.0)));
    }
}
