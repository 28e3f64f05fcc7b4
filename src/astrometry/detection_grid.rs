//! Detected stars by place, so that those near a place are found at once.

use crate::astrometry::picture::PicturePoint;

/// Side of a cell, px.
const CELL_PX: f64 = 24.0;

/// Most cells along a side; larger pictures have larger cells.
const MOST_CELLS: f64 = 512.0;

/// The grid.
pub struct DetectionGrid {
    cell_px: f64,
    across: usize,
    down: usize,
    starts: Vec<u32>,
    rows: Vec<u32>,
}

impl DetectionGrid {
    /// A grid of places in a picture of this size.
    pub fn new(places: &[PicturePoint], width: usize, height: usize) -> Self {
        let longest = width.max(height) as f64;
        let cell_px = CELL_PX.max(longest / MOST_CELLS);
        let across = (width as f64 / cell_px) as usize + 1;
        let down = (height as f64 / cell_px) as usize + 1;
        let mut grid = Self {
            cell_px,
            across,
            down,
            starts: vec![0; across * down + 1],
            rows: Vec::new(),
        };
        let mut found: Vec<(usize, u32)> = places
            .iter()
            .enumerate()
            .map(|(row, at)| {
                let cell = grid.step(at.y_px, down) * across + grid.step(at.x_px, across);
                (cell, row as u32)
            })
            .collect();
        found.sort_unstable();
        for &(cell, _) in &found {
            grid.starts[cell + 1] += 1;
        }
        for cell in 1..grid.starts.len() {
            grid.starts[cell] += grid.starts[cell - 1];
        }
        grid.rows = found.into_iter().map(|(_, row)| row).collect();
        grid
    }

    fn step(&self, along_px: f64, cells: usize) -> usize {
        // the cast takes what is not finite, or negative, to zero
        ((along_px / self.cell_px) as usize).min(cells - 1)
    }

    /// Rows of the places whose cells are within `reach_px` of a place.
    pub fn near(&self, at: PicturePoint, reach_px: f64) -> impl Iterator<Item = usize> {
        let left = self.step(at.x_px - reach_px, self.across);
        let right = self.step(at.x_px + reach_px, self.across);
        let top = self.step(at.y_px - reach_px, self.down);
        let bottom = self.step(at.y_px + reach_px, self.down);
        (top..=bottom).flat_map(move |row| {
            let start = self.starts[row * self.across + left] as usize;
            let end = self.starts[row * self.across + right + 1] as usize;
            self.rows[start..end].iter().map(|&row| row as usize)
        })
    }
}
