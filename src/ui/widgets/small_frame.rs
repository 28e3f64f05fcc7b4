//! A frame the size of a thumb.

use yew::prelude::*;

use crate::browser::theme::Theme;
use crate::decimal::fixed;
use crate::outing::framing::scene::Place;
use crate::ui::state::derived::small_frame::{SmallFrame, fitted};
use crate::ui::widgets::bodies::core_sign;
use crate::ui::widgets::sky_canvas::SkyCanvas;
use crate::ui::widgets::svg_path::SvgPath;

/// Half length of the core's sign, px.
const CORE_PX: f64 = 7.0;

/// A frame whose longer side is so long, px.
pub fn small_frame(frame: &SmallFrame, longest_px: f64, theme: Theme) -> Html {
    let size = fitted(frame.aspect_ratio, longest_px);
    let put = |(x, y): Place| (x * size.width, y * size.height);
    let areas = |areas: &[Vec<Place>]| {
        let mut path = SvgPath::default();
        for area in areas {
            path.polyline(area.iter().map(|place| put(*place)));
        }
        path.finish()
    };
    let lines = areas(&frame.land.sighted) + &areas(&frame.land.unsighted);
    let (width, height) = (fixed(size.width, 0), fixed(size.height, 0));
    html! {
        <span class="small-frame">
            <SkyCanvas image={frame.sky.clone()} {size} {theme} />
            <svg
                class="drawing"
                viewBox={size.view_box(0)}
                {width}
                {height}
                aria-hidden="true"
            >
                <path class="land" d={areas(&frame.land.ridge)} />
                <path class="near" d={areas(&frame.land.ground)} />
                <path class="skyline" d={lines} />
                { frame.core.map_or_else(Html::default, |place| {
                    core_sign(put(place), frame.along_band, CORE_PX)
                }) }
            </svg>
        </span>
    }
}
