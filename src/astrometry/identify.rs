//! Identifies the stars of a picture: where the camera pointed, from nothing but their places.
//!
//! [`pair_search`](crate::astrometry::pair_search) makes hypotheses from the brightest stars of a
//! part of the picture. Each is checked against more stars there and then grown over the picture,
//! with every projection the lens may have; the one that leaves least unexplained is kept. It is
//! believed only when its matches are beyond chance.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use crate::astrometry::camera_fit::{Freedom, StarPair};
use crate::astrometry::chance::log10_tail;
use crate::astrometry::matching::{Detections, Extent, Match, SkyStar};
use crate::astrometry::pair_search::{GroupStar, Hypothesis, PairTable, SCALE_RANGE};
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::sky_camera::{SkyCamera, orthonormal};
use crate::camera::distortion::Distortion;
use crate::camera::lens::Projection;
use crate::vector::Vector;

/// Largest angular radius of a group of stars, radians: 20°. Lenses differ little over it.
const GROUP_RADIUS: f64 = 0.349;

/// Groups are of this radius or smaller by powers of `RADIUS_STEP`, so that focal lengths share tables.
const RADIUS_STEP: f64 = 1.09;

/// Stars in a group.
const GROUP: usize = 12;

/// Focal lengths looked through when none is known, in diagonals of the picture: from a fisheye of 6 mm
/// to 300 mm on a full frame.
const SHORTEST: f64 = 0.14;
const LONGEST: f64 = 7.0;

/// Below this focal length, in diagonals, any projection is tried: 16 mm on a full frame and 8 mm on
/// Four Thirds are 0.37.
pub(super) const ANY_PROJECTION: f64 = 0.55;

/// How much is tried for one focal length.
#[derive(Debug, Clone, Copy)]
struct Effort {
    /// Groups of stars.
    seeds: usize,
    /// Sum of the ranks of a pair's stars, counted from zero.
    ranks: usize,
    /// Hypotheses; a million takes some tenths of a second.
    hypotheses: usize,
}

impl Effort {
    /// With a focal length that is known: little is enough for most pictures, and the rest is tried
    /// only when little was not enough.
    const KNOWN: [Self; 2] = [
        Self {
            seeds: 15,
            ranks: GROUP / 2,
            hypotheses: 30_000,
        },
        Self {
            seeds: 15,
            ranks: 2 * GROUP,
            hypotheses: 100_000,
        },
    ];
    /// With each of all focal lengths.
    const BLIND: [Self; 2] = [
        Self {
            seeds: 5,
            ranks: 8,
            hypotheses: 40_000,
        },
        Self {
            seeds: 9,
            ranks: 2 * GROUP,
            hypotheses: 60_000,
        },
    ];
}

/// Hypotheses tried at most for all focal lengths together. Of 264 lists drawn with lenses of 8 to
/// 135 mm none of the 256 identified took three quarters as many.
const BLIND_BUDGET: usize = 1_000_000;

/// Logarithm of the chance below which a hypothesis is grown.
const GROWN_BELOW: f64 = -6.0;

/// Fewest matches believed.
pub(super) const LEAST_MATCHES: usize = 9;

/// A picture whose stars are known.
#[derive(Debug, Clone, PartialEq)]
pub struct Identified {
    /// The camera, among the axes of the stars given.
    pub camera: SkyCamera,
    /// The matches.
    pub matches: Vec<Match>,
    /// Logarithm to the base ten of the probability of as many matches by chance.
    pub log10_chance: f64,
    /// Cameras of other projections that explain nearly as much.
    pub alternatives: Vec<SkyCamera>,
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
    let search = Search::new(detections, sky);
    if detections.list.stars.len() < LEAST_MATCHES {
        return None;
    }
    let focal_px = focal_px.filter(|focal_px| focal_px.is_finite() && *focal_px > 0.0);
    let known = focal_px.and_then(|focal_px| search.near(focal_px));
    known.or_else(|| search.blindly())
}

/// As [`identify`], by the brightest stars alone and only with the focal length given: a fraction
/// of a second.
pub fn identify_quickly(
    detections: &Detections,
    sky: &[SkyStar],
    focal_px: f64,
) -> Option<Identified> {
    let search = Search::new(detections, sky);
    let usable = focal_px.is_finite() && focal_px > 0.0;
    (usable && detections.list.stars.len() >= LEAST_MATCHES)
        .then(|| search.in_groups(&search.groups(focal_px), 0, Effort::KNOWN[1]))
        .flatten()
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

/// Groups of stars for one focal length.
struct Groups {
    focal_px: f64,
    radius_px: f64,
    table: Rc<PairTable>,
}

pub(super) struct Search<'a> {
    pub detections: &'a Detections<'a>,
    pub sky: &'a [SkyStar],
    /// The tables made so far, by how many steps smaller their radius is than the largest.
    tables: RefCell<BTreeMap<i32, Rc<PairTable>>>,
}

impl<'a> Search<'a> {
    fn new(detections: &'a Detections<'a>, sky: &'a [SkyStar]) -> Self {
        Self {
            detections,
            sky,
            tables: RefCell::default(),
        }
    }

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

    /// With a focal length that is known to a tenth.
    fn near(&self, focal_px: f64) -> Option<Identified> {
        let [marked, shorter, longer] =
            [1.0, 0.92, 1.085].map(|share| self.groups(focal_px * share));
        // the brightest may be lamps
        let skipped = [0, GROUP / 2, GROUP, 3 * GROUP / 2].map(|skipped| (&marked, skipped));
        let tries = skipped.into_iter().chain([(&shorter, 0), (&longer, 0)]);
        Effort::KNOWN.into_iter().find_map(|effort| {
            let mut tries = tries.clone();
            tries.find_map(|(groups, skipped)| self.in_groups(groups, skipped, effort))
        })
    }

    /// With every focal length in turn, first with little effort.
    fn blindly(&self) -> Option<Identified> {
        let diagonal_px = 2.0 * self.detections.half_diagonal_px();
        let mut all: Vec<Groups> = Vec::new();
        let mut budget = BLIND_BUDGET;
        for effort in Effort::BLIND {
            for (index, diagonals) in focal_lengths().enumerate() {
                if all.len() == index {
                    all.push(self.groups(diagonals * diagonal_px));
                }
                let allowed = effort.hypotheses.min(budget);
                let mut left = allowed;
                let found = self.in_groups_within(&all[index], 0, effort, &mut left);
                budget -= allowed - left;
                if found.is_some() || budget == 0 {
                    return found;
                }
            }
        }
        None
    }

    /// The groups for a focal length.
    fn groups(&self, focal_px: f64) -> Groups {
        let most = (self.detections.half_diagonal_px() / focal_px).atan();
        let steps = ((GROUP_RADIUS / most).ln() / RADIUS_STEP.ln())
            .max(0.0)
            .ceil() as i32;
        let radius = GROUP_RADIUS / RADIUS_STEP.powi(steps);
        let mut tables = self.tables.borrow_mut();
        let table = tables
            .entry(steps)
            .or_insert_with(|| Rc::new(PairTable::new(self.sky, radius)));
        Groups {
            focal_px,
            radius_px: focal_px * radius.tan(),
            table: table.clone(),
        }
    }

    /// Searches with a focal length assumed, to within [`SCALE_RANGE`], by the stars of each group
    /// after the `skipped` brightest.
    fn in_groups(&self, groups: &Groups, skipped: usize, effort: Effort) -> Option<Identified> {
        let mut left = effort.hypotheses;
        self.in_groups_within(groups, skipped, effort, &mut left)
    }

    /// The same; `budget` counts down the hypotheses still allowed.
    fn in_groups_within(
        &self,
        groups: &Groups,
        skipped: usize,
        effort: Effort,
        budget: &mut usize,
    ) -> Option<Identified> {
        let Groups {
            focal_px,
            radius_px,
            ref table,
        } = *groups;
        let wide = focal_px < ANY_PROJECTION * 2.0 * self.detections.half_diagonal_px();
        let projections: &[Projection] = if wide {
            &[Projection::Rectilinear, Projection::Equidistant]
        } else {
            &[Projection::Rectilinear]
        };
        for (index, seed) in self.seeds(radius_px, effort.seeds).into_iter().enumerate() {
            for (which, &projection) in projections.iter().enumerate() {
                // in the middle of the picture the projections agree
                if index == 0 && which > 0 {
                    continue;
                }
                if *budget == 0 {
                    return None;
                }
                let camera = self.camera(projection, focal_px);
                let group = self.group(&camera, seed, radius_px, skipped);
                let accept =
                    |hypothesis: &Hypothesis| self.checked(&camera, hypothesis, seed, radius_px);
                let found = table.search(&group, (effort.ranks, skipped), budget, accept);
                if found.is_some() {
                    return found;
                }
            }
        }
        None
    }

    /// Middles of the groups: the picture's, and others around it.
    fn seeds(&self, radius_px: f64, count: usize) -> Vec<PicturePoint> {
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
        seeds.truncate(count);
        seeds
    }

    /// The brightest stars around a place, in the camera's axes.
    fn group(
        &self,
        camera: &SkyCamera,
        seed: PicturePoint,
        radius_px: f64,
        skipped: usize,
    ) -> Vec<GroupStar> {
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
            .skip(skipped)
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
    fn coarse_pairs(&self, matches: &[Match], tolerance_px: f64) -> Vec<StarPair> {
        let mut pairs = self.detections.pairs(self.sky, matches);
        for pair in &mut pairs {
            pair.sigma_px = tolerance_px / 3.0;
        }
        pairs
    }

    /// How many of the brightest detections hold `count` inside a circle.
    pub(super) fn rank_inside(&self, about: PicturePoint, radius_px: f64, count: usize) -> usize {
        let stars = self.detections.list.stars.iter().enumerate();
        let mut inside = stars.filter(|(_, star)| star.at.distance_px(about) < radius_px);
        let last = inside.nth(count.saturating_sub(1));
        last.map_or(self.detections.list.stars.len(), |(row, _)| row + 1)
    }
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
