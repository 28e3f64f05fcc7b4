//! Where the points of a tile lie, and parts of it.

use crate::land::error::TileError;

/// Most points along a side of a tile.
pub(super) const LONGEST_SIDE: usize = 100_000;

/// Steps between points, degrees: from a decimetre to ten kilometres.
const STEPS_DEG: [f64; 2] = [1e-6, 0.1];

/// Positions of a tile's points: rows from north to south, columns from west to east, degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// Number of rows.
    pub rows: usize,
    /// Number of columns.
    pub columns: usize,
    /// Latitude of the first row.
    pub north: f64,
    /// Longitude of the first column.
    pub west: f64,
    /// From one row to the next one south.
    pub down: f64,
    /// From one column to the next one east.
    pub across: f64,
    /// Whether heights have fractions of a metre.
    pub fractions: bool,
}

impl Layout {
    /// Checks that the layout is on the Earth.
    pub(super) fn checked(self) -> Result<Self, TileError> {
        let sides = [self.rows, self.columns];
        if sides.iter().any(|&side| side > LONGEST_SIDE) {
            return Err(TileError::TooLarge);
        }
        let step = |step: f64| (STEPS_DEG[0]..=STEPS_DEG[1]).contains(&step);
        let latitude = |latitude: f64| (-90.5..=90.5).contains(&latitude);
        let fits = sides.iter().all(|&side| side >= 2)
            && step(self.down)
            && step(self.across)
            && latitude(self.north)
            && latitude(self.south())
            && (-540.0..=540.0).contains(&self.west);
        if fits {
            Ok(self)
        } else {
            Err(TileError::Turned)
        }
    }

    /// Number of points.
    pub(super) fn points(&self) -> usize {
        self.rows.saturating_mul(self.columns)
    }

    /// Latitude of the last row.
    pub(super) fn south(&self) -> f64 {
        self.north - self.down * (self.rows - 1) as f64
    }

    /// Longitude of the last column.
    pub(super) fn east(&self) -> f64 {
        self.west + self.across * (self.columns - 1) as f64
    }

    /// The same, shifted by whole turns of longitude to be near a longitude.
    pub(super) fn near(self, longitude: f64) -> Self {
        let middle = (self.west + self.east()) / 2.0;
        let turns = ((longitude - middle) / 360.0).round();
        Self {
            west: self.west + 360.0 * turns,
            ..self
        }
    }

    /// Whether a place is within the points.
    pub(super) fn holds(&self, latitude: f64, longitude: f64) -> bool {
        (self.south()..=self.north).contains(&latitude)
            && (self.west..=self.east()).contains(&longitude)
    }
}

/// A range of rows and columns of a tile: from the first, up to but not including the second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Part {
    pub rows: [usize; 2],
    pub columns: [usize; 2],
}

/// Receives heights of one row from a column on, metres; NaN for voids.
pub(super) type RowSink<'a> = dyn FnMut(usize, usize, &[f32]) + 'a;
