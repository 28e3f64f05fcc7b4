//! What matching the tracker by a stack on the tripod costs: time, card and battery as fill levels,
//! hatched as far as they depend on a body that is not known.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::exposure::sequence::Sequence;
use crate::outing::plan::Outing;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::text::tracking as words;
use crate::ui::widgets::svg_path::SvgPath;

/// Height of a row, of its bar, and where the bar lies in it, px.
const ROW_PX: f64 = 50.0;
const BAR_PX: f64 = 12.0;
const BAR_TOP_PX: f64 = 26.0;

/// Distance of hatching lines, px.
const HATCH_PX: f64 = 7.0;

/// Full bars of the time, minutes.
const FULL_MIN: [f64; 6] = [15.0, 30.0, 60.0, 120.0, 240.0, 480.0];

/// The smallest card told of, GB (common practice); larger ones are so many times as large.
const CARD_GB: f64 = 64.0;

/// A bar.
struct Level {
    name: String,
    /// Least and most, in words.
    value: String,
    /// What the tracker takes, least and most, as shares of the bar.
    tracker: f64,
    least: f64,
    most: f64,
}

/// The drawing, of this width; a sentence where no stack matches.
pub fn stacking_cost(outing: &Outing, analysis: &TrackingAnalysis, width_px: f64) -> Html {
    let compared = &analysis.compared;
    let content = match compared.matching() {
        None => html! { <p>{ words::NO_MATCH }</p> },
        Some(stacks) => {
            let tracked = &compared.strategies.tracked.settings.series;
            let levels = levels(tracked, stacks);
            html! {
                <>
                    { drawing(&levels, width_px) }
                    if let Some(body) = words::unknown_body(compared, outing) {
                        <p class="hatched-is">{ body }</p>
                    }
                </>
            }
        }
    };
    html! {
        <section class="cost" aria-labelledby="cost-title">
            <h2 id="cost-title">{ "To match the tracker by stacking" }</h2>
            { content }
        </section>
    }
}

fn levels(tracked: &Sequence, (few, many): (Sequence, Sequence)) -> [Level; 3] {
    const MIN_S: f64 = 60.0;
    let full_min = FULL_MIN.iter().find(|full| **full * MIN_S >= many.lasts_s);
    let full_s = full_min.map_or(many.lasts_s, |full| full * MIN_S);
    let mut card_gb = CARD_GB;
    while card_gb < many.card_gb && card_gb.is_finite() {
        card_gb *= 2.0;
    }
    let batteries = many.charges.max(1.0).ceil();
    let level = |name: String, value: String, [tracker, least, most]: [f64; 3], full: f64| {
        let share = |amount: f64| (amount / full).clamp(0.0, 1.0);
        Level {
            name,
            value,
            tracker: share(tracker),
            least: share(least),
            most: share(most),
        }
    };
    let of = |amount: fn(&Sequence) -> f64| [amount(tracked), amount(&few), amount(&many)];
    [
        level(
            "time".to_owned(),
            words::time_range(&few, &many, tracked),
            of(|series| series.lasts_s),
            full_s,
        ),
        level(
            words::card_name(card_gb),
            words::card_range(&few, &many),
            of(|series| series.card_gb),
            card_gb,
        ),
        level(
            words::battery_name(batteries),
            words::battery_range(&few, &many),
            of(|series| series.charges),
            batteries,
        ),
    ]
}

fn drawing(levels: &[Level; 3], width_px: f64) -> Html {
    let height = ROW_PX * levels.len() as f64;
    let told = levels
        .iter()
        .map(|level| [&level.name, " ", &level.value].concat());
    let label = told.collect::<Vec<_>>().join(", ");
    let row = |(place, level): (usize, &Level)| {
        let top = ROW_PX * place as f64 + BAR_TOP_PX;
        let bar = |class: &'static str, from: f64, to: f64| {
            html! {
                <rect
                    {class}
                    x={fixed(from * width_px, 1)}
                    y={fixed(top, 1)}
                    width={fixed(((to - from) * width_px).max(0.0), 1)}
                    height={fixed(BAR_PX, 0)}
                />
            }
        };
        let hatch = hatching((level.least * width_px, level.most * width_px), top);
        let y = fixed(top - 8.0, 0);
        html! {
            <g>
                <text x="0" y={y.clone()}>{ level.name.clone() }</text>
                <text class="name" x={fixed(width_px, 0)} {y} text-anchor="end">
                    { level.value.clone() }
                </text>
                { bar("filled", level.tracker, level.least) }
                { bar("tracker", 0.0, level.tracker) }
                <path class="hatch" d={hatch} />
                { bar("edge", 0.001, 0.999) }
            </g>
        }
    };
    html! {
        <svg
            class="drawing"
            role="img"
            aria-label={label}
            viewBox={[&fixed(0.0, 0), " 0 ", &fixed(width_px, 0), " ", &fixed(height, 0)].concat()}
        >
            { for levels.iter().enumerate().map(row) }
        </svg>
    }
}

/// Slanting lines across a bar between two places, cut at both.
fn hatching((from, to): (f64, f64), top: f64) -> String {
    let mut path = SvgPath::default();
    let mut start = from - BAR_PX;
    while start < to {
        let (left, right) = (start.max(from), (start + BAR_PX).min(to));
        if right > left {
            // upwards to the right
            path.move_to((left, top + BAR_PX - (left - start)))
                .line_to((right, top + BAR_PX - (right - start)));
        }
        start += HATCH_PX;
    }
    path.finish()
}
