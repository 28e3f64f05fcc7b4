//! Grows a hypothesis that fits a part of the picture over all of it.
//!
//! Each projection the lens may have is followed outwards, with distortion and centre fitted as the
//! stars come to determine them. The one that leaves least unexplained is kept: not the one with the least
//! rms, since a wrong projection can match some stars well and leave the corners unmatched.

use crate::astrometry::camera_fit::{Freedom, StarPair};
use crate::astrometry::chance::log10_tail;
use crate::astrometry::identify::{ANY_PROJECTION, Identified, LEAST_MATCHES, Search};
use crate::astrometry::matching::{Extent, Match, median};
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::sky_camera::SkyCamera;
use crate::camera::distortion::Distortion;
use crate::camera::lens::Projection;

/// Logarithm of the chance below which a solution is believed: once in 10^6 pictures, after up to some 10^8
/// hypotheses.
const BELIEVED_BELOW: f64 = -14.0;

/// Stars used while growing.
const GROWING_STARS: usize = 300;

/// Parameters fitted use up this many matches.
const FITTED_MATCHES: usize = 3;

/// Distance of a detection from its star, px, while growing, and that of one not explained.
const GROWN_SIGMA_PX: f64 = 0.4;
const UNEXPLAINED_PX: f64 = 6.0;

/// Another projection is kept for a closer look if it has this share of the best one's matches.
const ALTERNATIVE_SHARE: f64 = 0.75;

impl Search<'_> {
    /// Grows with every projection the lens may have and keeps the one that explains most.
    pub(super) fn grown_best(
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
            let camera = self.reprojected(start, projection, seed, radius_px);
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
            let misses = matches.iter().map(|found| found.miss_px);
            let middle = self.detections.middle();
            cost(camera, misses, explained.len(), middle, GROWN_SIGMA_PX)
        };
        grown.sort_by(|a, b| cost(a).total_cmp(&cost(b)));
        let mut grown = grown.into_iter();
        let best = self.believed(grown.next()?)?;
        let least = ALTERNATIVE_SHARE * best.matches.len() as f64;
        let others = grown.filter(|(_, matches)| matches.len() as f64 > least);
        Some(Identified {
            alternatives: others.map(|(camera, _)| camera).collect(),
            ..best
        })
    }

    /// A camera of another projection that images the stars around a place like this one.
    fn reprojected(
        &self,
        camera: &SkyCamera,
        projection: Projection,
        seed: PicturePoint,
        radius_px: f64,
    ) -> SkyCamera {
        if camera.projection == projection {
            return *camera;
        }
        let mut pairs = Vec::new();
        for right in -3_i32..=3 {
            for down in -3_i32..=3 {
                let at = PicturePoint {
                    x_px: seed.x_px + f64::from(right) / 4.0 * radius_px,
                    y_px: seed.y_px + f64::from(down) / 4.0 * radius_px,
                };
                if let Some(direction) = camera.direction(at) {
                    pairs.push(StarPair {
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
        other.fitted(&pairs, self.detections.middle(), Freedom::Scale, 8)
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
            alternatives: Vec::new(),
        })
    }
}

/// What a solution leaves unexplained: of each of the `explained` detections that some solution
/// explains, the logarithm of its miss over `sigma_px`; and the improbability of the lens.
pub(super) fn cost(
    camera: &SkyCamera,
    misses_px: impl Iterator<Item = f64>,
    explained: usize,
    middle: PicturePoint,
    sigma_px: f64,
) -> f64 {
    let of_miss = |miss_px: f64| (1.0 + (miss_px / sigma_px).powi(2)).ln();
    let (mut missed, mut matched) = (0.0, 0);
    for miss_px in misses_px {
        missed += of_miss(miss_px);
        matched += 1;
    }
    let unexplained = explained.saturating_sub(matched) as f64 * of_miss(UNEXPLAINED_PX);
    let Distortion { k1, k2 } = camera.distortion;
    // a fisheye is made to its projection; the bend of another would pass for distortion
    let (k1_sigma, k2_sigma) = match camera.projection {
        Projection::Rectilinear => (0.05, 0.02),
        _ => (0.03, 0.015),
    };
    let centre = camera.centre.distance_px(middle) / camera.half_diagonal_px;
    missed
        + unexplained
        + (k1 / k1_sigma).powi(2)
        + (k2 / k2_sigma).powi(2)
        + (centre / 0.005).powi(2)
}

/// Robust standard deviation of the misses along each coordinate, px.
pub fn spread(camera: &SkyCamera, pairs: &[StarPair]) -> f64 {
    /// Median of a Rayleigh distribution in standard deviations, √(2 ln 2).
    const RAYLEIGH_MEDIAN: f64 = 1.177_410;
    let mut misses: Vec<f64> = pairs
        .iter()
        .filter_map(|pair| Some(camera.image(pair.direction)?.distance_px(pair.at)))
        .collect();
    median(&mut misses).map_or(f64::INFINITY, |miss| miss / RAYLEIGH_MEDIAN)
}
