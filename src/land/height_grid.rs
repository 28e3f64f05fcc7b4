//! A grid of heights: filled from tiles, read between its points, and searched by the highest
//! points of its blocks.

use std::io::{Read, Seek};

use crate::land::error::{TerrainError, TileError};
use crate::land::tile::TileReader;
use crate::land::tile_layout::{Layout, Part};

/// Cells along a side of a block; a block is skipped where its highest point is too low.
pub(super) const BLOCK: usize = 16;

/// The void value among whole metres.
const VOID: i16 = i16::MIN;

/// Tolerance beyond the last point, steps: a few millimetres, for rounding at an edge.
const ON_EDGE: f64 = 1e-4;

enum Heights {
    Whole(Vec<i16>),
    Fractions(Vec<f32>),
}

/// Heights at the points of one pattern.
pub(super) struct Grid {
    pub layout: Layout,
    heights: Heights,
    /// Highest point of each block, m; minus infinity where all are void.
    tops: Vec<f32>,
    blocks_across: usize,
}

/// Four points about a place.
pub(super) struct Cell {
    /// Row of the northern two.
    pub row: usize,
    /// Column of the western two.
    pub column: usize,
    /// North-west, north-east, south-west, south-east, m.
    pub corners: [f64; 4],
}

impl Cell {
    /// Height `u` of a step east and `v` of a step south of the north-west
    /// corner, in the plane through the corners in each direction.
    pub fn height(&self, u: f64, v: f64) -> f64 {
        let [nw, ne, sw, se] = self.corners;
        let north = nw + (ne - nw) * u;
        let south = sw + (se - sw) * u;
        north + (south - north) * v
    }
}

impl Grid {
    /// A grid without heights; its size is subtracted from `left`, bytes.
    pub fn empty(layout: Layout, left: &mut usize) -> Result<Self, TerrainError> {
        let points = layout.rows.checked_mul(layout.columns);
        let points = points.ok_or(TerrainError::TooFine)?;
        let width = if layout.fractions { 4 } else { 2 };
        let blocks_across = (layout.columns - 1).div_ceil(BLOCK);
        let blocks_down = (layout.rows - 1).div_ceil(BLOCK);
        let blocks = blocks_across * blocks_down;
        let bytes = points
            .checked_mul(width)
            .and_then(|bytes| bytes.checked_add(blocks * size_of::<f32>()));
        let after = bytes.and_then(|bytes| left.checked_sub(bytes));
        *left = after.ok_or(TerrainError::TooFine)?;
        let heights = if layout.fractions {
            Heights::Fractions(filled(points, f32::NAN)?)
        } else {
            Heights::Whole(filled(points, VOID)?)
        };
        Ok(Self {
            layout,
            heights,
            tops: filled(blocks, f32::NEG_INFINITY)?,
            blocks_across,
        })
    }

    /// Copies a tile's known heights; `offset` is the position of its first point in rows down and
    /// columns right of the grid's.
    pub fn fill<R: Read + Seek>(
        &mut self,
        tile: &mut TileReader<R>,
        layout: &Layout,
        (down, right): (i64, i64),
    ) -> Result<(), TileError> {
        let part = |offset: i64, points: usize, total: usize| {
            let first = offset.saturating_neg().clamp_to(points);
            let end = (total as i64).saturating_sub(offset).clamp_to(points);
            (first < end).then_some([first, end])
        };
        let rows = part(down, layout.rows, self.layout.rows);
        let columns = part(right, layout.columns, self.layout.columns);
        let (Some(rows), Some(columns)) = (rows, columns) else {
            return Ok(());
        };
        let across = self.layout.columns;
        let heights = &mut self.heights;
        tile.read(Part { rows, columns }, &mut |row, column, metres| {
            let (row, column) = (row as i64 + down, column as i64 + right);
            let from = row as usize * across + column as usize;
            let to = from..from + metres.len();
            match heights {
                Heights::Whole(heights) => {
                    for (height, metres) in heights[to].iter_mut().zip(metres) {
                        if !metres.is_nan() {
                            *height = *metres as i16;
                        }
                    }
                }
                Heights::Fractions(heights) => {
                    for (height, metres) in heights[to].iter_mut().zip(metres) {
                        if !metres.is_nan() {
                            *height = *metres;
                        }
                    }
                }
            }
        })
    }

    /// Finds the highest point of each block, those on its edges included.
    pub fn find_tops(&mut self) {
        match &self.heights {
            Heights::Whole(heights) => {
                let known = |height: i16| (height != VOID).then_some(f32::from(height));
                find_tops(&mut self.tops, self.blocks_across, self.layout, |at| {
                    known(heights[at])
                });
            }
            Heights::Fractions(heights) => {
                let known = |height: f32| (!height.is_nan()).then_some(height);
                find_tops(&mut self.tops, self.blocks_across, self.layout, |at| {
                    known(heights[at])
                });
            }
        }
    }

    /// A place in steps right and down from the first point.
    pub fn place(&self, latitude: f64, longitude: f64) -> (f64, f64) {
        (
            (longitude - self.layout.west) / self.layout.across,
            (self.layout.north - latitude) / self.layout.down,
        )
    }

    /// The cell about a place; `None` outside and where a corner is void.
    pub fn cell_at(&self, x: f64, y: f64) -> Option<Cell> {
        let column = inside(x, self.layout.columns)?;
        let row = inside(y, self.layout.rows)?;
        let at = row * self.layout.columns + column;
        let below = at + self.layout.columns;
        let corners = match &self.heights {
            Heights::Whole(heights) => {
                let corners = [
                    heights[at],
                    heights[at + 1],
                    heights[below],
                    heights[below + 1],
                ];
                if corners.contains(&VOID) {
                    return None;
                }
                corners.map(f64::from)
            }
            Heights::Fractions(heights) => {
                let corners = [
                    heights[at],
                    heights[at + 1],
                    heights[below],
                    heights[below + 1],
                ];
                if corners.iter().any(|height| height.is_nan()) {
                    return None;
                }
                corners.map(f64::from)
            }
        };
        Some(Cell {
            row,
            column,
            corners,
        })
    }

    /// The highest point about the straight line from one place to another, m; minus infinity where
    /// all are void.
    pub fn top_between(&self, from: (f64, f64), to: (f64, f64)) -> f64 {
        let blocks = |one: f64, two: f64, points: usize| {
            let last = (points - 2) as f64;
            let (least, most) = (one.min(two) - ON_EDGE, one.max(two) + ON_EDGE);
            let block = |cell: f64| cell.max(0.0).min(last) as usize / BLOCK;
            let some = most >= 0.0 && least <= last + 1.0;
            some.then(|| block(least)..=block(most))
        };
        let across = blocks(from.0, to.0, self.layout.columns);
        let down = blocks(from.1, to.1, self.layout.rows);
        let mut top = f32::NEG_INFINITY;
        if let (Some(across), Some(down)) = (across, down) {
            for row in down {
                for column in across.clone() {
                    top = top.max(self.tops[row * self.blocks_across + column]);
                }
            }
        }
        f64::from(top)
    }
}

/// The cell a place is in, along one direction.
fn inside(place: f64, points: usize) -> Option<usize> {
    let last = (points - 1) as f64;
    let there = (-ON_EDGE..=last + ON_EDGE).contains(&place);
    there.then(|| (place.max(0.0) as usize).min(points - 2))
}

/// An offset clamped to a number of points.
trait ClampTo {
    fn clamp_to(self, points: usize) -> usize;
}

impl ClampTo for i64 {
    fn clamp_to(self, points: usize) -> usize {
        usize::try_from(self).map_or(0, |at| at.min(points))
    }
}

/// A vector of one value, unless out of memory.
fn filled<T: Clone>(count: usize, value: T) -> Result<Vec<T>, TerrainError> {
    let mut all = Vec::new();
    all.try_reserve_exact(count)
        .map_err(|_| TerrainError::NoMemory)?;
    all.resize(count, value);
    Ok(all)
}

fn find_tops(
    tops: &mut [f32],
    blocks_across: usize,
    layout: Layout,
    height: impl Fn(usize) -> Option<f32>,
) {
    let Layout { rows, columns, .. } = layout;
    // the highest in each block's columns of one row
    let mut line = vec![f32::NEG_INFINITY; blocks_across];
    for row in 0..rows {
        for (block, top) in line.iter_mut().enumerate() {
            let first = block * BLOCK;
            let end = (first + BLOCK + 1).min(columns);
            let points = row * columns + first..row * columns + end;
            *top = points.filter_map(&height).fold(f32::NEG_INFINITY, f32::max);
        }
        // a row between two blocks belongs to both
        let above = row.checked_sub(1).map(|above| above / BLOCK);
        let below = (row < rows - 1).then_some(row / BLOCK);
        for down in [above, below.filter(|_| above != below)]
            .into_iter()
            .flatten()
        {
            let blocks = &mut tops[down * blocks_across..(down + 1) * blocks_across];
            for (top, highest) in blocks.iter_mut().zip(&line) {
                *top = top.max(*highest);
            }
        }
    }
}
