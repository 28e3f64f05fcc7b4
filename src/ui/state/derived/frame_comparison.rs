//! The way from the stars of a test frame to the drawn ones of How long?, beside which they are shown.

use std::rc::Rc;

use crate::camera::lens::Lens;
use crate::camera::view::SensorPoint;
use crate::outing::exposure::Answer;
use crate::outing::plan::Outing;
use crate::outing::test_frame::measured_stars::MeasuredStars;
use crate::outing::test_frame::offers::{TakenFrame, measured_lens, taken_frame};
use crate::outing::test_frame::report::FrameReport;
use crate::ui::state::document::framing::FramingEdit;
use crate::ui::text::test_frame as words;

/// Thirds of a stop from the answer within which the shutter time of the frame is sought.
const MOST_THIRDS: i32 = 40;

/// What the outing takes of a frame so that its stars are comparable, and the shutter time tried.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameComparison {
    /// Aim, night and minute; `None` where they are not known.
    pub taken: Option<TakenFrame>,
    /// The lens, as the frame shows it.
    pub lens: Option<Lens>,
    /// The frame's shutter time, so many thirds of a stop longer than the answer.
    pub thirds: i32,
}

/// Whether a frame can be compared.
#[derive(Debug, Clone, PartialEq)]
pub enum Comparable {
    /// It has no stars to be shown.
    No,
    /// It would have, were its aim known.
    WithAim,
    /// It can be, with these edits.
    Yes(FrameComparison),
}

/// What it depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparisonInputs {
    /// The outing, of which aim, night and lens are replaced.
    pub outing: Outing,
    /// What the frame shows.
    pub report: Rc<FrameReport>,
}

impl Comparable {
    /// With the frame's aim, night and lens in use.
    pub fn new(ComparisonInputs { outing, report }: &ComparisonInputs) -> Self {
        let Some(stars) = MeasuredStars::new(report, &outing.kit, words::beside_drawn) else {
            return Self::No;
        };
        let (taken, lens) = (taken_frame(report), measured_lens(report, &outing.kit));
        let mut compared = outing.clone();
        if let Some(taken) = taken {
            FramingEdit::AsTaken(taken).apply(&mut compared);
        }
        compared.kit.lens = lens.unwrap_or(outing.kit.lens);
        let answer = Answer::compute(&compared);
        let points = [
            Some(answer.target_at.unwrap_or(SensorPoint::CENTRE)),
            answer.worst.map(|worst| worst.point),
        ];
        let shutter_s = |thirds: &i32| answer.shutter().stepped(*thirds).exact_s();
        let shown = |thirds: &i32| {
            let mut points = points.iter().flatten();
            points.any(|point| stars.beside(&answer, shutter_s(thirds), *point).is_some())
        };
        match (-MOST_THIRDS..=MOST_THIRDS).find(shown) {
            Some(thirds) => Self::Yes(FrameComparison {
                taken,
                lens,
                thirds,
            }),
            None if taken.is_none() => Self::WithAim,
            None => Self::No,
        }
    }
}
