//! The arch of the Milky Way at the minute looked at, and the panorama that covers it.

use crate::angle::Angle;
use crate::camera::coverage::FrameCoverage;
use crate::camera::dial::Shutter;
use crate::camera::frame::Frame;
use crate::outing::exposure::Answer;
use crate::outing::framing::arch::{Arch, Arches};
use crate::outing::framing::panorama::area::Area;
use crate::outing::framing::panorama::exposure::{FrameLimit, limiting_frame};
use crate::outing::framing::panorama::outline::outline;
use crate::outing::framing::panorama::{NoPanorama, PanoramaPlan, PanoramaSettings, Row};
use crate::outing::plan::Outing;
use crate::sky::altitude::TrueAltitude;
use crate::sky::observer::Horizontal;
use crate::sky::spans::Spans;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::panorama::{CLICK_STOPS, PanoramaDraft};

/// Room left about the arch.
const MARGIN: Angle = Angle::from_degrees(10.0);

/// Width of a panorama about the core alone, degrees.
const ABOUT_CORE_DEG: f64 = 120.0;

/// What the panorama sheet shows, and the field card in one line.
#[derive(Debug, Clone)]
pub struct Panorama {
    /// The arch at the minute looked at.
    pub arch: Arch,
    /// When a single row covers the arch in the dark; `None` where it never does with this
    /// lens.
    pub single_row: Option<Spans>,
    /// The frames, or why there are none.
    pub plan: Result<ExposedPlan, NoPanorama>,
}

/// A panorama's frames, exposed as long as the frame that allows the least.
#[derive(Debug, Clone, PartialEq)]
pub struct ExposedPlan {
    /// The frames.
    pub plan: PanoramaPlan,
    /// The shutter time of all of them.
    pub shutter: Shutter,
    /// The frame that allows the least; `None` where none holds sky.
    pub limit: Option<FrameLimit>,
    /// The frames in the order of shooting.
    pub frames: Vec<PanoramaFrame>,
    /// Height that each row has in common with the next in that order.
    pub row_overlaps: Vec<Angle>,
    /// Whether the rows allowed do not reach the top of what is to be covered;
    /// [`PanoramaPlan::top`] is where they end.
    pub cut: bool,
}

/// A frame of a panorama.
#[derive(Debug, Clone, PartialEq)]
pub struct PanoramaFrame {
    /// Where it points.
    pub frame: Frame,
    /// Its row, from 0 in the order of shooting.
    pub row: usize,
    /// Its outline as bearings and altitudes; see
    /// [`outline`](crate::outing::framing::panorama::outline::outline()).
    pub outline: Vec<Vec<(Angle, Angle)>>,
    /// Bearings it has in common with the one to its left, on the row's middle line; `None` for
    /// the first of a row.
    pub overlap: Option<Angle>,
    /// Turn to the right from the frame taken before it, −180° to 180°; zero for the first.
    pub turn: Angle,
}

impl Panorama {
    /// For an outing, its shutter time, and the arches of the night selected.
    pub fn new(
        outing: &Outing,
        answer: &Answer,
        (arches, selected): (&Arches, &SelectedNight),
        draft: &PanoramaDraft,
    ) -> Self {
        let arch = arches.at(days_of(selected.minute));
        let core = selected.reading.core;
        let settings = settings(draft, answer, &arch, core.bearing);
        let dark = &selected.night.evening.usable.dark;
        Self {
            arch,
            single_row: settings
                .one_row()
                .map(|highest| arches.no_higher_than(below(highest)).intersection(dark)),
            plan: ExposedPlan::new(outing, answer, (&settings, draft.rows), core),
        }
    }
}

impl ExposedPlan {
    /// Lays the frames, in at most so many rows, and limits their exposure. `core` is where the
    /// core stands.
    fn new(
        outing: &Outing,
        answer: &Answer,
        (settings, rows): (&PanoramaSettings, Option<usize>),
        core: Horizontal,
    ) -> Result<Self, NoPanorama> {
        let plan = rows.map_or_else(|| settings.plan(), |rows| settings.plan_within(rows))?;
        let limit = limiting_frame(outing, &plan, (core.bearing, core.altitude.0));
        let shutter = limit.map_or_else(|| answer.shutter(), |limit| limit.shutter());
        let cover = FrameCoverage::new(settings.sensor, settings.lens);
        let height = cover.map(|cover| cover.height());
        let overlaps = height.map(|height| plan.row_overlaps(height).collect());
        Ok(Self {
            frames: frames(outing, &plan),
            row_overlaps: overlaps.unwrap_or_default(),
            cut: plan.top() < settings.area.high,
            plan: plan.exposed(shutter.exact_s()),
            shutter,
            limit,
        })
    }

    /// The frame to be taken in the field, its place clamped to the plan; `None` without frames.
    pub fn at(&self, place: usize) -> Option<(usize, &PanoramaFrame)> {
        let place = place.min(self.frames.len().checked_sub(1)?);
        self.frames.get(place).map(|frame| (place, frame))
    }
}

/// Room beside the frames of a panorama unrolled, and its least width, degrees of bearing.
const BESIDE_DEG: f64 = 8.0;
const LEAST_SPAN_DEG: f64 = 120.0;

/// Step of bearing along the arch, degrees.
const ARCH_STEP_DEG: f64 = 3.0;

impl Panorama {
    /// The bearings of the panorama unrolled: from the left end, and degrees to the right of it.
    /// They hold the middle lines of all frames, or the arch where there are none.
    pub fn unrolled(&self) -> (Angle, f64) {
        let (mut middle, mut half_deg) = (self.arch.top_bearing, 100.0);
        if let Ok(exposed) = &self.plan
            && let Some(first) = exposed.plan.rows.first()
        {
            let turned_deg = |row: &Row| row.turn.degrees() * f64::from(row.columns - 1) / 2.0;
            middle = Angle::from_degrees(first.first.degrees() + turned_deg(first));
            let reach = |row: &Row| turned_deg(row) + row.frame_width.degrees() / 2.0;
            half_deg = exposed.plan.rows.iter().map(reach).fold(0.0, f64::max);
        }
        let span_deg = (2.0 * half_deg + BESIDE_DEG).clamp(LEAST_SPAN_DEG, 360.0);
        let left_deg = (middle.degrees() - span_deg / 2.0).rem_euclid(360.0);
        (Angle::from_degrees(left_deg), span_deg)
    }

    /// The arch from foot to foot, bearings and altitudes, both true: tan h = tan H · cos A, with
    /// the altitude H of the top and bearings A counted from it (spherical trigonometry).
    pub fn arch_line(&self) -> Vec<(Angle, Angle)> {
        let top = self.arch.top.0;
        let steps = (90.0 / ARCH_STEP_DEG) as i32;
        let place = |step: i32| {
            let off = Angle::from_degrees(f64::from(step) * ARCH_STEP_DEG);
            let bearing_deg = self.arch.top_bearing.degrees() + off.degrees();
            let altitude = (top.sin() * off.cos()).atan2(top.cos());
            (
                Angle::from_degrees(bearing_deg.rem_euclid(360.0)),
                Angle::from_radians(altitude),
            )
        };
        (-steps..=steps).map(place).collect()
    }
}

/// The frames of a plan, with what is drawn of them.
fn frames(outing: &Outing, plan: &PanoramaPlan) -> Vec<PanoramaFrame> {
    let columns = plan.rows.iter().enumerate();
    let places = columns.flat_map(|(place, row)| (0..row.columns).map(move |it| (place, row, it)));
    let mut before: Option<Angle> = None;
    let with_outline = |((row, settings, column), frame): ((usize, &Row, u32), Frame)| {
        let from = before.replace(frame.bearing).unwrap_or(frame.bearing);
        let turn_deg = frame.bearing.degrees() - from.degrees();
        PanoramaFrame {
            frame,
            row,
            outline: outline(&outing.view_of(frame)),
            overlap: settings.overlap().filter(|_| column > 0),
            turn: Angle::from_degrees((turn_deg + 180.0).rem_euclid(360.0) - 180.0),
        }
    };
    places.zip(plan.frames()).map(with_outline).collect()
}

/// The highest top of an arch that leaves the margin below this altitude.
fn below(highest: Angle) -> TrueAltitude {
    TrueAltitude(Angle::from_degrees(highest.degrees() - MARGIN.degrees()))
}

/// The panorama of a draft: about the arch, or about the core at this bearing.
fn settings(draft: &PanoramaDraft, answer: &Answer, arch: &Arch, core: Angle) -> PanoramaSettings {
    let mut area = Area::around_arch(arch, MARGIN, draft.low);
    if draft.about_core {
        let left_deg = core.degrees() - ABOUT_CORE_DEG / 2.0;
        area.left = Angle::from_degrees(left_deg.rem_euclid(360.0));
        area.width = Angle::from_degrees(ABOUT_CORE_DEG);
    }
    PanoramaSettings {
        sensor: answer.view.sensor,
        lens: answer.view.lens,
        area,
        overlap: draft.overlap_share,
        clicks: CLICK_STOPS[draft.click_stops],
        exposure_s: answer.shutter().exact_s(),
        pause_s: draft.pause_s,
    }
}

#[cfg(test)]
mod tests {
    use std::rc::Rc;

    use chrono::{DateTime, NaiveDate, Utc};

    use super::*;
    use crate::outing::night::local_time::TimeZones;
    use crate::ui::state::derived::selected_night::{Night, NightInputs};

    /// Knows no zone, so that times are in UTC.
    struct NoZones;

    impl TimeZones for NoZones {
        fn offset_min(&self, _: &str, _: DateTime<Utc>) -> Option<i32> {
            None
        }
    }

    /// The new Moon of June 2027 over 36° N.
    fn panorama(draft: &PanoramaDraft) -> (Panorama, SelectedNight) {
        let mut outing = Outing::default();
        outing.site.latitude = Angle::from_degrees(36.0);
        outing.site.longitude = Angle::ZERO;
        let inputs = NightInputs {
            site: outing.site.clone(),
            subject: outing.subject,
            limits: outing.limits,
            date: NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date"),
            tonight: false,
        };
        let selected = SelectedNight::new(Rc::new(Night::new(&inputs, &NoZones)), None);
        let arches = Arches::over(outing.site.on_earth(), selected.night.evening.start);
        let answer = Answer::compute(&outing);
        let panorama = Panorama::new(&outing, &answer, (&arches, &selected), draft);
        (panorama, selected)
    }

    /// Definition: the plan lasts as long as its frames, exposed as the limiting one allows,
    /// and the pauses between them.
    #[test]
    fn frames_are_exposed_as_the_limiting_one_allows() {
        let (panorama, _) = panorama(&PanoramaDraft::default());
        let ExposedPlan {
            plan,
            shutter,
            limit,
            frames,
            ..
        } = panorama.plan.expect("a plan");
        let limit = limit.expect("sky in the frames");
        assert_eq!(limit.shutter(), shutter);
        let count = f64::from(plan.count());
        let expected_s =
            count * shutter.exact_s() + (count - 1.0) * PanoramaDraft::default().pause_s;
        assert!((plan.time_s(plan.count()) - expected_s).abs() < 1e-6);
        assert_eq!(frames.len(), plan.count() as usize);
        for (one, other) in frames.iter().zip(plan.frames()) {
            assert_eq!(one.frame, other);
            assert_eq!(
                one.overlap.is_none(),
                one.frame.bearing == plan.rows[one.row].first
            );
        }
        let turns = frames.iter().filter(|one| one.overlap.is_some());
        for one in turns {
            let row = plan.rows[one.row];
            let miss = one.turn.degrees() - row.turn.degrees();
            assert!(miss.abs() < 1e-9, "{one:?}");
        }
    }

    /// From foot to foot over the top, each on the galactic equator's great circle: at right angles
    /// to its pole, which stands opposite the top at 90° less its altitude.
    #[test]
    fn the_arch_is_a_great_circle_through_feet_and_top() {
        let (panorama, _) = panorama(&PanoramaDraft::default());
        let (arch, line) = (panorama.arch, panorama.arch_line());
        let close = |one: Angle, other: Angle| (one.degrees() - other.degrees()).abs() < 1e-6;
        let (first, last) = (line[0], line[line.len() - 1]);
        assert!(close(first.0, arch.feet[0]) && close(last.0, arch.feet[1]));
        assert!(close(line[line.len() / 2].1, arch.top.0));
        let pole = crate::vector::Vector::from_bearing(
            Angle::from_degrees(arch.top_bearing.degrees() + 180.0),
            Angle::from_degrees(90.0 - arch.top.0.degrees()),
        );
        for (bearing, altitude) in line {
            let along = crate::vector::Vector::from_bearing(bearing, altitude);
            assert!(along.dot(pole).abs() < 1e-9, "{bearing:?} {altitude:?}");
        }
    }

    /// Every frame's middle line is on the panorama unrolled.
    #[test]
    fn the_panorama_unrolled_holds_its_frames() {
        let (panorama, _) = panorama(&PanoramaDraft::default());
        let (left, span_deg) = panorama.unrolled();
        for frame in panorama.plan.expect("a plan").frames {
            let across = (frame.frame.bearing.degrees() - left.degrees()).rem_euclid(360.0);
            assert!((4.0..=span_deg - 4.0).contains(&across), "{frame:?}");
        }
    }

    /// A row limit leaves the upper part of the arch out, and says so.
    #[test]
    fn one_row_may_be_asked_for() {
        let whole = panorama(&PanoramaDraft::default()).0.plan.expect("a plan");
        assert!(!whole.cut && whole.plan.rows.len() > 1);
        assert_eq!(whole.row_overlaps.len(), whole.plan.rows.len() - 1);
        let draft = PanoramaDraft {
            rows: Some(1),
            ..PanoramaDraft::default()
        };
        let one = panorama(&draft).0.plan.expect("a plan");
        assert!(one.cut && one.plan.rows.len() == 1, "{:?}", one.plan);
        let last = one.frames.len() - 1;
        assert_eq!(one.at(99).map(|(place, _)| place), Some(last));
    }

    /// 120° about the core: the first and last frames' middles lie within it, to either side
    /// of the core, and fewer frames are needed than for the whole arch.
    #[test]
    fn a_panorama_about_the_core_is_centred_on_it() {
        let draft = PanoramaDraft {
            about_core: true,
            ..PanoramaDraft::default()
        };
        let (about_core, selected) = panorama(&draft);
        let (whole, _) = panorama(&PanoramaDraft::default());
        let [about_core, whole] =
            [about_core, whole].map(|panorama| panorama.plan.expect("a plan").plan);
        assert!(about_core.count() < whole.count());
        let core_deg = selected.reading.core.bearing.degrees();
        for row in &about_core.rows {
            let span_deg = row.turn.degrees() * f64::from(row.columns - 1);
            let middle_deg = row.first.degrees() + span_deg / 2.0;
            let off_deg = (middle_deg - core_deg + 540.0).rem_euclid(360.0) - 180.0;
            assert!(off_deg.abs() < 1e-6, "{row:?} about {core_deg}");
        }
    }
}
