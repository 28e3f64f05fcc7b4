//! Lines of equal value through a grid, and hatching where a value is passed.
//!
//! Lines are drawn cell by cell: where the value crosses the level on two sides of a cell, a
//! straight piece joins the crossings ("marching squares", the standard method). A saddle is
//! resolved by the mean of its corners.

/// A piece of line from one place to another, in grid units from the first
/// column and row.
pub type Piece = ((f64, f64), (f64, f64));

/// Values on a grid, row by row; NaN is "no value".
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Points along a row, at least 2.
    pub columns: usize,
    /// Rows, at least 2.
    pub rows: usize,
    /// The values, `columns` · `rows` of them.
    pub values: Vec<f64>,
}

impl Grid {
    /// A grid from a function of column and row.
    pub fn filled(columns: usize, rows: usize, value: impl Fn(usize, usize) -> f64) -> Self {
        let points = (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row)));
        Self {
            columns,
            rows,
            values: points.map(|(column, row)| value(column, row)).collect(),
        }
    }

    fn at(&self, column: usize, row: usize) -> f64 {
        let place = row * self.columns + column;
        self.values.get(place).copied().unwrap_or(f64::NAN)
    }

    /// The value between grid points, bilinear; NaN outside.
    pub fn between(&self, column: f64, row: f64) -> f64 {
        let inside = column >= 0.0 && row >= 0.0;
        if !inside || column > (self.columns - 1) as f64 || row > (self.rows - 1) as f64 {
            return f64::NAN;
        }
        let (left, top) = (
            (column as usize).min(self.columns - 2),
            (row as usize).min(self.rows - 2),
        );
        let (across, down) = (column - left as f64, row - top as f64);
        let upper = self.at(left, top) * (1.0 - across) + self.at(left + 1, top) * across;
        let lower = self.at(left, top + 1) * (1.0 - across) + self.at(left + 1, top + 1) * across;
        upper * (1.0 - down) + lower * down
    }

    /// Pieces of the line along which the grid has the value `level`.
    pub fn contour(&self, level: f64) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for row in 0..self.rows - 1 {
            for column in 0..self.columns - 1 {
                self.contour_cell(column, row, level, &mut pieces);
            }
        }
        pieces
    }

    fn contour_cell(&self, column: usize, row: usize, level: f64, pieces: &mut Vec<Piece>) {
        // corners clockwise from the top left
        let corners = [(0, 0), (1, 0), (1, 1), (0, 1)];
        let values = corners.map(|(x, y)| self.at(column + x, row + y));
        if values.iter().any(|value| value.is_nan()) {
            return;
        }
        // most cells are on one side of the line
        let reached = values.iter().filter(|value| **value >= level).count();
        if reached == 0 || reached == values.len() {
            return;
        }
        let places = corners.map(|(x, y)| ((column + x) as f64, (row + y) as f64));
        let mut crossings = Vec::with_capacity(4);
        for side in 0..4 {
            let next = (side + 1) % 4;
            let (from, to) = (values[side], values[next]);
            if (from >= level) != (to >= level) {
                let share = (level - from) / (to - from);
                let ((x, y), (next_x, next_y)) = (places[side], places[next]);
                crossings.push((x + share * (next_x - x), y + share * (next_y - y)));
            }
        }
        match crossings[..] {
            [one, two] => pieces.push((one, two)),
            [top, right, bottom, left] => {
                let mean = values.iter().sum::<f64>() / 4.0;
                if (mean >= level) == (values[0] >= level) {
                    pieces.extend([(top, right), (bottom, left)]);
                } else {
                    pieces.extend([(left, top), (right, bottom)]);
                }
            }
            _ => {}
        }
    }

    /// Slanting strokes, `spacing` grid units apart, over the part of the grid
    /// whose value is above `level`.
    pub fn hatching(&self, level: f64, spacing: f64) -> Vec<Piece> {
        const SAMPLES_PER_UNIT: f64 = 2.0;
        let (wide, tall) = ((self.columns - 1) as f64, (self.rows - 1) as f64);
        let mut pieces = Vec::new();
        let mut foot = spacing / 2.0;
        while foot < wide + tall {
            // the stroke runs up to the right from (foot − t, t)
            let (start, end) = ((foot - wide).max(0.0), foot.min(tall));
            let samples = ((end - start) * SAMPLES_PER_UNIT).ceil().max(1.0) as u32;
            let place = |sample: u32| {
                let down = start + (end - start) * f64::from(sample) / f64::from(samples);
                (foot - down, down)
            };
            let mut open = None;
            for sample in 0..=samples {
                let here = place(sample);
                let above = self.between(here.0, here.1) > level;
                match (open, above) {
                    (None, true) => open = Some(here),
                    (Some(began), false) => {
                        pieces.push((began, here));
                        open = None;
                    }
                    _ => {}
                }
            }
            if let Some(began) = open {
                pieces.push((began, place(samples)));
            }
            foot += spacing;
        }
        pieces
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cone() -> Grid {
        Grid::filled(41, 41, |column, row| {
            (column as f64 - 20.0).hypot(row as f64 - 20.0)
        })
    }

    /// A cone's contour is a circle: every end lies on it, and the pieces add
    /// up to its length.
    #[test]
    fn a_cone_has_round_contours() {
        let radius = 12.5;
        let pieces = cone().contour(radius);
        let mut length = 0.0;
        for &((x1, y1), (x2, y2)) in &pieces {
            for (x, y) in [(x1, y1), (x2, y2)] {
                let miss = (x - 20.0).hypot(y - 20.0) - radius;
                assert!(miss.abs() < 0.02, "({x}, {y}) is {miss} off");
            }
            length += (x2 - x1).hypot(y2 - y1);
        }
        let want = std::f64::consts::TAU * radius;
        assert!((length / want - 1.0).abs() < 0.005, "{length}, want {want}");
    }

    #[test]
    fn hatching_keeps_outside_the_circle() {
        let pieces = cone().hatching(12.5, 2.0);
        assert!(pieces.len() > 20, "{} strokes", pieces.len());
        for ((x1, y1), (x2, y2)) in pieces {
            let (x, y) = ((x1 + x2) / 2.0, (y1 + y2) / 2.0);
            assert!((x - 20.0).hypot(y - 20.0) > 12.0, "({x}, {y})");
        }
    }

    #[test]
    fn nothing_is_drawn_where_there_is_nothing() {
        let empty = Grid::filled(5, 5, |_, _| f64::NAN);
        assert!(empty.contour(1.0).is_empty());
        assert!(empty.hatching(1.0, 1.0).is_empty());
    }

    #[test]
    fn a_saddle_is_parted() {
        let saddle = Grid::filled(2, 2, |column, row| if column == row { 1.0 } else { 0.0 });
        assert_eq!(saddle.contour(0.4).len(), 2);
    }
}
