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
use crate::land::height_grid::Grid;
use crate::land::tile::{Tile, TileReader};
use crate::land::tile_layout::Layout;

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
