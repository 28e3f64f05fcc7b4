//! Where the cells of twelve months stand: a row a month, a column a day.

use chrono::{Datelike, Months, NaiveDate};

use crate::ui::layout::Size;
use crate::ui::state::derived::season::Season;

/// Between two cells, px.
pub const CELL_GAP_PX: f64 = 1.0;

/// The names of the months, and the numbers of the days, px.
const NAMES_PX: f64 = 42.0;
const DAYS_PX: f64 = 24.0;

/// From the last cell to the right end, px.
const MARGIN_PX: f64 = 6.0;

/// Over the greatest bar of a row: caps and pennants, px.
const OVER_PX: f64 = 7.0;

/// Days of the longest month.
const MOST_DAYS: f64 = 31.0;

/// Height of a month without cells, of that of another.
const BARE: f64 = 0.6;

/// A month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthRow {
    /// Upper edge, px from the top.
    pub top: f64,
    /// Foot of the bars.
    pub foot: f64,
    /// Height of the greatest bar.
    pub high: f64,
    /// Lower edge, the Moons among it.
    pub end: f64,
    /// Whether no night of it is usable with any Moon.
    pub bare: bool,
}

/// A night's cell, px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Left edge.
    pub left: f64,
    /// Right edge.
    pub right: f64,
    /// Top of the greatest bar.
    pub top: f64,
    /// Foot of the bars.
    pub foot: f64,
}

/// The places of a year's cells.
#[derive(Debug, Clone, PartialEq)]
pub struct YearGrid {
    first: NaiveDate,
    /// Size of the drawing.
    pub size: Size,
    /// Left edge of the first of a month.
    pub left_px: f64,
    /// Width of a cell with its gap.
    pub cell_px: f64,
    /// Room for the Moons under the bars, and their radius.
    pub moons_px: f64,
    /// See `moons_px`.
    pub moon_px: f64,
    /// The months.
    pub rows: Vec<MonthRow>,
}

impl YearGrid {
    /// Days that are numbered.
    pub const NUMBERED: [u32; 7] = [1, 5, 10, 15, 20, 25, 30];

    /// The grid of a season in a drawing of this size.
    pub fn new(season: &Season, size: Size) -> Self {
        let bare: Vec<bool> = season
            .months
            .iter()
            .map(|month| {
                month
                    .nights
                    .iter()
                    .all(|night| night.any_moon_minutes < 1.0)
            })
            .collect();
        let weight = |bare: bool| if bare { BARE } else { 1.0 };
        let whole: f64 = bare.iter().map(|bare| weight(*bare)).sum();
        let unit = (size.height - DAYS_PX) / whole.max(1.0);
        let cell_px = (size.width - NAMES_PX - MARGIN_PX) / MOST_DAYS;
        let moon_px = (cell_px * 0.36).min(4.5).min(unit * 0.12);
        let moons_px = 2.0 * moon_px + 3.0;
        let mut top = DAYS_PX;
        let rows = bare.into_iter().map(|bare| {
            let end = top + unit * weight(bare);
            let foot = if bare {
                f64::midpoint(top, end)
            } else {
                end - moons_px
            };
            let row = MonthRow {
                top,
                foot,
                high: (foot - top - OVER_PX).max(1.0),
                end,
                bare,
            };
            top = end;
            row
        });
        Self {
            first: season
                .months
                .first()
                .map_or(NaiveDate::MIN, |month| month.first),
            size,
            left_px: NAMES_PX,
            cell_px,
            moons_px,
            moon_px,
            rows: rows.collect(),
        }
    }

    /// Middle of a day's column, px.
    pub fn middle(&self, day: u32) -> f64 {
        self.left_px + (f64::from(day) - 0.5) * self.cell_px - CELL_GAP_PX / 2.0
    }

    /// The cell of a night; `None` outside the twelve months.
    pub fn cell(&self, date: NaiveDate) -> Option<Cell> {
        let row = self.rows.get(self.place(date)?)?;
        let left = self.left_px + f64::from(date.day0()) * self.cell_px;
        let (top, foot) = if row.bare {
            (row.foot - 6.0, row.foot)
        } else {
            (row.foot - row.high, row.foot)
        };
        Some(Cell {
            left,
            right: left + self.cell_px,
            top,
            foot,
        })
    }

    /// The month whose row is at a height, px from the top.
    fn month_at(&self, y: f64) -> Option<usize> {
        let rows = &mut self.rows.iter();
        rows.position(|row| (row.top..row.end).contains(&y))
    }

    /// The month whose name is under a point, px.
    pub fn name_at(&self, (x, y): (f64, f64)) -> Option<usize> {
        (x < self.left_px).then(|| self.month_at(y))?
    }

    /// The night under a point, px.
    pub fn date_at(&self, (x, y): (f64, f64)) -> Option<NaiveDate> {
        let month = self.month_at(y)?;
        let day = ((x - self.left_px) / self.cell_px).floor();
        let day = (0.0..MOST_DAYS).contains(&day).then_some(day as u32 + 1)?;
        let first = self.first.checked_add_months(Months::new(month as u32))?;
        first.with_day(day)
    }

    /// How many months after the first the month of a night is.
    fn place(&self, date: NaiveDate) -> Option<usize> {
        let years = date.year() - self.first.year();
        let months = years * 12 + date.month0() as i32 - self.first.month0() as i32;
        usize::try_from(months).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::plan::limits::Limits;
    use crate::outing::plan::site::Site;
    use crate::sky::subject::Subject;

    fn date(year: i32, month: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, 1).expect("a date")
    }

    /// Each cell lies in the drawing, over no other, and a tap on its middle finds its night.
    #[test]
    fn a_tap_finds_the_night_it_is_on() {
        let season = Season::new(
            &Site::default(),
            Subject::Core,
            &Limits::default(),
            date(2028, 9),
        );
        for (width, height) in [(320.0, 380.0), (360.0, 420.0), (520.0, 330.0)] {
            let grid = YearGrid::new(&season, Size { width, height });
            assert_eq!(grid.rows.len(), 12);
            // December and July
            assert!(grid.rows[3].bare && !grid.rows[10].bare);
            let last = grid.rows[11];
            assert!((last.end - height).abs() < 1e-6, "{last:?}");
            for month in &season.months {
                for night in &month.nights {
                    let cell = grid.cell(night.date).expect("a cell");
                    assert!(cell.right <= width && cell.foot + grid.moons_px <= height + 4.0);
                    let middle = (
                        f64::midpoint(cell.left, cell.right),
                        f64::midpoint(cell.top, cell.foot),
                    );
                    assert_eq!(grid.date_at(middle), Some(night.date), "{middle:?}");
                }
            }
            for other in [date(2028, 8), date(2029, 9), date(2027, 9)] {
                assert_eq!(grid.cell(other), None, "{other}");
            }
            // beside the days, and past the end of February
            assert_eq!(grid.date_at((10.0, 100.0)), None);
            let february = grid.rows[5];
            let x = grid.middle(31);
            assert_eq!(grid.date_at((x, february.foot)), None);
        }
    }
}
