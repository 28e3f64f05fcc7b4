//! Which detected star is which star of the catalogue, for a camera that is known nearly.

use crate::astrometry::camera_fit::StarPair;
use crate::astrometry::detection_grid::DetectionGrid;
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::sky_camera::SkyCamera;
use crate::astrometry::star_list::StarList;
use crate::vector::Vector;

/// Error of a bright star's centroid, px, and of one whose peak is cut off (measured on rendered
/// frames).
const CENTROID_FLOOR_PX: f64 = 0.05;
const SATURATED_FLOOR_PX: f64 = 0.15;

/// A detection may be this much brighter or fainter than its star suggests, magnitudes: corners
/// and low stars are fainter, and colours differ.
const BRIGHTER: f64 = 1.3;
const FAINTER: f64 = 2.2;

/// Stars closer than this make one image; farther away, up to `DISTURBED_PX`, they shift each other's centroid.
const BLENDED_PX: f64 = 1.3;
const DISTURBED_PX: f64 = 6.0;

/// Share of a star's light from which a neighbour matters.
const NEIGHBOUR_SHARE: f64 = 0.03;

/// A star as it would be seen: its direction along the axes used, and its magnitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyStar {
    /// Unit vector.
    pub direction: Vector,
    /// Magnitude.
    pub magnitude: f64,
    /// Row in the catalogue.
    pub row: usize,
}

/// A detected star and the star it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Match {
    /// Row in the list of stars of the sky.
    pub star: usize,
    /// Row in the list of detections.
    pub detection: usize,
    /// Distance of the detection from the star's image, px.
    pub miss_px: f64,
}

/// The detections, ready to be matched.
pub struct Detections<'a> {
    /// The list they are from.
    pub list: &'a StarList,
    grid: DetectionGrid,
    places: Vec<PicturePoint>,
}

/// Which stars and detections take part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// The brightest so many stars of the sky that are inside.
    pub stars: usize,
    /// The brightest so many detections.
    pub detections: usize,
    /// Inside a circle about this place, px.
    pub about: PicturePoint,
    /// Its radius.
    pub radius_px: f64,
    /// How far a detection may be from its star's image.
    pub tolerance_px: f64,
}

/// The outcome of a matching.
#[derive(Debug, Clone, PartialEq)]
pub struct Matches {
    /// The matches, bright stars first.
    pub list: Vec<Match>,
    /// Stars whose images are inside the circle and the picture.
    pub stars_inside: usize,
}

impl<'a> Detections<'a> {
    /// From a list.
    pub fn new(list: &'a StarList) -> Self {
        let places: Vec<_> = list.stars.iter().map(|star| star.at).collect();
        let grid = DetectionGrid::new(&places, list.width, list.height);
        Self { list, grid, places }
    }

    /// The picture's middle.
    pub fn middle(&self) -> PicturePoint {
        PicturePoint {
            x_px: self.list.width as f64 / 2.0,
            y_px: self.list.height as f64 / 2.0,
        }
    }

    /// Half its diagonal, px.
    pub fn half_diagonal_px(&self) -> f64 {
        (self.list.width as f64).hypot(self.list.height as f64) / 2.0
    }

    /// Whether a place is in the picture.
    pub fn contains(&self, at: PicturePoint) -> bool {
        (0.0..=self.list.width as f64).contains(&at.x_px)
            && (0.0..=self.list.height as f64).contains(&at.y_px)
    }

    /// How many detections are inside the circle and how many of the first so many.
    pub fn inside(&self, about: PicturePoint, radius_px: f64, first: usize) -> usize {
        let places = self.places.iter().take(first);
        places
            .filter(|at| at.distance_px(about) < radius_px)
            .count()
    }

    /// Each star's nearest detection, brighter stars first; no detection is taken twice.
    pub fn matched(&self, camera: &SkyCamera, sky: &[SkyStar], extent: Extent) -> Matches {
        let mut taken = vec![false; self.places.len().min(extent.detections)];
        let cosine = camera.field_cosine(self.list.width, self.list.height);
        let forward = camera.forward();
        let mut matches = Matches {
            list: Vec::new(),
            stars_inside: 0,
        };
        for (star, seen) in sky.iter().enumerate() {
            if matches.stars_inside >= extent.stars {
                break;
            }
            if seen.direction.dot(forward) < cosine {
                continue;
            }
            let Some(image) = camera.image(seen.direction) else {
                continue;
            };
            if !self.contains(image) || image.distance_px(extent.about) > extent.radius_px {
                continue;
            }
            matches.stars_inside += 1;
            let near = self.grid.near(image, extent.tolerance_px);
            let nearest = near
                .filter(|&row| row < taken.len() && !taken[row])
                .map(|row| (self.places[row].distance_px(image), row))
                .filter(|(miss_px, _)| *miss_px < extent.tolerance_px)
                .min_by(|a, b| a.0.total_cmp(&b.0));
            if let Some((miss_px, detection)) = nearest {
                taken[detection] = true;
                matches.list.push(Match {
                    star,
                    detection,
                    miss_px,
                });
            }
        }
        matches
    }

    /// Magnitude of a detection of flux 1: the median over matches; `None` without any.
    pub fn zero_point(&self, sky: &[SkyStar], matches: &[Match]) -> Option<f64> {
        let mut zero_points: Vec<f64> = matches
            .iter()
            .map(|found| self.zero_point_of(sky, found))
            .filter(|zero_point| zero_point.is_finite())
            .collect();
        median(&mut zero_points)
    }

    fn zero_point_of(&self, sky: &[SkyStar], found: &Match) -> f64 {
        sky[found.star].magnitude + 2.5 * self.list.stars[found.detection].flux.log10()
    }

    /// Drops the matches whose detection is much too bright or too faint for its star.
    pub fn keep_plausible(&self, sky: &[SkyStar], matches: &mut Vec<Match>) {
        let Some(zero_point) = self.zero_point(sky, matches) else {
            return;
        };
        matches.retain(|found| {
            let brighter = self.zero_point_of(sky, found) - zero_point;
            // what is cut off may be much brighter than it seems
            let fainter = if self.list.stars[found.detection].saturated {
                2.0 * FAINTER
            } else {
                FAINTER
            };
            (-fainter..=BRIGHTER).contains(&brighter)
        });
    }

    /// Standard deviation of a detection's place along each coordinate, px: the width over signal to
    /// noise (I. R. King, *PASP* 95 (1983) 163, from memory), and a floor.
    pub fn sigma_px(&self, detection: usize) -> f64 {
        let star = &self.list.stars[detection];
        let width_px = (star.long_px * star.wide_px).sqrt().clamp(0.5, 20.0);
        let area = 4.0 * std::f64::consts::PI * width_px * width_px;
        let noise = f64::from(self.list.noise).max(1e-9) * area.sqrt();
        let shot = width_px * noise / star.flux.max(1e-12);
        let floor = if star.saturated {
            SATURATED_FLOOR_PX
        } else {
            CENTROID_FLOOR_PX
        };
        floor.hypot(shot.min(5.0))
    }

    /// Pairs for a fit.
    pub fn pairs(&self, sky: &[SkyStar], matches: &[Match]) -> Vec<StarPair> {
        let pair = |found: &Match| StarPair {
            direction: sky[found.star].direction,
            at: self.places[found.detection],
            sigma_px: self.sigma_px(found.detection),
        };
        matches.iter().map(pair).collect()
    }

    /// Pairs for the last fit: close companions make one star at the centre of their light, and
    /// stars whose centroid another shifts are left out.
    pub fn undisturbed_pairs(
        &self,
        camera: &SkyCamera,
        sky: &[SkyStar],
        matches: &[Match],
    ) -> Vec<(Match, StarPair)> {
        let cosine = camera.field_cosine(self.list.width, self.list.height);
        let forward = camera.forward();
        let mut images = Vec::new();
        for star in sky {
            if star.direction.dot(forward) >= cosine
                && let Some(image) = camera.image(star.direction)
                && self.contains(image)
            {
                images.push((image, star));
            }
        }
        let places: Vec<_> = images.iter().map(|(image, _)| *image).collect();
        let grid = DetectionGrid::new(&places, self.list.width, self.list.height);
        let mut pairs = Vec::with_capacity(matches.len());
        'matches: for found in matches {
            let star = sky[found.star];
            let Some(image) = camera.image(star.direction) else {
                continue;
            };
            let (mut light, mut weight) = (star.direction, 1.0);
            for row in grid.near(image, DISTURBED_PX) {
                let (place, other) = images[row];
                let apart = place.distance_px(image);
                if other.row == star.row || apart > DISTURBED_PX {
                    continue;
                }
                let share = 10_f64.powf(0.4 * (star.magnitude - other.magnitude));
                if apart < BLENDED_PX {
                    light = light.plus(other.direction.times(share));
                    weight += share;
                } else if share > NEIGHBOUR_SHARE {
                    continue 'matches;
                }
            }
            let direction = light.times(1.0 / weight);
            let pair = StarPair {
                direction: direction.times(1.0 / direction.length()),
                at: self.places[found.detection],
                sigma_px: self.sigma_px(found.detection),
            };
            pairs.push((*found, pair));
        }
        pairs
    }
}

/// The median; `None` of none.
pub fn median(values: &mut [f64]) -> Option<f64> {
    let middle = values.len() / 2;
    (!values.is_empty()).then(|| *values.select_nth_unstable_by(middle, f64::total_cmp).1)
}
