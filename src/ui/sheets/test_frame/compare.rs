//! The way from the frame's stars to the drawn ones of How long?, beside which they stand.

use yew::prelude::*;

use super::TestFrameProps;
use crate::camera::view::SensorPoint;
use crate::outing::exposure::Answer;
use crate::outing::plan::kit::Kit;
use crate::outing::test_frame::measured_stars::MeasuredStars;
use crate::outing::test_frame::report::FrameReport;
use crate::ui::state::action::Action;
use crate::ui::text::test_frame as words;
use crate::ui::widgets::dispatch::on_click;

/// Thirds of a stop from the answer within which the shutter time of the frame is sought.
const MOST_THIRDS: i32 = 40;

/// The stars of a frame that was measured with this kit, with their words.
pub fn measured_stars(report: &FrameReport, kit: &Kit) -> Option<MeasuredStars> {
    MeasuredStars::new(report, kit, words::beside_drawn)
}

/// Leads to How long? with the frame's shutter time tried; what is missing where that would show none
/// of its stars.
pub fn compare_key(report: &FrameReport, props: &TestFrameProps) -> Html {
    let outing = &props.document.outing;
    let Some(stars) = measured_stars(report, &outing.kit) else {
        return Html::default();
    };
    let answer = Answer::compute(outing);
    let points = [
        Some(answer.target_at.unwrap_or(SensorPoint::CENTRE)),
        answer.worst.map(|worst| worst.point),
    ];
    let shutter = |thirds: &i32| answer.shutter().stepped(*thirds).exact_s();
    let shown = |thirds: &i32| {
        let mut points = points.iter().flatten();
        points.any(|point| stars.beside(&answer, shutter(thirds), *point).is_some())
    };
    match (-MOST_THIRDS..=MOST_THIRDS).find(shown) {
        Some(thirds) => {
            let onclick = on_click(&props.dispatch, Action::CompareFrame(thirds));
            html! {
                <button id="compare-frame" type="button" class="wide" {onclick}>
                    { "Compare in How long?" }
                </button>
            }
        }
        None => html! { <p class="quiet">{ words::NOT_COMPARED }</p> },
    }
}
