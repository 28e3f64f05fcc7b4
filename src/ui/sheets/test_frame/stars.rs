//! One star of the middle and of each corner, pixel by pixel, with what was measured and predicted.

use yew::prelude::*;

use crate::astrometry::verdict::Verdict;
use crate::browser::theme::Theme;
use crate::decimal::fixed;
use crate::outing::test_frame::report::{FrameReport, ZoneReport};
use crate::ui::layout::Size;
use crate::ui::screens::exposure::star;
use crate::ui::text::test_frame as words;

/// From which width on all stars stand in one row, px.
const ONE_ROW_PX: f64 = 500.0;

/// Columns on narrower screens: with a star of every zone, the middle's stands between the corners'.
const COLUMNS: usize = 3;

/// Stars of every zone; four of them stand in two columns.
const ZONES: usize = 5;

/// Space between two, px.
const BETWEEN_PX: f64 = 8.0;

/// Width at most, px.
const MOST_PX: f64 = 160.0;

/// The stars in a row or two of this width; nothing where none was measured.
pub fn stars(report: &FrameReport, theme: Theme, width: f64) -> Html {
    let zones: Vec<_> = report
        .zones
        .iter()
        .filter(|it| it.measured.is_some())
        .collect();
    // specks without stars among them tell nothing
    if report.verdict == Verdict::NoStars {
        return Html::default();
    }
    if zones.is_empty() {
        return Html::default();
    }
    let (count, narrow) = (zones.len(), width < ONE_ROW_PX);
    let across = match count {
        _ if !narrow => ZONES,
        4 => 2,
        _ => COLUMNS,
    } as f64;
    let side = ((width - (across - 1.0) * BETWEEN_PX) / across)
        .floor()
        .min(MOST_PX);
    let one = |zone: &ZoneReport| loupe(zone, report.verdict, theme, side);
    let class = classes!(
        "frame-stars",
        (narrow && count == ZONES).then_some("as-in-picture")
    );
    html! { <div {class}>{ for zones.into_iter().map(one) }</div> }
}

fn loupe(zone: &ZoneReport, verdict: Verdict, theme: Theme, side: f64) -> Html {
    let size = Size {
        width: side,
        height: (side * 0.75).floor(),
    };
    let crop = zone.measured.as_ref().and_then(|stars| stars.crop.as_ref());
    let (measured, predicted) = words::zone_stars(zone, verdict);
    let pixels = crop.map_or_else(Html::default, |crop| star(&crop.image(), size, theme));
    html! {
        <figure class={classes!("loupe", words::zone(zone.zone).replace(' ', "-"))}>
            <svg
                class="drawing"
                role="img"
                aria-label={words::zone_label(zone, verdict)}
                viewBox={size.view_box(1)}
                width={fixed(size.width, 1)}
                height={fixed(size.height, 1)}
            >
                { pixels }
                <text x="8" y="19">{ words::zone(zone.zone) }</text>
            </svg>
            <figcaption aria-hidden="true">
                <strong>{ measured }</strong>
                <span class="quiet">{ predicted }</span>
            </figcaption>
        </figure>
    }
}
