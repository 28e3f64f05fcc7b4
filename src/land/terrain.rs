//! The heights around a site, assembled from tiles.
//!
//! Tiles whose points have the same pattern become one grid, so that there is no seam between them.
//! Only heights within [`REACH_M`] are held: as whole metres in 16 bits, or as 32-bit floats where
//! tiles have fractions. That is 26 MB for an SRTM tile of one arc second, and with the part of a
//! file that is being read at most [`MOST_BYTES`].

use std::io::{Read, Seek};

use crate::angle::Angle;
use crate::land::error::TerrainError;
use crate::land::geodesic::LATITUDE_LIMIT_DEG;
use crate::land::tile::{Layout, Part, Tile, TileReader};

/// Range of the skyline, m.
pub const REACH_M: f64 = 60_000.0;

/// Most bytes held: of heights, and of the part of a file that is being read.
pub const MOST_BYTES: usize = 128 << 20;

/// Most files read together.
pub const MOST_TILES: usize = 64;

/// Least length of a degree of latitude and greatest of a degree of the
/// equator's longitude, m, rounded outwards (WGS84).
const LATITUDE_DEGREE_M: f64 = 110_570.0;
const EQUATOR_DEGREE_M: f64 = 111_320.0;

/// Tiles are joined in one grid of at most so many times their own points: memory is to stay in
/// proportion to the files, also where small ones lie far apart.
const MOST_GAPS: usize = 4;

/// Tolerance within which two tiles have the same pattern of points, steps.
const SAME: f64 = 0.01;

/// Cells along a side of a block; a block is skipped where its highest point is too low.
pub(super) const BLOCK: usize = 16;

/// The void value among whole metres.
const VOID: i16 = i16::MIN;

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

/// The heights around a site.
pub struct Terrain {
    pub(super) grids: Vec<Grid>,
}

impl Terrain {
    /// Reads the heights within [`REACH_M`] of a site (WGS84) from the tiles.
    ///
    /// Where tiles of one pattern overlap, the later one's known heights are used. Fails when a
    /// tile cannot be used, when the site is in none or nearer than 5° to a pole, or when the
    /// heights exceed [`MOST_BYTES`].
    pub fn read<R: Read + Seek>(
        tiles: Vec<Tile<R>>,
        latitude: Angle,
        longitude: Angle,
    ) -> Result<Self, TerrainError> {
        let (latitude, longitude) = (latitude.degrees(), longitude.degrees());
        // also false for NaN
        if !(latitude.abs() <= LATITUDE_LIMIT_DEG && longitude.abs() <= 360.0) {
            return Err(TerrainError::NoSuchPlace);
        }
        if tiles.is_empty() {
            return Err(TerrainError::NoTiles);
        }
        if tiles.len() > MOST_TILES {
            return Err(TerrainError::TooManyTiles);
        }
        let mut opened = Vec::new();
        for tile in tiles {
            let (name, tile) = TileReader::open(tile)?;
            let layout = tile.layout().near(longitude);
            opened.push((name, tile, layout));
        }
        let here = |layout: &Layout| layout.holds(latitude, longitude);
        if !opened.iter().any(|(_, _, layout)| here(layout)) {
            return Err(TerrainError::Elsewhere);
        }
        let window = window(latitude, longitude);
        let mut grids: Vec<Grid> = Vec::new();
        let parts = opened.iter_mut().map(|(_, tile, _)| tile.part_bytes());
        let mut left = MOST_BYTES.saturating_sub(parts.max().unwrap_or_default());
        let mut done = vec![false; opened.len()];
        for first in 0..opened.len() {
            if done[first] {
                continue;
            }
            let pattern = opened[first].2;
            let waiting = opened.iter().zip(&done).filter(|(_, done)| !**done);
            let alike: Vec<Layout> = waiting
                .map(|((_, _, layout), _)| *layout)
                .filter(|layout| offset(&pattern, layout).is_some())
                .collect();
            let Some(joint) = needed_layout(&pattern, &alike, window) else {
                continue;
            };
            let needed = |layout| needed_layout(&pattern, &[layout], window);
            let own = alike.iter().filter_map(|layout| needed(*layout));
            let own = own.fold(0, |sum: usize, part| sum.saturating_add(part.points()));
            let (layout, joined) = if joint.points() <= own.saturating_mul(MOST_GAPS) {
                (joint, 0..opened.len())
            } else if let Some(alone) = needed(pattern) {
                (alone, first..first + 1)
            } else {
                continue;
            };
            let mut grid = Grid::empty(layout, &mut left)?;
            for place in joined.filter(|place| !done[*place]).collect::<Vec<_>>() {
                let (name, tile, layout) = &mut opened[place];
                if let Some(steps) = offset(&grid.layout, layout) {
                    done[place] = true;
                    grid.fill(tile, layout, steps)
                        .map_err(|fault| TerrainError::Tile(name.clone(), fault))?;
                }
            }
            grid.find_tops();
            grids.push(grid);
        }
        Ok(Self { grids })
    }

    /// The longest step from point to point of its grids, m along the meridian: no cell
    /// is much longer than wide.
    pub(super) fn step_m(&self) -> f64 {
        let longest = |step: f64, grid: &Grid| step.max(grid.layout.down.abs());
        self.grids.iter().fold(0.0, longest) * LATITUDE_DEGREE_M
    }

    /// Height at a place (WGS84 degrees), m, interpolated between the four points about it; `None`
    /// where one of them is void. Of several grids the first with a height is used.
    pub fn height_at(&self, latitude: f64, longitude: f64) -> Option<f64> {
        self.grids.iter().find_map(|grid| {
            let (x, y) = grid.place(latitude, longitude);
            let cell = grid.cell_at(x, y)?;
            Some(cell.height(x - cell.column as f64, y - cell.row as f64))
        })
    }
}

/// The window needed for a skyline: south, north, west and east, degrees.
fn window(latitude: f64, longitude: f64) -> [f64; 4] {
    let up = REACH_M / LATITUDE_DEGREE_M;
    let narrowest = (latitude.abs() + up).to_radians().cos();
    let aside = REACH_M / (EQUATOR_DEGREE_M * narrowest) * 1.01;
    [
        latitude - up,
        latitude + up,
        longitude - aside,
        longitude + aside,
    ]
}

/// Rows down and columns right from the first point of one layout to that of another, if they have
/// the same pattern.
fn offset(from: &Layout, to: &Layout) -> Option<(i64, i64)> {
    let down = (from.north - to.north) / from.down;
    let right = (to.west - from.west) / from.across;
    // over the length of a side the steps must stay aligned
    let alike = |one: f64, two: f64, points: usize| (one / two - 1.0).abs() * points as f64 <= SAME;
    let same = from.fractions == to.fractions
        && alike(from.down, to.down, to.rows)
        && alike(from.across, to.across, to.columns)
        && (down - down.round()).abs() <= SAME
        && (right - right.round()).abs() <= SAME;
    same.then_some((down.round() as i64, right.round() as i64))
}

/// The layout of a grid for all tiles of a pattern, clipped to the window.
fn needed_layout(
    pattern: &Layout,
    tiles: &[Layout],
    [south, north, west, east]: [f64; 4],
) -> Option<Layout> {
    let mut span = [i64::MAX, i64::MIN, i64::MAX, i64::MIN];
    for tile in tiles {
        let (down, right) = offset(pattern, tile)?;
        span[0] = span[0].min(down);
        span[1] = span[1].max(down + tile.rows as i64);
        span[2] = span[2].min(right);
        span[3] = span[3].max(right + tile.columns as i64);
    }
    // one point more on each side, so that cells reach over the window's edge
    let row = |latitude: f64| (pattern.north - latitude) / pattern.down;
    let column = |longitude: f64| (longitude - pattern.west) / pattern.across;
    let top = span[0].max(row(north).floor() as i64 - 1);
    let bottom = span[1].min(row(south).ceil() as i64 + 2);
    let left = span[2].max(column(west).floor() as i64 - 1);
    let right = span[3].min(column(east).ceil() as i64 + 2);
    let side = |from: i64, to: i64| usize::try_from(to - from).ok().filter(|&side| side >= 2);
    Some(Layout {
        rows: side(top, bottom)?,
        columns: side(left, right)?,
        north: pattern.north - top as f64 * pattern.down,
        west: pattern.west + left as f64 * pattern.across,
        ..*pattern
    })
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
    fn empty(layout: Layout, left: &mut usize) -> Result<Self, TerrainError> {
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
    fn fill<R: Read + Seek>(
        &mut self,
        tile: &mut TileReader<R>,
        layout: &Layout,
        (down, right): (i64, i64),
    ) -> Result<(), crate::land::error::TileError> {
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
    fn find_tops(&mut self) {
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

/// Tolerance beyond the last point, steps: a few millimetres, for rounding at an edge.
const ON_EDGE: f64 = 1e-4;

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
