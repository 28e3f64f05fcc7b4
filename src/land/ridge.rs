//! The ridge line: the skyline of a site, as apparent altitude by bearing.
//!
//! It consists of sightings, from any source. Between two neighbours it is interpolated linearly;
//! where neighbours are more than [`WIDEST_GAP`] apart it is unsighted, and the line has the level
//! height. So it has in a narrower gap that a survey has marked as unknown.

use crate::angle::Angle;

/// Neighbours further apart than this leave an unsighted gap.
///
/// A quarter of the circle: four sightings around a valley make a closed line; a ridge sighted in
/// the south does not extend to the north.
pub const WIDEST_GAP: Angle = Angle::from_degrees(90.0);

/// Beyond the last sighting before a gap the ridge is extended by this much, degrees, so that a
/// single sighting is a ridge too.
pub(super) const HOLDS_DEG: f64 = 2.5;

/// Sightings closer than this are one, degrees.
const SAME_DEG: f64 = 0.01;

/// Most sightings of a line: one every tenth of a degree.
pub const MOST_SIGHTINGS: usize = 3600;

/// Lowest and highest sighting, degrees: a plain far below a summit, and the foot of a wall.
pub const LEAST_DEG: f64 = -10.0;
/// See [`LEAST_DEG`].
pub const MOST_DEG: f64 = 89.0;

/// A measured point of the ridge line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sighting {
    /// True bearing, 0 to under 360°.
    pub bearing: Angle,
    /// Apparent altitude.
    pub height: Angle,
}

/// The skyline of a site.
#[derive(Debug, Clone, PartialEq)]
pub struct RidgeLine {
    level: Angle,
    sightings: Vec<Sighting>,
    /// For each sighting, whether a survey marked the range to the next as unknown.
    open: Vec<bool>,
}

impl Default for RidgeLine {
    /// The flat horizon.
    fn default() -> Self {
        Self::level(Angle::ZERO)
    }
}

impl RidgeLine {
    /// A constant height.
    pub const fn level(level: Angle) -> Self {
        Self {
            level,
            sightings: Vec::new(),
            open: Vec::new(),
        }
    }

    /// From sightings in any order, and the height where there are none. Of two at one bearing the
    /// later is used; those beyond [`MOST_SIGHTINGS`] are dropped.
    ///
    /// ```
    /// use tarnlight::angle::Angle;
    /// use tarnlight::land::ridge::{RidgeLine, Sighting};
    /// let point = |bearing, height| Sighting {
    ///     bearing: Angle::from_degrees(bearing),
    ///     height: Angle::from_degrees(height),
    /// };
    /// let line = RidgeLine::new(Angle::ZERO, [point(200.0, 12.0), point(160.0, 8.0)]);
    /// assert_eq!(line.height(Angle::from_degrees(180.0)).degrees(), 10.0);
    /// assert_eq!(line.height(Angle::from_degrees(20.0)).degrees(), 0.0);
    /// ```
    pub fn new(level: Angle, sightings: impl IntoIterator<Item = Sighting>) -> Self {
        let mut line = Self::level(level);
        for sighting in sightings {
            line.take(sighting);
        }
        line
    }

    /// The place of the sighting at a bearing, to the hundredth of a degree that tells two apart.
    pub fn sighting_at(&self, bearing: Angle) -> Option<usize> {
        let off_deg = |existing: &Sighting| {
            let off = existing.bearing.degrees() - bearing.degrees() + 180.0;
            (off.rem_euclid(360.0) - 180.0).abs()
        };
        let near = |existing: &Sighting| off_deg(existing) < SAME_DEG / 2.0;
        self.sightings.iter().position(near)
    }

    /// Marks the range from the sighting at a bearing to the next as unknown; returns whether there
    /// is such a sighting.
    pub fn open_gap_after(&mut self, bearing: Angle) -> bool {
        let place = self.sighting_at(bearing);
        if let Some(place) = place {
            self.open[place] = true;
        }
        place.is_some()
    }

    /// The sightings before a gap that a survey marked.
    pub fn gap_starts(&self) -> impl Iterator<Item = &Sighting> {
        let both = self.sightings.iter().zip(&self.open);
        both.filter_map(|(existing, open)| open.then_some(existing))
    }

    /// Inserts a sighting. One in a gap of a survey closes it.
    pub fn take(&mut self, sighting: Sighting) {
        let bearing = sighting.bearing.degrees().rem_euclid(360.0);
        if !bearing.is_finite() || !sighting.height.degrees().is_finite() {
            return;
        }
        // just below north is north
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
            .partition_point(|existing| existing.bearing.degrees() < bearing - SAME_DEG / 2.0);
        let room = self.sightings.len() < MOST_SIGHTINGS;
        match self.sightings.get_mut(place) {
            Some(existing) if existing.bearing.degrees() < bearing + SAME_DEG / 2.0 => {
                *existing = sighting
            }
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

    /// The line without one of its sightings; an adjoining gap of a survey widens.
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

    /// The line with another level height.
    pub fn at_level(&self, level: Angle) -> Self {
        let mut line = self.clone();
        line.level = level;
        line
    }

    /// The level height, used where nothing was sighted.
    pub const fn all_round(&self) -> Angle {
        self.level
    }

    /// The sightings by bearing, from north through east.
    pub fn sightings(&self) -> &[Sighting] {
        &self.sightings
    }

    /// Whether a bearing was sighted.
    pub fn sighted(&self, bearing: Angle) -> bool {
        self.sighted_height_deg(bearing.degrees()).is_some()
    }

    /// The apparent height at a true bearing.
    pub fn height(&self, bearing: Angle) -> Angle {
        let sighted = self.sighted_height_deg(bearing.degrees());
        sighted.map_or(self.level, Angle::from_degrees)
    }

    /// The lowest and the highest height of the line.
    pub fn least_and_most(&self) -> (Angle, Angle) {
        let mut ends = None;
        let count = self.sightings.len();
        let gap = (0..count).any(|place| self.is_gap(place)) || count == 0;
        let level = gap.then_some(self.level);
        for height in self
            .sightings
            .iter()
            .map(|existing| existing.height)
            .chain(level)
        {
            let (least, most) = ends.unwrap_or((height, height));
            ends = Some((
                if height < least { height } else { least },
                if height > most { height } else { most },
            ));
        }
        ends.unwrap_or((self.level, self.level))
    }

    /// Sighted ranges, each by its first and last bearing; the whole circle is from 0° to 360°.
    pub fn stretches(&self) -> Vec<(Angle, Angle)> {
        let count = self.sightings.len();
        let gaps: Vec<usize> = (0..count).filter(|place| self.is_gap(*place)).collect();
        let (Some(first), Some(last)) = (gaps.first(), gaps.last()) else {
            let whole = (Angle::ZERO, Angle::from_degrees(360.0));
            return if count == 0 { Vec::new() } else { vec![whole] };
        };
        // a range begins after one gap and ends before the next
        let mut from = *last;
        let mut found = Vec::with_capacity(gaps.len());
        for gap in std::iter::once(first).chain(&gaps[1..]) {
            let start = self.sightings[(from + 1) % count].bearing;
            found.push((start, self.sightings[*gap].bearing));
            from = *gap;
        }
        found
    }

    /// Whether there is a gap between this sighting and the next, by width or marked by a survey.
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
            .partition_point(|existing| existing.bearing.degrees() <= bearing);
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

    /// The line simplified to a tolerance: for a skyline computed at even steps.
    ///
    /// The farthest sighting from a straight segment is kept and both halves are simplified in turn
    /// (D. H. Douglas & T. K. Peucker, *Cartographica* 10 (1973) 112; from memory).
    pub fn thinned(&self, within: Angle) -> Self {
        let count = self.sightings.len();
        let mut kept = vec![false; count];
        let mut waiting = Vec::new();
        // neighbours of a gap are kept; between gaps the line is simplified
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
            // a segment wider than that would become a gap
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
        let mut existing = kept.iter();
        line.sightings
            .retain(|_| existing.next().copied().unwrap_or(true));
        let mut existing = kept.iter();
        line.open
            .retain(|_| existing.next().copied().unwrap_or(true));
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
        RidgeLine::new(Angle::from_degrees(1.0), sightings)
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

    /// A skyline at every quarter of a degree, simplified.
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
}
