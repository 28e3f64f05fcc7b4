//! The strips of twelve months with what is marked in them: the night chosen, tonight, the best nights
//! and those kept. A tap chooses a night, on a month's name the best of it.

use std::rc::Rc;

use chrono::{Datelike, NaiveDate};
use web_sys::Element;
use yew::prelude::*;

use super::year::{CELL_GAP_PX, YearGrid};
use crate::decimal::fixed;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::season::Season;
use crate::ui::state::document::night::NightEdit;
use crate::ui::text::night as words;
use crate::ui::text::season;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::svg_path::SvgPath;

/// The twelve months of this size on the screen.
pub fn season_strips(state: &State, derived: &Derived, size: Size, dispatch: &Dispatch) -> Html {
    let season = derived.season(state);
    let chosen = derived.night(state).night.date;
    let grid = YearGrid::new(&season, size);
    let best: Vec<_> = derived
        .best_nights(state)
        .iter()
        .map(|night| night.date)
        .collect();
    let kept = &state.document().kept_nights;
    let label = season::year(&season, chosen);
    let onclick = {
        let (dispatch, grid, season) = (dispatch.clone(), grid.clone(), season.clone());
        Callback::from(move |event: MouseEvent| {
            // the listener is the page's root, which is the event's current target
            let touched = event.target_dyn_into::<Element>();
            let drawing = touched.and_then(|touched| touched.closest(".season").ok()?);
            let Some(bounds) = drawing.map(|drawing| drawing.get_bounding_client_rect()) else {
                return;
            };
            // a bar to scroll with narrows the drawing
            let scale = grid.size.width / bounds.width().max(1.0);
            let x = (f64::from(event.client_x()) - bounds.left()) * scale;
            let y = (f64::from(event.client_y()) - bounds.top()) * scale;
            // a month's name stands for its best night
            let named = grid
                .name_at((x, y))
                .and_then(|place| season.months.get(place));
            let date = named.map(|month| month.best.date);
            if let Some(date) = date.or_else(|| grid.date_at((x, y))) {
                dispatch.emit(NightEdit::Date(date).into());
            }
        })
    };
    let south = state.outing().site.latitude < crate::angle::Angle::ZERO;
    html! {
        <div class="season" role="img" aria-label={label} {onclick}>
            <YearDrawing season={season.clone()} {size} {south} />
            { marks(&grid, (chosen, derived.tonight(state)), &best, kept) }
        </div>
    }
}

/// What is marked over the cells.
fn marks(
    grid: &YearGrid,
    (chosen, tonight): (NaiveDate, NaiveDate),
    best: &[NaiveDate],
    kept: &[NaiveDate],
) -> Html {
    let (mut frame, mut notch) = (SvgPath::default(), SvgPath::default());
    if let Some(cell) = grid.cell(chosen) {
        let (left, right) = (cell.left - 2.5, cell.right + 2.5);
        let (top, foot) = (cell.top - 3.0, cell.foot + grid.moons_px + 2.0);
        frame.polyline([
            (left, top),
            (right, top),
            (right, foot),
            (left, foot),
            (left, top),
        ]);
    }
    if let Some(cell) = grid.cell(tonight) {
        let middle = (cell.left + cell.right) / 2.0;
        let foot = cell.foot + 1.0;
        notch.polyline([
            (middle - 4.5, foot + 6.0),
            (middle, foot),
            (middle + 4.5, foot + 6.0),
            (middle - 4.5, foot + 6.0),
        ]);
    }
    let (mut caps, mut pennants) = (SvgPath::default(), SvgPath::default());
    for cell in best.iter().filter_map(|date| grid.cell(*date)) {
        let y = cell.top - 4.5;
        caps.move_to((cell.left - 2.0, y))
            .line_to((cell.right + 2.0, y));
    }
    for cell in kept.iter().filter_map(|date| grid.cell(*date)) {
        let (x, y) = ((cell.left + cell.right) / 2.0, cell.top);
        pennants.polyline([(x, y + 5.0), (x, y - 8.0), (x + 8.0, y - 5.0), (x, y - 2.0)]);
    }
    html! {
        <svg class="drawing over" viewBox={grid.size.view_box(0)} aria-hidden="true">
            <path class="tonight" d={notch.finish()} />
            <path class="caps" d={caps.finish()} />
            <path class="pennants" d={pennants.finish()} />
            <path class="chosen" d={frame.finish()} />
        </svg>
    }
}

#[derive(Properties)]
struct YearProps {
    season: Rc<Season>,
    size: Size,
    /// Whether the Moon waxes from the left, as seen south of the equator.
    south: bool,
}

impl PartialEq for YearProps {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.season, &other.season)
            && self.size == other.size
            && self.south == other.south
    }
}

/// The cells of a year, drawn anew for another year, other limits or another size.
#[component(YearDrawing)]
fn year_drawing(props: &YearProps) -> Html {
    let YearProps {
        season,
        size,
        south,
    } = props;
    let grid = YearGrid::new(season, *size);
    let cells = CellPaths::new(season, &grid, *south);
    let (width, height) = (fixed(size.width, 0), fixed(size.height, 0));
    let columns = YearGrid::NUMBERED.map(|day| {
        let x = grid.middle(day);
        html! {
            <text class="caption" x={fixed(x, 1)} y="14" text-anchor="middle">{ day }</text>
        }
    });
    let mut lines = SvgPath::default();
    for day in YearGrid::NUMBERED {
        let x = grid.middle(day);
        lines.move_to((x, 20.0)).line_to((x, size.height - 4.0));
    }
    let first_bare = grid.rows.iter().position(|row| row.bare);
    let name = |(place, month): (usize, &crate::ui::state::derived::season::Month)| {
        let row = grid.rows[place];
        html! {
            <>
                <text class="caption" x="4" y={fixed(row.foot + if row.bare { 5.0 } else { -1.0 }, 1)}>
                    { month_or_year(place, month.first) }
                </text>
                if first_bare == Some(place) {
                    <text
                        class="caption why"
                        x={fixed(f64::midpoint(grid.left_px, size.width), 1)}
                        y={fixed(row.foot + 4.5, 1)}
                        text-anchor="middle"
                    >
                        { season::bare_month(season, month) }
                    </text>
                }
            </>
        }
    };
    html! {
        <svg class="drawing" viewBox={size.view_box(0)} {width} {height} aria-hidden="true">
            <path class="lines" d={lines.finish()} />
            <path class="any-moon" d={cells.any_moon.finish()} />
            <path class="limited" d={cells.limited.finish()} />
            <path class="base" d={cells.base.finish()} />
            <path class="bare" d={cells.bare.finish()} />
            <path class="moons" d={cells.moons.finish()} />
            <text class="caption" x="4" y="14">{ season.months.first().map(|month| month.first.year()) }</text>
            { for columns }
            <g>{ for season.months.iter().enumerate().map(name) }</g>
        </svg>
    }
}

/// The cells of all nights, their base lines and their moons.
#[derive(Default)]
struct CellPaths {
    /// Usable time with any Moon, over what the limits leave.
    any_moon: SvgPath,
    /// Usable time within the limits.
    limited: SvgPath,
    base: SvgPath,
    /// Lines of the months without a usable night.
    bare: SvgPath,
    moons: SvgPath,
}

impl CellPaths {
    fn new(season: &Season, grid: &YearGrid, south: bool) -> Self {
        let mut paths = Self::default();
        for (month, row) in season.months.iter().zip(&grid.rows) {
            let left = grid.left_px;
            let right = left + month.nights.len() as f64 * grid.cell_px;
            let line = if row.bare {
                &mut paths.bare
            } else {
                &mut paths.base
            };
            line.move_to((left, row.foot)).line_to((right, row.foot));
            if row.bare {
                continue;
            }
            for night in &month.nights {
                let fill = season.fill(night);
                let Some(cell) = grid.cell(night.date) else {
                    continue;
                };
                let bar = |path: &mut SvgPath, from: f64, to: f64| {
                    if to - from > 1e-3 {
                        let (low, high) = (row.foot - from * row.high, row.foot - to * row.high);
                        let right = cell.right - CELL_GAP_PX;
                        path.move_to((cell.left, low)).line_to((cell.left, high));
                        path.line_to((right, high)).line_to((right, low));
                    }
                };
                bar(&mut paths.any_moon, fill.limited, fill.any_moon);
                bar(&mut paths.limited, 0.0, fill.limited);
                let middle = (cell.left + cell.right - CELL_GAP_PX) / 2.0;
                let place = (middle, row.foot + grid.moons_px / 2.0 + 1.0);
                moon(
                    &mut paths.moons,
                    place,
                    grid.moon_px,
                    night.phase.lit,
                    night.phase.waxing != south,
                );
            }
        }
        paths
    }
}

/// A month's name; the year's number where another year begins.
fn month_or_year(place: usize, first: NaiveDate) -> String {
    if place > 0 && first.month() == 1 {
        first.year().to_string()
    } else {
        words::month(first).to_string()
    }
}

/// The lit part of a Moon: half its rim, and half an ellipse back.
fn moon(path: &mut SvgPath, (x, y): (f64, f64), radius: f64, lit: f64, right: bool) {
    const LEAST_LIT: f64 = 0.03;
    if lit < LEAST_LIT {
        return;
    }
    let (top, foot) = ((x, y - radius), (x, y + radius));
    // the terminator bulges with the rim up to the half Moon, then against it
    let bulge = (2.0 * lit - 1.0).abs() * radius;
    path.move_to(top).arc_to((radius, radius), right, foot);
    path.arc_to((bulge, radius), right == (lit > 0.5), top);
}
