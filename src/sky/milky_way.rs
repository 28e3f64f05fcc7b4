//! The map of the Milky Way's surface brightness, with its dark lanes.
//!
//! The data are counts of stars from Gaia DR3 and a map of interstellar dust. `.tools/milky_way` writes
//! them and documents sources, model and the file's format.

use std::f64::consts::TAU;
use std::sync::OnceLock;

use crate::angle::Angle;

const DATA: &[u8] = include_bytes!("milky_way.bin");

/// Cells of the grid in a degree, along longitude and latitude.
const PER_DEGREE: f32 = 4.0 / 3.0;
/// Columns of the grid, all the way round, and rows from pole to pole.
const COLUMNS: usize = 480;
const ROWS: usize = 240;
/// Columns with those repeated for interpolation.
const FRAMED_COLUMNS: usize = COLUMNS + 3;

/// Rows of the grid that the file holds in full, about the equator.
const FINE_ROWS: usize = 56;
/// Latitudes of the file's other rows, degrees from the equator, and their columns.
const OUTER_DEG: [f32; 8] = [22.5, 26.0, 30.0, 36.0, 44.0, 54.0, 70.0, 90.0];
const OUTER_COLUMNS: usize = 60;

/// Highest level in the file: brightness 1.
const LEVELS: u8 = 47;
/// Brightness of level 0, relative to the brightest cell. The darkest parts of the sky are little
/// less.
pub const FAINTEST: f64 = 0.03;
/// ln of the brightness of level 0.
const LN_FAINTEST: f32 = -3.506_558;

/// ln of the brightness.
static GRID: OnceLock<Vec<f32>> = OnceLock::new();

/// Brightness at a galactic longitude and latitude, relative to the brightest cell: 0.03 to 1.
pub fn at(longitude: Angle, latitude: Angle) -> f64 {
    let turns = longitude.radians().rem_euclid(TAU) / TAU;
    value(
        turns as f32 * COLUMNS as f32,
        latitude.degrees() as f32 * PER_DEGREE,
    )
    .into()
}

/// Brightness towards a direction in galactic components, of any length.
///
/// Faster than [`at`], and 0.001° off at most.
pub fn towards([x, y, z]: [f32; 3]) -> f32 {
    const PER_RADIAN: f32 = 57.295_78 * PER_DEGREE;
    let longitude = arctangent(y, x) * PER_RADIAN;
    let latitude = arctangent(z, (x * x + y * y).sqrt()) * PER_RADIAN;
    value(longitude, latitude)
}

/// The angle of y over x, radians, within 1.2e-5.
///
/// Source: C. Hastings, as in M. Abramowitz & I. A. Stegun, *Handbook of Mathematical Functions*
/// (1964), 4.4.49.
fn arctangent(y: f32, x: f32) -> f32 {
    use std::f32::consts::{FRAC_PI_2, PI};
    let (across, along) = (y.abs(), x.abs());
    let steep = across > along;
    let (least, most) = if steep {
        (along, across)
    } else {
        (across, along)
    };
    // zero over zero is no angle
    let t = least / most.max(f32::MIN_POSITIVE);
    let s = t * t;
    let angle =
        t * (0.999_866 + s * (-0.330_299_5 + s * (0.180_141 + s * (-0.085_133 + s * 0.020_835_1))));
    let angle = if steep { FRAC_PI_2 - angle } else { angle };
    let angle = if x < 0.0 { PI - angle } else { angle };
    if y < 0.0 { -angle } else { angle }
}

/// Brightness by the distance from longitude 0, to half a turn less or a whole one more, and from
/// the equator, in cells.
///
/// The logarithm is interpolated by cubics (E. Catmull & R. Rom 1974), smooth and through the cells.
fn value(along: f32, up: f32) -> f32 {
    let grid = GRID.get_or_init(|| framed(&decoded()));
    // the middle of the first cell is half a cell in
    let mut along = along - 0.5;
    if along < 0.0 {
        along += COLUMNS as f32;
    }
    // max ignores NaN
    let up = (up + ROWS as f32 / 2.0 - 0.5)
        .max(0.0)
        .min(ROWS as f32 - 1.0);
    let (column, row) = ((along as usize).min(COLUMNS - 1), up as usize);
    let [west, here, east, far] = weights(along - column as f32);
    let mut start = row * FRAMED_COLUMNS + column;
    let mut ln = 0.0;
    for weight in weights(up - row as f32) {
        if let Some([a, b, c, d]) = grid.get(start..).and_then(|cells| cells.first_chunk()) {
            ln += weight * (west * a + here * b + east * c + far * d);
        }
        start += FRAMED_COLUMNS;
    }
    // a direction that is not a number has no light
    let ln = if ln.is_nan() { LN_FAINTEST } else { ln };
    ln.clamp(LN_FAINTEST, 0.0).exp()
}

/// The grid with one cell more before and two after in either direction, as interpolation needs
/// them, round the sky and beyond the poles' rows; from levels to logarithms.
fn framed(grid: &[f32]) -> Vec<f32> {
    let rows = (0..ROWS + 3).map(|row| row.saturating_sub(1).min(ROWS - 1));
    let columns = || (0..FRAMED_COLUMNS).map(|column| (column + COLUMNS - 1) % COLUMNS);
    let ln = |level: f32| LN_FAINTEST * (1.0 - level / f32::from(LEVELS));
    rows.flat_map(|row| columns().map(move |column| ln(grid[row * COLUMNS + column])))
        .collect()
}

/// Weights of the cell before, of the two on either side and of the one after.
fn weights(t: f32) -> [f32; 4] {
    let (s, c) = (t * t, t * t * t);
    [
        s - 0.5 * (c + t),
        1.5 * c - 2.5 * s + 1.0,
        2.0 * s - 1.5 * c + 0.5 * t,
        0.5 * (c - s),
    ]
}

/// The levels of the whole grid, rows from south to north.
fn decoded() -> Vec<f32> {
    let (fine, outer) = DATA
        .split_at_checked(FINE_ROWS * COLUMNS)
        .unwrap_or_default();
    let fine = block(fine, COLUMNS);
    let (south, north) = outer.split_at(outer.len() / 2);
    let outer = [south, north].map(|half| block(half, OUTER_COLUMNS));
    let mut grid = Vec::with_capacity(ROWS * COLUMNS);
    let first = (ROWS - FINE_ROWS) / 2;
    for row in 0..ROWS {
        if (first..first + FINE_ROWS).contains(&row) {
            let start = (row - first) * COLUMNS;
            let cells = fine.iter().skip(start).take(COLUMNS);
            grid.extend(cells.map(|level| f32::from(*level)));
            continue;
        }
        let is_north = row > first;
        let edge = if is_north { FINE_ROWS - 1 } else { 0 };
        let rows = &outer[usize::from(is_north)];
        let latitude = ((row as f32 + 0.5) / PER_DEGREE - 90.0).abs();
        let next = OUTER_DEG.iter().take_while(|deg| **deg < latitude).count();
        // the band's own edge comes before the first of them
        let edge_deg = (FINE_ROWS as f32 - 1.0) / 2.0 / PER_DEGREE;
        let before_deg = next.checked_sub(1).map_or(edge_deg, |last| OUTER_DEG[last]);
        let way = (latitude - before_deg) / (OUTER_DEG[next] - before_deg);
        for column in 0..COLUMNS {
            let sparse = |row: usize| {
                let every = COLUMNS / OUTER_COLUMNS;
                let (place, rest) = (column / every, column % every);
                let [west, east] = [place, (place + 1) % OUTER_COLUMNS]
                    .map(|place| cell(rows, row * OUTER_COLUMNS + place));
                west + (east - west) * (rest as f32 + 0.5) / every as f32
            };
            let before = match next.checked_sub(1) {
                Some(last) => sparse(last),
                None => cell(&fine, edge * COLUMNS + column),
            };
            grid.push(before + way * (sparse(next) - before));
        }
    }
    grid
}

fn cell(levels: &[u8], place: usize) -> f32 {
    levels.get(place).copied().unwrap_or(0).into()
}

/// The levels of a block of the file.
fn block(steps: &[u8], columns: usize) -> Vec<u8> {
    let mut levels: Vec<u8> = Vec::with_capacity(steps.len());
    for (place, step) in steps.iter().enumerate() {
        let before = |back: usize| place.checked_sub(back).map_or(0, |place| levels[place]);
        let south = before(columns);
        let (west, beside) = match place % columns {
            0 => (south, south),
            _ => (before(1), before(columns + 1)),
        };
        let even = i16::from(west) + i16::from(south) - i16::from(beside);
        let even = even.clamp(west.min(south).into(), west.max(south).into());
        levels.push((even as u8).wrapping_add(*step));
    }
    levels
}

#[cfg(test)]
mod tests {
    use super::*;

    fn glow(longitude_deg: f64, latitude_deg: f64) -> f64 {
        at(
            Angle::from_degrees(longitude_deg),
            Angle::from_degrees(latitude_deg),
        )
    }

    /// Every byte of the file is read, and every level is one there is.
    #[test]
    fn the_whole_file_is_read() {
        let outer = 2 * OUTER_DEG.len() * OUTER_COLUMNS;
        assert_eq!(DATA.len(), FINE_ROWS * COLUMNS + outer);
        let fine = block(&DATA[..FINE_ROWS * COLUMNS], COLUMNS);
        let levels = (fine.iter().min(), fine.iter().max());
        assert!(
            levels.0 < Some(&4) && levels.1 == Some(&LEVELS),
            "{levels:?}"
        );
        assert_eq!(decoded().len(), ROWS * COLUMNS);
    }

    /// Mean glow within a radius of a place.
    fn about(longitude_deg: f64, latitude_deg: f64, radius_deg: f64) -> f64 {
        let steps = || (-4..=4).map(|step| f64::from(step) / 4.0 * radius_deg);
        let places = steps().flat_map(|x| steps().map(move |y| (x, y)));
        let inside = places.filter(|(x, y)| x.hypot(*y) <= radius_deg);
        let light: Vec<f64> = inside
            .map(|(x, y)| glow(longitude_deg + x, latitude_deg + y))
            .collect();
        light.iter().sum::<f64>() / light.len() as f64
    }

    /// Dark clouds and the bright ones beside them, as catalogues place them (B. T. Lynds, *ApJS* 7 (1962)
    /// 1; E. E. Barnard's atlas of 1927; the Coalsack by any handbook; all from memory, to a
    /// degree).
    #[test]
    fn lanes_are_dark_where_catalogues_have_them() {
        for (name, dark, bright, at_most) in [
            (
                "Coalsack, and the clouds of Carina",
                (302.5, 0.0),
                (291.0, -0.5),
                0.5,
            ),
            (
                "Pipe, and the great cloud in Sagittarius",
                (358.5, 6.5),
                (1.5, -3.0),
                0.4,
            ),
            (
                "Pipe's bowl, and the gap west of it",
                (1.0, 4.0),
                (355.0, 3.5),
                0.8,
            ),
            (
                "rift in Aquila, and the cloud in Scutum",
                (28.0, 3.5),
                (27.0, -3.0),
                0.4,
            ),
            (
                "rift in Cygnus, and the clouds south-west of it",
                (80.0, 1.0),
                (72.0, 2.5),
                0.8,
            ),
            (
                "Ophiuchus, and the gap south of it",
                (353.5, 16.5),
                (355.0, 4.0),
                0.3,
            ),
            (
                "Taurus, and the same latitude further on",
                (171.0, -15.0),
                (205.0, -13.0),
                0.75,
            ),
        ] {
            let ratio = about(dark.0, dark.1, 1.0) / about(bright.0, bright.1, 1.0);
            println!("{name}: {ratio:.2}");
            assert!(ratio < at_most, "{name}: {ratio}");
        }
    }

    #[test]
    fn is_smooth_round_the_sky() {
        for latitude in [-90.0, -45.0, -21.0, -3.0, 0.0, 20.7, 22.5, 89.9] {
            for step in 0..3600 {
                let longitude = f64::from(step) / 10.0;
                let here = glow(longitude, latitude);
                let next = glow(longitude + 0.1, latitude);
                let change = (here / next).ln().abs();
                assert!(change < 0.16, "{longitude}, {latitude}: {change}");
            }
            assert!((glow(359.999_999, latitude) / glow(0.0, latitude) - 1.0).abs() < 1e-3);
        }
        for longitude in [0.0, 90.0, 211.0] {
            for step in -899..899 {
                let latitude = f64::from(step) / 10.0;
                let change = (glow(longitude, latitude) / glow(longitude, latitude + 0.1)).ln();
                assert!(change.abs() < 0.25, "{longitude}, {latitude}: {change}");
            }
        }
    }

    #[test]
    fn a_direction_gives_what_its_coordinates_give() {
        for longitude in (-180..540).step_by(7) {
            for latitude in (-90..=90).step_by(5) {
                let [x, y] = [f64::from(longitude), f64::from(latitude)].map(f64::to_radians);
                let direction = [y.cos() * x.cos(), y.cos() * x.sin(), y.sin()];
                let got = towards(direction.map(|part| 3.0 * part as f32));
                let want = glow(longitude.into(), latitude.into());
                let miss = (f64::from(got) / want - 1.0).abs();
                assert!(miss < 0.01, "{longitude}, {latitude}: {got}, want {want}");
            }
        }
        for odd in [0.0, f32::NAN, f32::INFINITY] {
            let got = towards([odd; 3]);
            assert!(got.is_finite(), "{odd}: {got}");
        }
    }
}
