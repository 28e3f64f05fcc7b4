//! Identifies the stars of a picture: where the camera pointed, from nothing but their places.
//!
//! [`pair_search`](crate::astrometry::pair_search) makes hypotheses from the brightest stars of a
//! part of the picture. Each is checked against more stars there and then grown over the picture,
//! with every projection the lens may have; the one that leaves least unexplained is kept. It is
//! believed only when its matches are beyond chance.

use crate::astrometry::camera_fit::Freedom;
use crate::astrometry::chance::log10_tail;
use crate::astrometry::matching::{Detections, Extent, Match, SkyStar, median};
use crate::astrometry::pair_search::{GroupStar, Hypothesis, PairTable, SCALE_RANGE};
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::sky_camera::{SkyCamera, orthonormal};
use crate::camera::distortion::Distortion;
use crate::camera::lens::Projection;
use crate::vector::Vector;

/// Largest angular radius of a group of stars, radians: 20°. Lenses differ little over it.
const GROUP_RADIUS: f64 = 0.349;

/// Stars in a group.
const GROUP: usize = 12;

/// Focal lengths looked through when none is known, in diagonals of the picture: from a fisheye of 6 mm
/// to 300 mm on a full frame.
const SHORTEST: f64 = 0.14;
const LONGEST: f64 = 7.0;

/// Below this focal length, in diagonals, any projection is tried: 16 mm on a full frame and 8 mm on
/// Four Thirds are 0.37.
const ANY_PROJECTION: f64 = 0.55;

/// Hypotheses tried at most, with and without a known focal length: one to four seconds on a phone.
const BUDGET: usize = 8_000_000;
const BLIND_BUDGET: usize = 40_000_000;

/// Logarithms of the chances at which a hypothesis is grown, and believed: by chance once in 10^6
/// pictures, after up to some 10^8 hypotheses.
const GROWN_BELOW: f64 = -6.0;
const BELIEVED_BELOW: f64 = -14.0;

/// Fewest matches believed.
const LEAST_MATCHES: usize = 9;

/// Stars used while growing.
const GROWING_STARS: usize = 300;

/// Parameters fitted use up this many matches.
const FITTED_MATCHES: usize = 3;

/// A picture whose stars are known.
#[derive(Debug, Clone, PartialEq)]
pub struct Identified {
    /// The camera, among the axes of the stars given.
    pub camera: SkyCamera,
    /// The matches.
    pub matches: Vec<Match>,
    /// Logarithm to the base ten of the probability of as many matches by chance.
    pub log10_chance: f64,
    /// Hypotheses tried.
    pub tried: usize,
}

/// Identifies detections among stars, brightest first.
///
/// `focal_px` is the focal length where it is known to a tenth; all are tried after it. `None`
/// when no hypothesis is beyond chance.
pub fn identify(
    detections: &Detections,
    sky: &[SkyStar],
    focal_px: Option<f64>,
) -> Option<Identified> {
    let search = Search { detections, sky };
    if detections.list.stars.len() < LEAST_MATCHES {
        return None;
    }
    let mut tried = 0;
    if let Some(focal_px) = focal_px.filter(|focal_px| focal_px.is_finite() && *focal_px > 0.0) {
        let mut budget = BUDGET;
        for share in [1.0, 0.92, 1.085] {
            let found = search.at_focal(focal_px * share, true, &mut budget);
            if let Some(found) = found {
                let tried = BUDGET - budget;
                return Some(Identified { tried, ..found });
            }
        }
        tried = BUDGET - budget;
    }
    let mut budget = BLIND_BUDGET;
    let diagonal_px = 2.0 * detections.half_diagonal_px();
    for diagonals in focal_lengths() {
        let found = search.at_focal(diagonals * diagonal_px, false, &mut budget);
        if let Some(found) = found {
            let tried = tried + BLIND_BUDGET - budget;
            return Some(Identified { tried, ..found });
        }
    }
    None
}

/// Focal lengths in diagonals, from the usual ones outwards.
fn focal_lengths() -> impl Iterator<Item = f64> {
    const MIDDLE: f64 = 0.55;
    let step = (1.0 + SCALE_RANGE) / (1.0 - SCALE_RANGE);
    let place = move |index: i32| MIDDLE * step.powi(index);
    (0..48_i32)
        .flat_map(|index| [index, -index - 1])
        .map(place)
        .filter(|diagonals| (SHORTEST..LONGEST).contains(diagonals))
}

struct Search<'a> {
    detections: &'a Detections<'a>,
    sky: &'a [SkyStar],
}

impl Search<'_> {
    fn camera(&self, projection: Projection, focal_px: f64) -> SkyCamera {
        SkyCamera {
            projection,
            focal_px,
            distortion: Distortion::NONE,
            half_diagonal_px: self.detections.half_diagonal_px(),
            centre: self.detections.middle(),
            axes: [
                Vector::new(1.0, 0.0, 0.0),
                Vector::new(0.0, 1.0, 0.0),
                Vector::new(0.0, 0.0, 1.0),
            ],
        }
    }

    /// Searches with a focal length assumed, to within [`SCALE_RANGE`].
    fn at_focal(&self, focal_px: f64, thorough: bool, budget: &mut usize) -> Option<Identified> {
        let half_px = self.detections.half_diagonal_px();
        let wide = focal_px < ANY_PROJECTION * 2.0 * half_px;
        let radius_px = (focal_px * GROUP_RADIUS.tan()).min(half_px);
        let radius = (radius_px / focal_px).atan();
        let table = PairTable::new(self.sky, radius);
        let projections: &[Projection] = if wide {
            &[Projection::Rectilinear, Projection::Equidistant]
        } else {
            &[Projection::Rectilinear]
        };
        for (index, seed) in self.seeds(radius_px, thorough).into_iter().enumerate() {
            for (which, &projection) in projections.iter().enumerate() {
                // in the middle of the picture the projections agree
                if index == 0 && which > 0 {
                    continue;
                }
                let camera = self.camera(projection, focal_px);
                let group = self.group(&camera, seed, radius_px);
                let mut at_most = *budget;
                let accept =
                    |hypothesis: &Hypothesis| self.checked(&camera, hypothesis, seed, radius_px);
                let found = table.search(&group, &mut at_most, accept);
                *budget = at_most;
                if found.is_some() || *budget == 0 {
                    return found;
                }
            }
        }
        None
    }

    /// Middles of the groups: the picture's, and others around it.
    fn seeds(&self, radius_px: f64, thorough: bool) -> Vec<PicturePoint> {
        let (width, height) = (self.detections.list.width, self.detections.list.height);
        let middle = self.detections.middle();
        let mut seeds = vec![middle];
        let spacing = 1.4 * radius_px;
        let (across, down) = (
            (width as f64 / 2.0 / spacing) as i32,
            (height as f64 / 2.0 / spacing) as i32,
        );
        for row in -down.min(6)..=down.min(6) {
            for column in -across.min(6)..=across.min(6) {
                let seed = PicturePoint {
                    x_px: middle.x_px + spacing * f64::from(column),
                    y_px: middle.y_px + spacing * f64::from(row),
                };
                if (row, column) != (0, 0) {
                    seeds.push(seed);
                }
            }
        }
        seeds[1..].sort_by(|a, b| a.distance_px(middle).total_cmp(&b.distance_px(middle)));
        seeds.truncate(if thorough { 15 } else { 5 });
        seeds
    }

    /// The brightest stars around a place, in the camera's axes.
    fn group(&self, camera: &SkyCamera, seed: PicturePoint, radius_px: f64) -> Vec<GroupStar> {
        let stars = self.detections.list.stars.iter();
        stars
            .filter(|star| star.at.distance_px(seed) < radius_px)
            .filter_map(|star| {
                Some(GroupStar {
                    direction: camera.direction(star.at)?,
                    magnitude: -2.5 * star.flux.max(1e-12).log10(),
                    saturated: star.saturated,
                })
            })
            .take(GROUP)
            .collect()
    }

    /// Checks a hypothesis against more stars around its group and then over the whole picture.
    fn checked(
        &self,
        assumed: &SkyCamera,
        hypothesis: &Hypothesis,
        seed: PicturePoint,
        radius_px: f64,
    ) -> Option<Identified> {
        let middle = self.detections.middle();
        let mut camera = placed(assumed, hypothesis);
        let circle_px = 1.2 * radius_px;
        // so many detections and catalogue stars
        const DETECTIONS: usize = 40;
        let rank = self.rank_inside(seed, circle_px, DETECTIONS);
        let mut extent = Extent {
            stars: 80,
            detections: rank,
            about: seed,
            radius_px: circle_px,
            tolerance_px: 0.0,
        };
        for share in [0.025, 0.015, 0.01] {
            extent.tolerance_px = share * radius_px;
            let matches = self.detections.matched(&camera, self.sky, extent);
            if matches.list.len() < 5 {
                return None;
            }
            let pairs = self.coarse_pairs(&matches.list, extent.tolerance_px);
            camera = camera.fitted(&pairs, middle, Freedom::Scale, 3);
        }
        extent.tolerance_px = 0.008 * radius_px;
        let matches = self.detections.matched(&camera, self.sky, extent);
        let inside = self.detections.inside(seed, circle_px, rank);
        let share = matches.stars_inside as f64 * (extent.tolerance_px / circle_px).powi(2);
        let hits = matches.list.len().saturating_sub(2);
        if log10_tail(hits, inside.saturating_sub(2), share) > GROWN_BELOW {
            return None;
        }
        self.grown_best(&camera, seed, circle_px)
    }

    /// Pairs that are all as uncertain as the tolerance suggests.
    fn coarse_pairs(
        &self,
        matches: &[Match],
        tolerance_px: f64,
    ) -> Vec<crate::astrometry::camera_fit::StarPair> {
        let mut pairs = self.detections.pairs(self.sky, matches);
        for pair in &mut pairs {
            pair.sigma_px = tolerance_px / 3.0;
        }
        pairs
    }

    /// How many of the brightest detections hold `count` inside a circle.
    fn rank_inside(&self, about: PicturePoint, radius_px: f64, count: usize) -> usize {
        let stars = self.detections.list.stars.iter().enumerate();
        let mut inside = stars.filter(|(_, star)| star.at.distance_px(about) < radius_px);
        let last = inside.nth(count.saturating_sub(1));
        last.map_or(self.detections.list.stars.len(), |(row, _)| row + 1)
    }

    /// Grows with every projection the lens may have and keeps the one that explains most.
    fn grown_best(
        &self,
        start: &SkyCamera,
        seed: PicturePoint,
        radius_px: f64,
    ) -> Option<Identified> {
        let wide = start.focal_px < ANY_PROJECTION * start.half_diagonal_px * 2.0;
        let projections: &[Projection] = if wide {
            &Projection::ALL
        } else {
            &[Projection::Rectilinear]
        };
        let mut grown: Vec<(SkyCamera, Vec<Match>)> = Vec::new();
        for &projection in projections {
            let camera = self.reprojected(start, projection, seed, radius_px)?;
            grown.extend(self.grown(camera, seed, radius_px));
        }
        // the detections that any of them explains
        let mut explained: Vec<usize> = grown
            .iter()
            .flat_map(|(_, matches)| matches.iter().map(|found| found.detection))
            .collect();
        explained.sort_unstable();
        explained.dedup();
        let cost = |(camera, matches): &(SkyCamera, Vec<Match>)| {
            cost(camera, matches, explained.len(), self.detections.middle())
        };
        let best = grown
            .iter()
            .min_by(|a, b| cost(a).total_cmp(&cost(b)))?
            .clone();
        self.believed(best)
    }

    /// A camera of another projection that images the stars around a place like this one.
    fn reprojected(
        &self,
        camera: &SkyCamera,
        projection: Projection,
        seed: PicturePoint,
        radius_px: f64,
    ) -> Option<SkyCamera> {
        if camera.projection == projection {
            return Some(*camera);
        }
        let mut pairs = Vec::new();
        for right in -3_i32..=3 {
            for down in -3_i32..=3 {
                let at = PicturePoint {
                    x_px: seed.x_px + f64::from(right) / 4.0 * radius_px,
                    y_px: seed.y_px + f64::from(down) / 4.0 * radius_px,
                };
                if let Some(direction) = camera.direction(at) {
                    pairs.push(crate::astrometry::camera_fit::StarPair {
                        direction,
                        at,
                        sigma_px: 0.01 * radius_px,
                    });
                }
            }
        }
        let other = SkyCamera {
            projection,
            ..*camera
        };
        Some(other.fitted(&pairs, self.detections.middle(), Freedom::Scale, 8))
    }

    /// Widens the circle until it holds the picture, fitting as it grows.
    fn grown(
        &self,
        start: SkyCamera,
        seed: PicturePoint,
        radius_px: f64,
    ) -> Option<(SkyCamera, Vec<Match>)> {
        let middle = self.detections.middle();
        let half_px = self.detections.half_diagonal_px();
        let whole_px = half_px + seed.distance_px(middle);
        let mut camera = start;
        let mut circle_px = radius_px;
        let mut spread_px = 0.003 * radius_px;
        loop {
            let whole = circle_px >= whole_px;
            for round in 0..3 {
                let growing = if round == 0 { 0.006 * circle_px } else { 0.0 };
                let tolerance_px = (4.0 * spread_px).clamp(1.5, 0.02 * radius_px + 1.5) + growing;
                let mut matches =
                    self.around(&camera, seed, circle_px, tolerance_px, GROWING_STARS);
                self.detections.keep_plausible(self.sky, &mut matches);
                if matches.len() < 6 {
                    return None;
                }
                let freedom = if circle_px < 0.35 * half_px || matches.len() < 8 {
                    Freedom::Scale
                } else if circle_px < 0.8 * half_px || matches.len() < 14 {
                    Freedom::Bend
                } else {
                    Freedom::Everything
                };
                let mut pairs = self.detections.pairs(self.sky, &matches);
                for pair in &mut pairs {
                    pair.sigma_px = pair.sigma_px.hypot(spread_px);
                }
                camera = camera.fitted(&pairs, middle, freedom, 4);
                spread_px = spread(&camera, &pairs).max(0.1);
            }
            if whole {
                break;
            }
            circle_px *= 1.35;
        }
        let tolerance_px = (4.0 * spread_px).clamp(0.8, 3.0);
        let mut matches = self.around(&camera, seed, 2.0 * whole_px, tolerance_px, self.sky.len());
        self.detections.keep_plausible(self.sky, &mut matches);
        Some((camera, matches))
    }

    /// Matches inside a circle, of about as many stars as detections.
    fn around(
        &self,
        camera: &SkyCamera,
        about: PicturePoint,
        radius_px: f64,
        tolerance_px: f64,
        most_stars: usize,
    ) -> Vec<Match> {
        let mut extent = Extent {
            stars: most_stars,
            detections: self.rank_inside(about, radius_px, 2 * most_stars),
            about,
            radius_px,
            tolerance_px,
        };
        let matches = self.detections.matched(camera, self.sky, extent);
        // no fainter detections than stars: they would only match by chance
        let likely = matches.stars_inside * 3 / 2 + 10;
        let rank = self.rank_inside(about, radius_px, likely);
        if rank >= extent.detections {
            return matches.list;
        }
        extent.detections = rank;
        self.detections.matched(camera, self.sky, extent).list
    }

    /// The solution, if its matches are beyond chance.
    fn believed(&self, (camera, matches): (SkyCamera, Vec<Match>)) -> Option<Identified> {
        let middle = self.detections.middle();
        let misses: Vec<f64> = matches.iter().map(|found| found.miss_px).collect();
        let tolerance_px = misses.iter().fold(0.5, |most: f64, miss| most.max(*miss));
        let last = matches.iter().map(|found| found.star).max()?;
        let faintest = matches.iter().map(|found| found.detection).max()?;
        let extent = Extent {
            stars: usize::MAX,
            detections: faintest + 1,
            about: middle,
            radius_px: f64::INFINITY,
            tolerance_px,
        };
        let inside = self
            .detections
            .matched(&camera, &self.sky[..=last], extent)
            .stars_inside;
        let area = self.detections.list.width as f64 * self.detections.list.height as f64;
        // twice the mean, since stars crowd in the Milky Way
        let share = 2.0 * inside as f64 * std::f64::consts::PI * tolerance_px.powi(2) / area;
        let log10_chance = log10_tail(
            matches.len().saturating_sub(FITTED_MATCHES),
            (faintest + 1).saturating_sub(FITTED_MATCHES),
            share,
        );
        let believed = log10_chance < BELIEVED_BELOW && matches.len() >= LEAST_MATCHES;
        believed.then_some(Identified {
            camera,
            matches,
            log10_chance,
            tried: 0,
        })
    }
}

/// What a solution leaves unexplained: of each detection that some solution explains, the logarithm
/// of its miss, and the improbability of the lens.
fn cost(camera: &SkyCamera, matches: &[Match], explained: usize, middle: PicturePoint) -> f64 {
    const SIGMA_PX: f64 = 0.4;
    const UNEXPLAINED_PX: f64 = 6.0;
    let of_miss = |miss_px: f64| (1.0 + (miss_px / SIGMA_PX).powi(2)).ln();
    let missed: f64 = matches.iter().map(|found| of_miss(found.miss_px)).sum();
    let unexplained = explained.saturating_sub(matches.len()) as f64 * of_miss(UNEXPLAINED_PX);
    let Distortion { k1, k2 } = camera.distortion;
    let centre = camera.centre.distance_px(middle) / camera.half_diagonal_px;
    missed + unexplained + (k1 / 0.05).powi(2) + (k2 / 0.02).powi(2) + (centre / 0.005).powi(2)
}

/// Robust standard deviation of the misses along each coordinate, px.
pub fn spread(camera: &SkyCamera, pairs: &[crate::astrometry::camera_fit::StarPair]) -> f64 {
    /// Median of a Rayleigh distribution in standard deviations, √(2 ln 2).
    const RAYLEIGH_MEDIAN: f64 = 1.177_410;
    let mut misses: Vec<f64> = pairs
        .iter()
        .filter_map(|pair| Some(camera.image(pair.direction)?.distance_px(pair.at)))
        .collect();
    median(&mut misses).map_or(f64::INFINITY, |miss| miss / RAYLEIGH_MEDIAN)
}

/// A camera turned as a hypothesis has it.
fn placed(camera: &SkyCamera, hypothesis: &Hypothesis) -> SkyCamera {
    // the axes of the pair on the sky, each weighted with its components along a camera's axis
    let [m, a, c] = hypothesis.on_sky;
    let axis = |own: Vector| {
        let [x, y, z] = hypothesis.in_camera.map(|pair_axis| pair_axis.dot(own));
        m.times(x).plus(a.times(y)).plus(c.times(z))
    };
    SkyCamera {
        focal_px: camera.focal_px / hypothesis.scale,
        axes: orthonormal(camera.axes.map(axis)),
        ..*camera
    }
}
