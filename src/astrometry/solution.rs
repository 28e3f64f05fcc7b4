//! The solution of a frame: lens and pointing, with refraction where the horizon is known.

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::astrometry::camera_fit::{Freedom, StarPair};
use crate::astrometry::catalogue::{CatalogueStar, catalogue};
use crate::astrometry::growth::{cost, spread};
use crate::astrometry::horizon::Horizon;
use crate::astrometry::identify::{identify, identify_quickly};
use crate::astrometry::matching::{Detections, Extent, Match, SkyStar};
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::sky_camera::{SkyCamera, orthonormal};
use crate::astrometry::star_list::StarList;
use crate::camera::drift::EARTH_RATE;
use crate::sky::celestial_to_horizontal::horizontal;
use crate::vector::Vector;

/// Fewer stars than this are not tried.
const LEAST_STARS: usize = 8;

/// So few detections that are not identified are no stars: fifteen stars would have been enough.
const FEW_STARS: usize = 25;

/// The horizon is believed when at least this share of the matches stays.
const KEPT_SHARE: f64 = 0.7;

/// By how much refraction shrinks the sky: n − 1 of air across, and that over the square of the
/// sine of the altitude in height; the mean at 40° with 58″ of refraction at 45° (usual
/// tables, from memory).
const SHRINKAGE: f64 = 2.8e-4 * (1.0 + 2.42) / 2.0;

/// Rounds of matching and fitting.
const ROUNDS: usize = 5;

/// Why a frame has no solution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum NoSolution {
    /// Too few stars were detected.
    NoStars,
    /// The stars found are none that are known.
    NotIdentified,
    /// They are known, but as in a mirror.
    Mirrored,
}

impl std::fmt::Display for NoSolution {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            Self::NoStars => "there are too few stars in this picture",
            Self::NotIdentified => "the stars of this picture could not be identified",
            Self::Mirrored => "this picture is mirrored; turn it back and open it again",
        })
    }
}

/// What is known of a frame beforehand.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Hints {
    /// Focal length, px, to a tenth.
    pub focal_px: Option<f64>,
    /// Site and moment.
    pub horizon: Option<Horizon>,
    /// Year of the frame, such as 2026.4; 2026 where it is not known.
    pub year: Option<f64>,
}

/// A star of the solution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolvedStar {
    /// Number in the Hipparcos catalogue.
    pub hip: u32,
    /// Hp magnitude.
    pub magnitude: f64,
    /// Where the solution images it.
    pub at: PicturePoint,
    /// Where it was found.
    pub found: PicturePoint,
}

/// A solved frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// The camera, among east, north, up with refraction where the horizon is known, else among
    /// ICRS axes.
    pub camera: SkyCamera,
    /// The horizon, where site and moment are known and agree with the stars.
    pub horizon: Option<Horizon>,
    /// The picture's middle.
    pub middle: PicturePoint,
    /// The stars used, brightest first.
    pub stars: Vec<SolvedStar>,
    /// Root mean square of their distances, px, those beyond the clip left out.
    pub rms_px: f64,
    /// Logarithm to the base ten of the probability of as many matches by chance.
    pub log10_chance: f64,
}

/// Where the camera points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pointing {
    /// True bearing of the direction imaged in the picture's middle.
    pub bearing: Angle,
    /// Its apparent altitude.
    pub altitude: Angle,
    /// Roll about the optical axis, clockwise as seen from behind the camera.
    pub roll: Angle,
}

/// Solves a frame from the stars detected in it.
pub fn solve(list: &StarList, hints: &Hints) -> Result<Solution, NoSolution> {
    if list.stars.len() < LEAST_STARS {
        return Err(NoSolution::NoStars);
    }
    let stars = catalogue(hints.year.unwrap_or(2026.0));
    let sky: Vec<SkyStar> = stars
        .iter()
        .enumerate()
        .map(|(row, star)| SkyStar {
            direction: star.direction,
            magnitude: star.magnitude,
            row,
        })
        .collect();
    let detections = Detections::new(list);
    let Some(identified) = identify(&detections, &sky, hints.focal_px) else {
        let turned = mirrored(list);
        let turned = Detections::new(&turned);
        let found = hints
            .focal_px
            .and_then(|focal_px| identify_quickly(&turned, &sky, focal_px));
        let few = list.stars.len() < FEW_STARS;
        return Err(match found {
            Some(_) => NoSolution::Mirrored,
            None if few => NoSolution::NoStars,
            None => NoSolution::NotIdentified,
        });
    };
    let plain = Frame {
        detections: &detections,
        catalogue: &stars,
        sky: &sky,
    };
    let matched = identified.matches.len();
    let cameras: Vec<SkyCamera> = std::iter::once(identified.camera)
        .chain(identified.alternatives)
        .collect();
    let without = || plain.best(&cameras, matched);
    let with = |horizon: Horizon| {
        let seen = horizon.seen(&stars);
        let turned = |camera: &SkyCamera| SkyCamera {
            axes: orthonormal(horizon.seen_axes(camera.axes)),
            ..*camera
        };
        let cameras: Vec<SkyCamera> = cameras.iter().map(turned).collect();
        let solution = Frame {
            sky: &seen,
            ..plain
        }
        .best(&cameras, matched)?;
        Some(Solution {
            horizon: Some(horizon),
            ..solution
        })
    };
    let solution = match hints.horizon.and_then(with) {
        Some(seen) if seen.stars.len() as f64 >= KEPT_SHARE * matched as f64 => Some(seen),
        Some(seen) => without()
            .filter(|plain| (seen.stars.len() as f64) < KEPT_SHARE * plain.stars.len() as f64)
            .or(Some(seen)),
        None => without(),
    };
    let solution = solution.ok_or(NoSolution::NotIdentified)?;
    Ok(Solution {
        log10_chance: identified.log10_chance,
        ..solution
    })
}

/// The list as in a mirror, left for right.
fn mirrored(list: &StarList) -> StarList {
    let mut turned = list.clone();
    for star in &mut turned.stars {
        star.at.x_px = list.width as f64 - star.at.x_px;
        star.angle = Angle::from_radians(-star.angle.radians());
    }
    turned
}

/// Detections and the stars they are matched with.
#[derive(Clone, Copy)]
struct Frame<'a> {
    detections: &'a Detections<'a>,
    catalogue: &'a [CatalogueStar],
    sky: &'a [SkyStar],
}

impl Frame<'_> {
    /// The best of the solutions that start from these cameras: the one that explains the
    /// detections with the most ordinary lens.
    fn best(&self, cameras: &[SkyCamera], matched: usize) -> Option<Solution> {
        let refined = cameras.iter();
        let refined: Vec<(Solution, Vec<usize>)> = refined
            .filter_map(|camera| self.refined(*camera, matched))
            .collect();
        let mut explained: Vec<usize> = refined
            .iter()
            .flat_map(|(_, detections)| detections.iter().copied())
            .collect();
        explained.sort_unstable();
        explained.dedup();
        let sigma_px = refined
            .iter()
            .map(|(solution, _)| solution.rms_px)
            .fold(f64::INFINITY, f64::min)
            .max(0.05);
        let cost = |(solution, _): &(Solution, Vec<usize>)| {
            let misses = solution.stars.iter();
            let misses = misses.map(|star| star.at.distance_px(star.found));
            cost(
                &solution.camera,
                misses,
                explained.len(),
                self.detections.middle(),
                sigma_px,
            )
        };
        let best = refined.iter().min_by(|a, b| cost(a).total_cmp(&cost(b)))?;
        Some(best.0.clone())
    }

    /// The last rounds of matching and fitting, over the whole picture, and the detections
    /// explained.
    fn refined(&self, start: SkyCamera, matched: usize) -> Option<(Solution, Vec<usize>)> {
        let middle = self.detections.middle();
        let mut camera = start;
        let mut tolerance_px = 4.0;
        let mut pairs: Vec<(Match, StarPair)> = Vec::new();
        for round in 0..ROUNDS {
            let extent = Extent {
                stars: usize::MAX,
                // not many more detections than stars, or they match by chance
                detections: 4 * matched + 50,
                about: middle,
                radius_px: f64::INFINITY,
                tolerance_px,
            };
            let mut matches = self.detections.matched(&camera, self.sky, extent).list;
            self.detections.keep_plausible(self.sky, &mut matches);
            pairs = self
                .detections
                .undisturbed_pairs(&camera, self.sky, &matches);
            if pairs.len() < 6 {
                return None;
            }
            let freedom = match pairs.len() {
                0..8 => Freedom::Scale,
                8..14 => Freedom::Bend,
                _ => Freedom::Everything,
            };
            let fitted: Vec<StarPair> = pairs.iter().map(|(_, pair)| *pair).collect();
            camera = camera.fitted(&fitted, middle, freedom, 6);
            let spread_px = spread(&camera, &fitted);
            tolerance_px = (4.0 * spread_px).clamp(0.6, if round == 0 { 3.0 } else { 2.0 });
        }
        let mut stars = Vec::with_capacity(pairs.len());
        let mut squares = 0.0;
        let mut explained = Vec::with_capacity(pairs.len());
        for (found, pair) in &pairs {
            let at = camera.image(pair.direction)?;
            let miss_px = at.distance_px(pair.at);
            if miss_px > tolerance_px {
                continue;
            }
            squares += miss_px * miss_px;
            explained.push(found.detection);
            let star = &self.sky[found.star];
            stars.push(SolvedStar {
                hip: self.catalogue[star.row].hip,
                magnitude: star.magnitude,
                at: camera.image(star.direction)?,
                found: pair.at,
            });
        }
        let count = stars.len().max(1) as f64;
        let solution = Solution {
            camera,
            horizon: None,
            middle,
            rms_px: (squares / count).sqrt(),
            stars,
            log10_chance: 0.0,
        };
        Some((solution, explained))
    }
}

impl Solution {
    /// Where the camera points; `None` where the horizon is not known.
    pub fn pointing(&self) -> Option<Pointing> {
        self.horizon?;
        let middle = horizontal(self.camera.direction(self.middle)?);
        let [right, _, _] = self.camera.axes;
        let forward = self.camera.forward();
        let bearing = horizontal(forward).bearing;
        let level_right = Vector::new(bearing.cos(), -bearing.sin(), 0.0);
        // right, level right and forward are at right angles in pairs, so this is level up
        let level_up = level_right.cross(forward);
        let roll = (-right.dot(level_up)).atan2(right.dot(level_right));
        Some(Pointing {
            bearing: middle.bearing,
            altitude: middle.altitude.0,
            roll: Angle::from_radians(roll),
        })
    }

    /// Focal length, px. Where the horizon is not known, the camera's own is too small by how much
    /// air shrinks the sky, here taken for an altitude of 40°: good to 0.03 % above 20°.
    pub fn focal_px(&self) -> f64 {
        match self.horizon {
            Some(_) => self.camera.focal_px,
            None => self.camera.focal_px * (1.0 + SHRINKAGE),
        }
    }

    /// Right ascension, 0 to under 360°, and declination (ICRS) of the picture's middle.
    pub fn celestial_middle(&self) -> Option<(Angle, Angle)> {
        let seen = self.camera.direction(self.middle)?;
        let Vector { x, y, z } = self.horizon.map_or(seen, |horizon| horizon.to_icrs(seen));
        let turn = y.atan2(x).rem_euclid(std::f64::consts::TAU);
        let height = z.atan2(x.hypot(y));
        Some((Angle::from_radians(turn), Angle::from_radians(height)))
    }

    /// The stroke of a star at a place over an exposure: to the right and down, px, from start to end.
    /// `None` where it leaves the lens's picture.
    ///
    /// Without a horizon refraction is neglected, and the pole is that of the ICRS, a tenth of a
    /// degree from the true one.
    pub fn stroke(&self, at: PicturePoint, exposure_s: f64) -> Option<(f64, f64)> {
        let seen = self.camera.direction(at)?;
        let moved = |seconds: f64| match self.horizon {
            Some(horizon) => horizon.later(seen, seconds),
            None => seen.rotated_about(Vector::new(0.0, 0.0, 1.0), -EARTH_RATE * seconds),
        };
        let start = self.camera.image(moved(-exposure_s / 2.0))?;
        let end = self.camera.image(moved(exposure_s / 2.0))?;
        Some((end.x_px - start.x_px, end.y_px - start.y_px))
    }

    /// Bearing and apparent altitude imaged at a place; `None` where the horizon is not known.
    pub fn horizontal_at(&self, at: PicturePoint) -> Option<(Angle, Angle)> {
        self.horizon?;
        let seen = horizontal(self.camera.direction(at)?);
        Some((seen.bearing, seen.altitude.0))
    }
}
