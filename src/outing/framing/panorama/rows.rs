//! The rows of a panorama: tilts, and number of frames at each.
//!
//! A row covers a strip: all bearings of the area, between two altitudes. The height of the strip
//! depends on how much of each frame's width is used, since edges sink to the sides; so several
//! shares are tried. Rows are placed from the lowest up, each tilted as high as its strip still
//! reaches down to the one below, choosing the one that adds most height per frame; at each step it
//! is tested whether one last row would finish with fewer frames than the best plan so far.

use crate::angle::Angle;
use crate::camera::coverage::FrameCoverage;
use crate::outing::framing::panorama::area::bearing;
use crate::outing::framing::panorama::{MOST_FRAMES, NoPanorama, PanoramaSettings, Row};

/// Most rows.
const MOST_ROWS: usize = 40;

/// Largest overlap.
const MOST_OVERLAP: f64 = 0.9;

/// Least overlap of rows, and least height a row must add, degrees.
pub(super) const TOLERANCE_DEG: f64 = 1e-6;

/// The used width of a frame.
#[derive(Debug, Clone, Copy)]
enum UsedWidth {
    /// All bearings of its middle line: only a level frame is as wide above and
    /// below it.
    Level,
    /// A share of its middle line's bearings; the smaller, the higher the covered strip, since the
    /// upper edge sinks to the sides.
    Share(f64),
    /// All the area's bearings.
    All,
}

/// Largest share tried: a tilted frame has fewer bearings than its middle line at one end.
const LARGEST_SHARE: f64 = 0.95;

/// The widths tried; of two with equal frames and height, the first is used.
const USES: [UsedWidth; 11] = [
    UsedWidth::Share(LARGEST_SHARE),
    UsedWidth::Share(0.9),
    UsedWidth::Share(0.8),
    UsedWidth::Share(0.7),
    UsedWidth::Share(0.6),
    UsedWidth::Share(0.5),
    UsedWidth::Share(0.4),
    UsedWidth::Share(0.3),
    UsedWidth::Share(0.2),
    UsedWidth::Level,
    UsedWidth::All,
];

/// Inputs of the placement.
pub(super) struct RowPlanner<'a> {
    wanted: &'a PanoramaSettings,
    cover: FrameCoverage,
}

impl<'a> RowPlanner<'a> {
    /// Checks the settings.
    pub(super) fn new(wanted: &'a PanoramaSettings) -> Result<Self, NoPanorama> {
        let cover =
            FrameCoverage::new(wanted.sensor, wanted.lens).ok_or(NoPanorama::InvalidInput)?;
        let times = [wanted.exposure_s, wanted.pause_s];
        let timed = times.iter().all(|time| time.is_finite() && *time >= 0.0);
        if !timed || !(0.0..=MOST_OVERLAP).contains(&wanted.overlap) {
            return Err(NoPanorama::InvalidInput);
        }
        if wanted.area.is_sound() {
            Ok(Self { wanted, cover })
        } else {
            Err(NoPanorama::InvalidArea)
        }
    }

    /// Rows over the whole area, from the lowest up; the excess is shared between the lower and the
    /// upper edge.
    pub(super) fn rows(&self) -> Result<Vec<Row>, NoPanorama> {
        let area = self.wanted.area;
        if area.size() > self.cover.most_area() * f64::from(MOST_FRAMES) {
            return Err(NoPanorama::TooMany);
        }
        let rows = self.rows_from(area.low.degrees())?;
        let high = rows.last().map_or(area.high, |row| row.high);
        let over = high.degrees() - area.high.degrees();
        let lower = (area.low.degrees() - over / 2.0).max(-90.0);
        match self.rows_from(lower) {
            Ok(shared) if frames(&shared) <= frames(&rows) => Ok(shared),
            _ => Ok(rows),
        }
    }

    /// See [`PanoramaSettings::one_row`].
    pub(super) fn highest_of_one(&self) -> Option<Angle> {
        let least = (1.0 - self.wanted.overlap).min(LARGEST_SHARE) - TOLERANCE_DEG;
        let mut best = None;
        for used in USES {
            let wide = match used {
                UsedWidth::Share(share) => share >= least,
                UsedWidth::Level | UsedWidth::All => true,
            };
            let low = self.wanted.area.low.degrees();
            let row = self.row(used, low, 90.0).ok().filter(|_| wide);
            let high = row.map(|row| row.high);
            if high > best {
                best = high;
            }
        }
        best
    }

    /// Rows from an altitude up to the area's highest one.
    fn rows_from(&self, low: f64) -> Result<Vec<Row>, NoPanorama> {
        let between_rows = self.cover.height().degrees() * (1.0 - self.wanted.overlap);
        let top = self.wanted.area.high;
        let mut rows: Vec<Row> = Vec::new();
        let mut finished: Option<Vec<Row>> = None;
        let (mut low, mut highest) = (low, 90.0_f64);
        loop {
            let (row, last) = self.next_rows(low, highest)?;
            let best = finished.as_deref().map_or(MOST_FRAMES + 1, frames);
            if let Some(last) = last
                && frames(&rows) + last.columns < best
            {
                let mut ended = rows.clone();
                ended.push(last);
                finished = Some(ended);
            }
            let done = row.high >= top || frames(&rows) + row.columns >= best;
            if done || rows.len() == MOST_ROWS {
                return finished.ok_or(NoPanorama::TooMany);
            }
            low = row.high.degrees() - TOLERANCE_DEG;
            highest = (row.tilt.degrees() + between_rows).min(90.0);
            rows.push(row);
        }
    }

    /// The row from an altitude on that adds most height per frame, and the one that reaches the
    /// area's highest altitude with the fewest frames.
    fn next_rows(&self, low: f64, highest: f64) -> Result<(Row, Option<Row>), NoPanorama> {
        let top = self.wanted.area.high;
        let mut reason = NoPanorama::TooMany;
        let mut best: Option<Row> = None;
        let mut last: Option<Row> = None;
        let mut most = 0.0;
        for used in USES {
            match self.row(used, low, highest) {
                Ok(row) => {
                    let added = row.high.degrees().min(top.degrees()) - low;
                    let gain = added / f64::from(row.columns);
                    if gain > most && added > 2.0 * TOLERANCE_DEG {
                        most = gain;
                        best = Some(row);
                    }
                    // with equal frames the higher row leaves more excess to share at the edges
                    let better = last.is_none_or(|last| {
                        row.columns < last.columns
                            || (row.columns == last.columns && row.high > last.high)
                    });
                    if row.high >= top && better {
                        last = Some(row);
                    }
                }
                Err(NoPanorama::NoStop) => reason = NoPanorama::NoStop,
                Err(_) => {}
            }
        }
        best.map(|best| (best, last)).ok_or(reason)
    }

    /// A row from an altitude on, tilted as high as possible.
    fn row(&self, used: UsedWidth, low: f64, highest: f64) -> Result<Row, NoPanorama> {
        let all = self.wanted.area.width.degrees() / 2.0;
        let half = |tilt: Angle| {
            let middle = self.cover.width(tilt).degrees() / 2.0;
            let half = match used {
                UsedWidth::Level => middle,
                UsedWidth::Share(share) => middle * share,
                UsedWidth::All => all,
            };
            Angle::from_degrees(half.min(all))
        };
        // no frame reaches farther below its middle than this
        let reach = low + self.cover.height().degrees() / 2.0;
        let highest = reach.min(highest);
        let low = Angle::from_degrees(low);
        let tilt = match used {
            UsedWidth::Level => Some(Angle::ZERO).filter(|_| highest >= 0.0),
            _ => self
                .cover
                .tilt_over(low, Angle::from_degrees(highest), half),
        };
        let tilt = tilt.ok_or(NoPanorama::TooMany)?;
        let used = half(tilt);
        let high = self.cover.top(tilt, used, low).ok_or(NoPanorama::TooMany)?;
        let frame_width = self.cover.width(tilt);
        let (columns, turn) = self.columns(frame_width, used)?;
        let first = if self.wanted.area.is_round() {
            self.wanted.area.left.degrees()
        } else {
            let middle = self.wanted.area.left.degrees() + all;
            middle - turn * f64::from(columns - 1) / 2.0
        };
        Ok(Row {
            tilt,
            first: bearing(first),
            turn: Angle::from_degrees(turn),
            columns,
            frame_width,
            low,
            high,
        })
    }

    /// Number of frames of a width in a row, each used for `half` to either side of its bearing,
    /// and the turn between them, degrees.
    fn columns(&self, frame_width: Angle, half: Angle) -> Result<(u32, f64), NoPanorama> {
        let (width, used) = (self.wanted.area.width.degrees(), 2.0 * half.degrees());
        if used >= width - TOLERANCE_DEG {
            return Ok((1, 0.0));
        }
        let wanted = frame_width.degrees() * (1.0 - self.wanted.overlap);
        let most = self
            .wanted
            .clicks
            .at_most(wanted.min(used))
            .ok_or(NoPanorama::NoStop)?;
        let (span, ends) = if self.wanted.area.is_round() {
            (width, 0.0)
        } else {
            (width - used, 1.0)
        };
        let turns = (span / most - TOLERANCE_DEG).ceil().max(1.0);
        if turns + ends > f64::from(MOST_FRAMES) {
            return Err(NoPanorama::TooMany);
        }
        let turn = self.wanted.clicks.at_least(span / turns, most);
        Ok(((turns + ends) as u32, turn))
    }
}

fn frames(rows: &[Row]) -> u32 {
    rows.iter().map(|row| row.columns).sum()
}
