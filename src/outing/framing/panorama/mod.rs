//! A panorama: the frames that cover a piece of the sky and the land below it.
//!
//! The camera is turned by even clicks along a row and tilted from row to row; neighbours overlap,
//! so that a program can join them. A tilted row covers more bearings and needs fewer frames.
//! Meanwhile the sky turns against the land, from the first frame to the last. So rows with sky
//! come first, the highest before the others, each from left to right, and land alone last.
//! Alternating directions would double the time between some vertical neighbours.

pub mod area;
pub mod click_stops;
pub mod exposure;
pub mod outline;
mod rows;

use std::fmt;

use crate::angle::Angle;
use crate::camera::frame::Frame;
use crate::camera::lens::Lens;
use crate::camera::sensor::Sensor;
use crate::outing::framing::panorama::area::{Area, bearing};
use crate::outing::framing::panorama::click_stops::ClickStops;
use crate::outing::framing::panorama::rows::RowPlanner;

/// Default overlap of neighbours (common practice: a quarter to a third for wide lenses).
pub const OVERLAP: f64 = 0.3;

/// Most frames of a plan.
pub const MOST_FRAMES: u32 = 999;

/// Rotation of the sky, degrees a second: a turn and 1/365.2422 a day.
const SKY_DEG_PER_S: f64 = 360.0 * (1.0 + 1.0 / 365.2422) / 86_400.0;

/// Inputs of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanoramaSettings {
    /// The sensor, as it is held: [`Sensor::turned`] for upright.
    pub sensor: Sensor,
    /// The lens.
    pub lens: Lens,
    /// What is to be covered.
    pub area: Area,
    /// Least overlap of neighbours, 0 to 0.9: of the middle line's bearings along a row, of the
    /// height from row to row.
    pub overlap: f64,
    /// How the head turns.
    pub clicks: ClickStops,
    /// Exposure of each frame, s.
    pub exposure_s: f64,
    /// From the end of one exposure to the start of the next, s.
    pub pause_s: f64,
}

/// Why there is no plan; displays as a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoPanorama {
    /// Sensor, lens, overlap or times are invalid.
    InvalidInput,
    /// The area is empty or larger than the sphere.
    InvalidArea,
    /// More than [`MOST_FRAMES`], or too many rows.
    TooMany,
    /// The head has no click stop as small as this lens needs.
    NoStop,
}

impl fmt::Display for NoPanorama {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::InvalidInput => "no panorama can be planned with these numbers",
            Self::InvalidArea => "the area to cover is empty or too large",
            Self::TooMany => "too many frames; take a wider lens or a smaller area",
            Self::NoStop => "the head's stops are too far apart for this lens",
        })
    }
}

/// Frames side by side at one tilt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Height of the optical axis.
    pub tilt: Angle,
    /// True bearing of the first frame, the one farthest left.
    pub first: Angle,
    /// Turn from each frame to the next, to the right; zero for a single one.
    pub turn: Angle,
    /// Number of frames.
    pub columns: u32,
    /// Bearings between the ends of a frame's middle line.
    pub frame_width: Angle,
    /// Lowest altitude it covers over the area's whole width.
    pub low: Angle,
    /// Highest altitude it covers over the area's whole width.
    pub high: Angle,
}

impl Row {
    /// Bearings that two neighbours have in common, on their middle line; `None` for a single
    /// frame.
    pub fn overlap(&self) -> Option<Angle> {
        let common_deg = self.frame_width.degrees() - self.turn.degrees();
        (self.columns > 1).then(|| Angle::from_degrees(common_deg))
    }
}

/// Rotation of the sky while frames are taken, at most (on the celestial equator).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyRotation {
    /// Between the first frame's start and the last one's.
    pub between_starts: Angle,
    /// From the first frame's start to the last one's end.
    pub total: Angle,
}

/// The frames to take.
#[derive(Debug, Clone, PartialEq)]
pub struct PanoramaPlan {
    /// Rows in the order of shooting.
    pub rows: Vec<Row>,
    exposure_s: f64,
    pause_s: f64,
}

impl PanoramaPlan {
    /// The same frames with another exposure, s.
    pub fn exposed(self, exposure_s: f64) -> Self {
        Self { exposure_s, ..self }
    }

    /// Number of frames.
    pub fn count(&self) -> u32 {
        self.rows.iter().map(|row| row.columns).sum()
    }

    /// Number of frames with sky, which come first.
    pub fn count_with_sky(&self) -> u32 {
        let with_sky = self.rows.iter().filter(|row| row.high > Angle::ZERO);
        with_sky.map(|row| row.columns).sum()
    }

    /// The frames in the order of shooting.
    pub fn frames(&self) -> impl Iterator<Item = Frame> + '_ {
        self.rows.iter().flat_map(|row| {
            (0..row.columns).map(|column| Frame {
                bearing: bearing(row.first.degrees() + f64::from(column) * row.turn.degrees()),
                tilt: row.tilt,
                roll: Angle::ZERO,
            })
        })
    }

    /// Height that each row has in common with the next in the order of shooting, on the middle
    /// line of frames of this height; see [`FrameCoverage::height`]. Negative where they do not
    /// meet, which no plan has.
    ///
    /// [`FrameCoverage::height`]: crate::camera::coverage::FrameCoverage::height
    pub fn row_overlaps(&self, frame_height: Angle) -> impl Iterator<Item = Angle> + '_ {
        self.rows.windows(2).map(move |two| {
            let apart_deg = (two[0].tilt.degrees() - two[1].tilt.degrees()).abs();
            Angle::from_degrees(frame_height.degrees() - apart_deg)
        })
    }

    /// The highest altitude covered.
    pub fn top(&self) -> Angle {
        let highest = self.rows.iter().map(|row| row.high.degrees());
        Angle::from_degrees(highest.fold(-90.0, f64::max))
    }

    /// Time for `frames` frames, s: exposures and the pauses between them.
    pub fn time_s(&self, frames: u32) -> f64 {
        let pauses = f64::from(frames.saturating_sub(1));
        f64::from(frames) * self.exposure_s + pauses * self.pause_s
    }

    /// The sky's rotation over `frames` frames.
    ///
    /// ```text
    /// 5 frames of 25 s  →  0.42° between starts, 0.52° over the whole
    /// ```
    pub fn sky_rotation(&self, frames: u32) -> SkyRotation {
        let whole_s = self.time_s(frames);
        let last_s = if frames > 0 { self.exposure_s } else { 0.0 };
        let turned = |seconds: f64| Angle::from_degrees(seconds * SKY_DEG_PER_S);
        SkyRotation {
            between_starts: turned(whole_s - last_s),
            total: turned(whole_s),
        }
    }
}

impl PanoramaSettings {
    /// The plan.
    ///
    /// Every point of the area is in some frame, by the lens's projection; rows and columns have at
    /// least the given overlap. The number of frames is near the minimum, not proven to be: rows
    /// are placed from the lowest up, each where it adds most height per frame. The excess is
    /// shared between the lower and the upper edge.
    ///
    /// ```text
    /// 24 mm upright on 36 × 24 mm, overlap 0.3, 200° wide, −30° to 30° high  →  one row of 5
    /// ```
    pub fn plan(&self) -> Result<PanoramaPlan, NoPanorama> {
        let mut rows = RowPlanner::new(self)?.rows()?;
        rows.reverse();
        Ok(PanoramaPlan {
            rows,
            exposure_s: self.exposure_s,
            pause_s: self.pause_s,
        })
    }

    /// The plan with at most so many rows: that of the whole area, or else of as much of it from
    /// its lowest altitude up as so many rows cover, to a hundredth of a degree. Its
    /// [`PanoramaPlan::top`] is below the area's then.
    pub fn plan_within(&self, rows: usize) -> Result<PanoramaPlan, NoPanorama> {
        const NEAR_DEG: f64 = 0.01;
        let whole = self.plan();
        let fits = |plan: &PanoramaPlan| plan.rows.len() <= rows;
        match &whole {
            Ok(plan) if !fits(plan) => {}
            Err(NoPanorama::TooMany) => {}
            _ => return whole,
        }
        let (mut low, mut high) = (self.area.low.degrees(), self.area.high.degrees());
        let mut best = Err(NoPanorama::TooMany);
        while high - low > NEAR_DEG {
            let middle = (low + high) / 2.0;
            let area = Area {
                high: Angle::from_degrees(middle),
                ..self.area
            };
            match (Self { area, ..*self }).plan() {
                Ok(plan) if fits(&plan) => {
                    low = middle;
                    best = Ok(plan);
                }
                _ => high = middle,
            }
        }
        best
    }

    /// The altitude up to which one row covers the area's width from its lowest altitude on, with
    /// no more columns than the overlap requires. An arch whose top is below it by a margin fits
    /// one row. `None` if there is no such row.
    pub fn one_row(&self) -> Option<Angle> {
        RowPlanner::new(self).ok()?.highest_of_one()
    }
}

#[cfg(test)]
mod tests;
