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
mod tests {
    use super::*;
    use crate::camera::lens::Projection;
    use crate::camera::sensor::FORMATS;
    use crate::outing::framing::panorama::click_stops::HEAD_STOPS_DEG;

    /// 36 × 24 mm upright with a rectilinear lens, for an area; 25 s and no pause.
    fn upright(focal_mm: f64, width: f64, low: f64, high: f64) -> PanoramaSettings {
        let [width, low, high] = [width, low, high].map(Angle::from_degrees);
        PanoramaSettings {
            sensor: FORMATS[1].sensor(24.0).turned(),
            lens: Lens {
                focal_mm,
                f_number: 2.8,
                projection: Projection::Rectilinear,
                ..Lens::default()
            },
            area: Area {
                left: Angle::from_degrees(350.0),
                width,
                low,
                high,
            },
            overlap: OVERLAP,
            clicks: ClickStops::Free,
            exposure_s: 25.0,
            pause_s: 0.0,
        }
    }

    /// Level rows by n = ⌈(W − F)/(F (1 − o))⌉ + 1, full turns by ⌈360/(F (1 − o))⌉, computed
    /// independently for F = 2 atan(12/f). The area is as high as the frame's corners.
    #[test]
    fn agrees_with_the_worked_rows() {
        for (focal, part, round) in [(24.0, 5, 10), (14.0, 4, 7), (35.0, 8, 14), (50.0, 11, 20)] {
            for (width, want) in [(200.0, part), (360.0, round)] {
                let corner = 18.0 / f64::hypot(focal, 12.0);
                let high = corner.atan().to_degrees() - 0.01;
                let plan = upright(focal, width, -high, high).plan().expect("a plan");
                // a full turn has no end frames, so its tilt may be a little higher
                assert!(plan.rows[0].tilt.degrees().abs() < 0.1, "{plan:?}");
                assert_eq!(
                    (plan.rows.len(), plan.count()),
                    (1, want),
                    "{focal} mm, {width}° {plan:?}"
                );
            }
        }
    }

    /// 5 frames of 25 s, computed independently from 0.2507° a minute: 0.42° and 0.52°.
    #[test]
    fn the_sky_slips_as_worked() {
        let wanted = upright(24.0, 200.0, -30.0, 30.0);
        let plan = wanted.plan().expect("a plan");
        assert_eq!(plan.time_s(plan.count()), 125.0);
        let slip = plan.sky_rotation(plan.count());
        assert!(
            (slip.between_starts.degrees() - 0.4178).abs() < 1e-4,
            "{slip:?}"
        );
        assert!((slip.total.degrees() - 0.5223).abs() < 1e-4, "{slip:?}");
        let paused = PanoramaSettings {
            pause_s: 5.0,
            ..wanted
        };
        let plan = paused.plan().expect("a plan");
        assert_eq!(plan.time_s(5), 145.0);
        assert!(
            (plan.sky_rotation(5).between_starts.degrees() - 120.0 * 0.2507 / 60.0).abs() < 1e-4
        );
        assert_eq!(plan.sky_rotation(1).between_starts.degrees(), 0.0);
        assert_eq!(plan.sky_rotation(0).total.degrees(), 0.0);
    }

    #[test]
    fn upper_rows_need_fewer_frames_and_come_first() {
        let plan = upright(24.0, 200.0, -20.0, 85.0).plan().expect("a plan");
        assert!(plan.rows.len() > 1, "{plan:?}");
        for two in plan.rows.windows(2) {
            assert!(two[0].tilt > two[1].tilt, "{plan:?}");
            assert!(two[0].columns <= two[1].columns, "{plan:?}");
            assert!(two[0].frame_width > two[1].frame_width, "{plan:?}");
        }
        let land = upright(24.0, 90.0, -80.0, 40.0).plan().expect("a plan");
        assert!(land.count_with_sky() < land.count(), "{land:?}");
    }

    /// Fewer rows than the area needs cover its lower part, one of them as high as one row covers.
    #[test]
    fn so_many_rows_cover_what_they_can() {
        let wanted = upright(50.0, 200.0, -10.0, 80.0);
        let whole = wanted.plan().expect("a plan");
        assert!(whole.rows.len() > 2, "{whole:?}");
        let mut before = wanted.area.low;
        for rows in 1..=2 {
            let plan = wanted.plan_within(rows).expect("a plan");
            assert!(plan.rows.len() <= rows, "{plan:?}");
            assert!(plan.top() > before && plan.top() < wanted.area.high);
            before = plan.top();
        }
        let one = wanted.plan_within(1).expect("a plan").top().degrees();
        let most = wanted.one_row().expect("a row").degrees();
        // with more columns than the overlap requires it may reach a little higher
        assert!(one > most - 0.1 && one < most + 2.0, "{one}, {most}");
        assert_eq!(wanted.plan_within(9), Ok(whole));
        let low = upright(24.0, 200.0, -10.0, 20.0);
        assert_eq!(low.plan_within(1), low.plan());
        let bad = upright(24.0, 0.0, 0.0, 30.0);
        assert_eq!(bad.plan_within(1), Err(NoPanorama::InvalidArea));
    }

    /// Definition: neighbours have at least the overlap asked for in common, along a row of the
    /// middle line's bearings and from row to row of the height.
    #[test]
    fn neighbours_overlap_as_asked() {
        let wanted = upright(24.0, 200.0, -20.0, 85.0);
        let plan = wanted.plan().expect("a plan");
        for row in plan.rows.iter().filter(|row| row.columns > 1) {
            let share = row.overlap().expect("two frames").degrees() / row.frame_width.degrees();
            assert!((OVERLAP - 1e-9..1.0).contains(&share), "{row:?}");
        }
        // 36 mm high at 24 mm
        let height = Angle::from_radians(2.0 * (18.0_f64 / 24.0).atan());
        let overlaps: Vec<_> = plan.row_overlaps(height).collect();
        assert_eq!(overlaps.len(), plan.rows.len() - 1);
        for overlap in overlaps {
            let share = overlap.degrees() / height.degrees();
            assert!(share >= OVERLAP - 1e-6, "{share}");
        }
    }

    #[test]
    fn turns_by_what_the_head_allows() {
        let free = upright(24.0, 200.0, -10.0, 20.0);
        let turn = |clicks| {
            let plan = PanoramaSettings { clicks, ..free }.plan().expect("a plan");
            let [row] = plan.rows[..] else {
                panic!("{plan:?}");
            };
            // the excess at both ends is equal
            let middle =
                row.first.degrees() + row.turn.degrees() * f64::from(row.columns - 1) / 2.0;
            assert!((middle - 90.0).abs() < 1e-9, "{plan:?}");
            row.turn.degrees()
        };
        let whole = turn(ClickStops::WholeDegrees);
        assert!(whole.fract().min(1.0 - whole.fract()) < 1e-9, "{whole}");
        let stop = turn(ClickStops::Stops(&HEAD_STOPS_DEG));
        let known = HEAD_STOPS_DEG
            .iter()
            .any(|known| (known - stop).abs() < 1e-9);
        assert!(known, "{stop}");
        let long = PanoramaSettings {
            clicks: ClickStops::Stops(&HEAD_STOPS_DEG),
            ..upright(200.0, 60.0, 0.0, 5.0)
        };
        assert_eq!(long.plan(), Err(NoPanorama::NoStop));
    }

    #[test]
    fn absurd_input_is_told_so() {
        let cases = [
            (upright(600.0, 360.0, -30.0, 90.0), NoPanorama::TooMany),
            (upright(1e9, 200.0, 0.0, 30.0), NoPanorama::TooMany),
            (upright(3000.0, 0.01, -90.0, 90.0), NoPanorama::TooMany),
            (upright(5000.0, 300.0, 0.0, 0.1), NoPanorama::TooMany),
            (
                upright(f64::NAN, 200.0, 0.0, 30.0),
                NoPanorama::InvalidInput,
            ),
            (upright(0.0, 200.0, 0.0, 30.0), NoPanorama::InvalidInput),
            (upright(24.0, 0.0, 0.0, 30.0), NoPanorama::InvalidArea),
            (upright(24.0, 361.0, 0.0, 30.0), NoPanorama::InvalidArea),
            (upright(24.0, 200.0, 30.0, 30.0), NoPanorama::InvalidArea),
            (
                upright(24.0, 200.0, f64::NAN, 30.0),
                NoPanorama::InvalidArea,
            ),
            (upright(24.0, f64::NAN, 0.0, 30.0), NoPanorama::InvalidArea),
        ];
        for (wanted, want) in cases {
            assert_eq!(wanted.plan(), Err(want), "{wanted:?}");
        }
        let sound = upright(24.0, 200.0, 0.0, 30.0);
        for odd in [
            PanoramaSettings {
                overlap: 0.95,
                ..sound
            },
            PanoramaSettings {
                overlap: f64::NAN,
                ..sound
            },
            PanoramaSettings {
                pause_s: -1.0,
                ..sound
            },
        ] {
            assert_eq!(odd.plan(), Err(NoPanorama::InvalidInput));
            assert_eq!(odd.one_row(), None);
        }
    }

    /// The edges of a rectilinear frame are great circles: at the bearing b from its middle the
    /// lower one is at tan a = tan(tilt − v) cos b and the upper one at tan(tilt + v) cos b, with
    /// tan v = 18/24. With an overlap of 0.3 a frame is used for 0.7 of its width.
    #[test]
    fn one_row_covers_a_low_arch() {
        let wanted = upright(24.0, 190.0, -5.0, 30.0);
        let got = wanted.one_row().map_or(f64::NAN, Angle::degrees);
        let v = 0.75_f64.atan();
        let cos = |tilt: f64| (0.7 * (0.5 / tilt.cos()).atan()).cos();
        let lower = |tilt: f64| ((tilt - v).tan() * cos(tilt)).atan().to_degrees();
        let tilt = (0..=90_000).map(|step| f64::from(step) * 1e-3_f64.to_radians());
        let tilt = tilt
            .take_while(|tilt| lower(*tilt) <= -5.0)
            .last()
            .expect("a tilt");
        let want = ((tilt + v).tan() * cos(tilt)).atan().to_degrees();
        assert!((got - want).abs() < 5e-3, "{got}, {want}");

        let area = Area {
            high: Angle::from_degrees(got),
            ..wanted.area
        };
        let plan = PanoramaSettings { area, ..wanted }.plan().expect("a plan");
        assert_eq!(plan.rows.len(), 1, "{plan:?}");
    }
}
