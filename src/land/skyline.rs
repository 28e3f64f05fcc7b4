//! The skyline seen from a site, from the heights around it.
//!
//! Light travels in a curve a little bent towards the ground, so that the Earth
//! seems to fall away more slowly, as if its radius were R / (1 − k).

use super::place::Start;
use super::terrain::{REACH_M, Terrain};
use super::trouble::Trouble;
use super::walk::{Eye as WalkingEye, Found, Waypoint, follow};
use crate::angle::Angle;

/// Bearings of a skyline: one every quarter of a degree.
pub const BEARINGS: usize = 1440;

/// Least and greatest bend of light.
const BENDS: [f64; 2] = [-1.0, 0.9];

/// Height of the eye above the ground where nothing else is said, m.
pub const EYE_M: f64 = 1.7;

/// So much of the way is taken for straight between its ends on the map, m. It
/// is at most a quarter of a metre beside the true one up to 70° of latitude:
/// way² tan φ / 8 R.
const PIECE_M: f64 = 2000.0;

/// Where somebody looks from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    /// Latitude, north positive (WGS84).
    pub latitude: Angle,
    /// Longitude, east positive (WGS84).
    pub longitude: Angle,
    /// Height of the eye above the sea, m; where it is `None` or under the
    /// ground of the tiles, see [`skyline`].
    pub height_m: Option<f64>,
}

/// A skyline.
#[derive(Debug, Clone, PartialEq)]
pub struct Skyline {
    /// Height of the eye it was worked out for, above the sea, m.
    pub eye_m: f64,
    /// One for each of the [`BEARINGS`], from north through east.
    pub points: Vec<SkylinePoint>,
}

/// The skyline in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkylinePoint {
    /// True bearing.
    pub bearing: Angle,
    /// What is seen there; `None` where the tiles know no height at all.
    pub top: Option<Top>,
}

/// What stands highest in a direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Top {
    /// Apparent height above the horizontal.
    pub height: Angle,
    /// How far away it is, along the ground, m.
    pub distance_m: f64,
    /// Whether it is the sea, which tiles give as exactly 0 m: then this is its
    /// horizon, as if the sea went on beyond the tiles.
    pub sea: bool,
}

/// The skyline around an eye, as far as the tiles go or [`REACH_M`].
///
/// `bend` is k, from −1 to 0.9, usually [`BEND`](super::sighting::BEND). The eye stands
/// [`EYE_M`] above the ground where its height is not given, and on the ground
/// where it is given lower. Ground of unknown height is passed over.
///
/// Fails where the place is nearer than 5° to a pole, the bend is out of bounds,
/// or the ground at the site is needed and not known.
///
/// Source: geometry on a sphere of R = 6 371 000 m for heights, on WGS84 for
/// places. Accuracy for the ground of the tiles: 0.01° against a
/// brute-force walk over PROJ's geodesics, see `tests/terrain.rs`; tiles
/// themselves miss summits by metres. Light that is bent otherwise, k ± 0.1,
/// moves a skyline 20 km away by 0.01°.
pub fn skyline(terrain: &Terrain, eye: Eye, bend: f64) -> Result<Skyline, Trouble> {
    let start = Start::at(eye.latitude, eye.longitude).ok_or(Trouble::NoSuchPlace)?;
    if !(BENDS[0]..=BENDS[1]).contains(&bend) {
        return Err(Trouble::Bend);
    }
    let (latitude, longitude) = (eye.latitude.degrees(), eye.longitude.degrees());
    let ground = terrain.height_at(latitude, longitude);
    let given = eye.height_m.filter(|height| height.is_finite());
    let eye_m = match (given, ground) {
        (Some(given), Some(ground)) => given.max(ground),
        (Some(given), None) => given,
        (None, Some(ground)) => ground + EYE_M,
        (None, None) => return Err(Trouble::HeightUnknown),
    };
    let eye = WalkingEye::new(eye_m, bend);
    let points = (0..BEARINGS).map(|place| {
        let bearing = bearing(place);
        SkylinePoint {
            bearing,
            top: top(terrain, &eye, &start, bearing),
        }
    });
    Ok(Skyline {
        eye_m,
        points: points.collect(),
    })
}

/// The true bearing of a point of the skyline, by its place in the list.
pub fn bearing(place: usize) -> Angle {
    Angle::from_degrees(place as f64 * (360.0 / BEARINGS as f64))
}

fn top(terrain: &Terrain, eye: &WalkingEye, start: &Start, bearing: Angle) -> Option<Top> {
    let mut found: Option<Found> = None;
    let mut way_m = 0.0;
    let mut from = start.along(bearing, way_m);
    while way_m < REACH_M {
        let end_m = way_m + PIECE_M;
        let to = start.along(bearing, end_m);
        for grid in &terrain.grids {
            let waypoint = |(latitude, longitude), way_m| {
                let (x, y) = grid.place(latitude, longitude);
                Waypoint { x, y, way_m }
            };
            let (from, to) = (waypoint(from, way_m), waypoint(to, end_m));
            follow(grid, eye, from, to, &mut found);
        }
        (from, way_m) = (to, end_m);
    }
    let found = found?;
    let sea = found.height_m == 0.0;
    let seen = match eye.sea() {
        Some(horizon) if sea => horizon,
        _ => found,
    };
    Some(Top {
        height: Angle::from_radians(seen.steepness.atan()),
        distance_m: seen.way_m,
        sea,
    })
}

/// A skyline as plain numbers, for a message from one program to another: the
/// eye's height, then height (radians) and distance (m) of each point; both not
/// a number where nothing is known, the distance negative for the sea.
pub fn to_numbers(skyline: &Skyline) -> Vec<f64> {
    let mut numbers = Vec::with_capacity(1 + 2 * skyline.points.len());
    numbers.push(skyline.eye_m);
    for point in &skyline.points {
        numbers.extend(match point.top {
            Some(top) => {
                let sign = if top.sea { -1.0 } else { 1.0 };
                [top.height.radians(), top.distance_m * sign]
            }
            None => [f64::NAN; 2],
        });
    }
    numbers
}

/// Reads what [`to_numbers`] wrote; `None` for anything else.
pub fn from_numbers(numbers: &[f64]) -> Option<Skyline> {
    let (eye_m, rest) = numbers.split_first()?;
    if rest.len() != 2 * BEARINGS {
        return None;
    }
    let points = rest.chunks_exact(2).enumerate().map(|(place, pair)| {
        let top = Top {
            height: Angle::from_radians(pair[0]),
            distance_m: pair[1].abs(),
            sea: pair[1].is_sign_negative(),
        };
        let known = pair[0].is_finite() && pair[1].is_finite();
        SkylinePoint {
            bearing: bearing(place),
            top: known.then_some(top),
        }
    });
    Some(Skyline {
        eye_m: *eye_m,
        points: points.collect(),
    })
}
