//! The image of a star on the sensor, pixel by pixel.
//!
//! While the shutter is open the star's light is spread along its trail, over the defocused disc,
//! and over the Gaussian of the star itself; see [`PointSpread`]. Each pixel integrates the light
//! that falls on it.
//!
//! Over a pixel the Gaussian is integrated in closed form, and along the trail by Gauss–Legendre
//! quadrature over intervals a few σ long. A disc is divided into chords along the rows of pixels:
//! along a chord the integral is in closed form again, across the chords it is Gauss–Chebyshev
//! quadrature of the second kind (M. Abramowitz & I. A. Stegun, *Handbook of Mathematical
//! Functions* (1964), 25.4.40, from memory), whose error falls exponentially once their distance is
//! less than the Gaussian's width.
//!
//! Against exact integrals (`tests/loupe.rs`) no pixel is off by more than 0.001 of the
//! brightest for a star in focus, and by 0.003 for a disc.

use crate::camera::drift::NODES;
use crate::camera::pixel_grid::{LEAST_SIGMA_PX, PixelGrid};
use crate::camera::point_spread::PointSpread;
use crate::camera::view::{SensorPoint, View};

/// Longest trail integrated, in sides of the patch: a little over its diagonal, plus the disc's
/// width. The rest of a longer one lies outside.
pub const LONGEST_SIDES: f64 = 1.5;

/// Nodes along each interval of a trail.
const NODES_A_STRETCH: f64 = 2.0 * NODES.len() as f64;

/// Distance between nodes along the trail of a star in focus, σ: the Gaussian has no
/// finer structure.
const STEP_SIGMAS: f64 = 1.2;

/// Square of the distance between nodes along the trail of a disc, as a share of the trail or of
/// the disc, whichever is shorter, px: a pixel is lit for that long, and the error at the disc's
/// edge is of the order of the square of the distance.
const DISC_STEP_PX: f64 = 0.05;

/// Distance between chords in the middle of a disc, σ.
const CHORD_SIGMAS: f64 = 2.0;

/// Least number of chords of a disc.
const LEAST_CHORDS: f64 = 6.0;

/// Most chords of a disc; for one so wide that their distance would be too large for σ, σ is
/// increased, by less than 0.2 px for a disc that fills the largest patch.
const MOST_CHORDS: f64 = 300.0;

/// Largest disc, in sides of the patch: a larger one lights all of it evenly.
const LARGEST_SIDES: f64 = 4.0;

/// Available patch sides, pixels; odd, so that the centre is a pixel.
pub const SIDES: [usize; 5] = [11, 17, 25, 41, 65];

/// A square patch of pixels, relative to the brightest.
#[derive(Debug, Clone, PartialEq)]
pub struct StarImage {
    /// Pixels along a side.
    pub side: usize,
    /// Light of each pixel over that of the brightest, 0 to 1, row by row from
    /// the top left of the upright picture.
    pub light: Vec<f64>,
}

impl View {
    /// The smallest patch that holds a trail of `trail_px` with this point spread; the largest when
    /// none does.
    pub fn patch_side(&self, trail_px: f64, spread: PointSpread) -> usize {
        let needed = trail_px + spread.disc_px + 4.0 * spread.sigma_px + 4.0;
        let holds = |side: &&usize| **side as f64 >= needed;
        SIDES
            .iter()
            .find(holds)
            .copied()
            .unwrap_or(SIDES[SIDES.len() - 1])
    }

    /// The star that is at a point half-way through the exposure, in the middle of a patch of
    /// `side` pixels. `None` where the projection has no image.
    pub fn star_image(
        &self,
        point: SensorPoint,
        seconds: f64,
        spread: PointSpread,
        side: usize,
    ) -> Option<StarImage> {
        let pixel_mm = self.sensor.pitch_um() / 1000.0;
        let trail_px = self.speed_at(point)? * seconds / self.sensor.pitch_um();
        let sides = side as f64;
        let longest_px = LONGEST_SIDES * sides + spread.disc_px.min(LARGEST_SIDES * sides);
        let shown_s = if trail_px > longest_px {
            seconds * longest_px / trail_px
        } else {
            seconds
        };
        let middle = sides / 2.0;
        let path = |share: f64| {
            let at = self.star_after(point, (share - 0.5) * shown_s)?;
            Some((
                middle + (at.x_mm - point.x_mm) / pixel_mm,
                middle - (at.y_mm - point.y_mm) / pixel_mm,
            ))
        };
        let trail_px = trail_px.min(longest_px);
        Some(StarImage::along(path, trail_px, spread, side))
    }
}

impl StarImage {
    /// A star that moves along a path of about `trail_px`.
    ///
    /// `path` returns its position at a fraction of the exposure, 0 to 1: pixels to the right and
    /// down from the patch's upper left corner; `None` where it is not visible. The path must be
    /// smooth, not straight or uniform.
    ///
    /// ```
    /// use tarnlight::camera::{point_spread::PointSpread, star_image::StarImage};
    /// let spread = PointSpread { sigma_px: 0.5, disc_px: 0.0 };
    /// let star = StarImage::along(|share| Some((4.5 + 2.0 * share, 5.5)), 2.0, spread, 11);
    /// assert_eq!(star.light[5 * 11 + 5], 1.0);
    /// ```
    pub fn along(
        path: impl Fn(f64) -> Option<(f64, f64)>,
        trail_px: f64,
        spread: PointSpread,
        side: usize,
    ) -> Self {
        let disc = Disc::new(spread, side);
        let (sigma_px, step_px) = match &disc {
            None => {
                // such a small disc only adds its second moment
                let sigma_px = spread.sigma_px.hypot(spread.disc_px / 4.0);
                let sigma_px = sigma_px.max(LEAST_SIGMA_PX);
                (sigma_px, STEP_SIGMAS * sigma_px)
            }
            Some(disc) => {
                let lit_px = trail_px.min(2.0 * disc.radius_px);
                let edge_px = (DISC_STEP_PX * lit_px).sqrt();
                (disc.sigma_px, edge_px.max(STEP_SIGMAS * disc.sigma_px))
            }
        };
        let mut grid = PixelGrid::new(side, sigma_px);
        let stretches = (trail_px / (NODES_A_STRETCH * step_px)).ceil().max(1.0);
        let half = 0.5 / stretches;
        for stretch in 0..stretches as u32 {
            let middle = half * f64::from(2 * stretch + 1);
            for (node, weight) in NODES {
                for share in [middle - half * node, middle + half * node] {
                    let Some(at) = path(share) else { continue };
                    match &disc {
                        None => grid.add_point(at, weight),
                        Some(disc) => disc.add(&mut grid, at, weight),
                    }
                }
            }
        }
        if disc.is_some() {
            grid.sum_rows();
        }
        let mut light = grid.into_light();
        let brightest = light.iter().copied().fold(0.0, f64::max);
        if brightest > 0.0 {
            for light in &mut light {
                *light /= brightest;
            }
        }
        Self { side, light }
    }
}

/// A defocused disc, as horizontal chords.
struct Disc {
    radius_px: f64,
    sigma_px: f64,
    /// Of each chord: distance below the centre and half length, pixels, and weight.
    chords: Vec<(f64, f64, f64)>,
}

impl Disc {
    /// `None` where it is narrower than the star's own σ: then its variance suffices.
    fn new(spread: PointSpread, side: usize) -> Option<Self> {
        use std::f64::consts::PI;
        let sigma_px = spread.sigma_px.max(LEAST_SIGMA_PX);
        let radius_px = spread.disc_px.min(LARGEST_SIDES * side as f64) / 2.0;
        if 2.0 * radius_px <= sigma_px {
            return None;
        }
        let wanted = PI * radius_px / (CHORD_SIGMAS * sigma_px);
        let count = (wanted.ceil() + LEAST_CHORDS).min(MOST_CHORDS);
        let chord = |place: u32| {
            let (sin, cos) = (PI * f64::from(place) / (count + 1.0)).sin_cos();
            (radius_px * cos, radius_px * sin, sin)
        };
        Some(Self {
            radius_px,
            sigma_px: sigma_px.max(PI * radius_px / (CHORD_SIGMAS * MOST_CHORDS)),
            chords: (1..=count as u32).map(chord).collect(),
        })
    }

    /// Adds the disc about a point to rows that are yet to be summed.
    fn add(&self, grid: &mut PixelGrid, (right, down): (f64, f64), weight: f64) {
        for (below, half, chord) in &self.chords {
            grid.add_chord((right - half, right + half), down + below, weight * chord);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::camera::frame::Frame;
    use crate::camera::lens::{Lens, Projection};
    use crate::camera::sensor::FORMATS;

    /// The core's declination, due south, horizontal motion to the right.
    fn view() -> View {
        let lens = Lens {
            focal_mm: 24.0,
            f_number: 2.8,
            projection: Projection::Rectilinear,
            ..Lens::default()
        };
        let frame = Frame {
            bearing: Angle::from_degrees(180.0),
            tilt: Angle::from_degrees(25.0),
            roll: Angle::ZERO,
        };
        View::new(
            FORMATS[1].sensor(24.0),
            lens,
            frame,
            Angle::from_degrees(36.0),
        )
    }

    /// Pixels of the middle row with more than half the brightest one's light.
    fn long_and_high(image: &StarImage) -> (usize, usize) {
        let middle = image.side / 2;
        let half = |light: &&f64| **light > 0.5;
        let row = &image.light[middle * image.side..(middle + 1) * image.side];
        let column = image.light.iter().skip(middle).step_by(image.side);
        (row.iter().filter(half).count(), column.filter(half).count())
    }

    #[test]
    fn a_short_exposure_is_a_point_and_a_long_one_a_line() {
        let view = view();
        let spread = view.point_spread_at(SensorPoint::CENTRE, 0.0);
        let speed_px = view.speed_at(SensorPoint::CENTRE).expect("a direction") / 6.0;
        // begins and ends on an edge between two pixels
        let seconds = 11.0 / speed_px;
        let point = view
            .star_image(SensorPoint::CENTRE, 0.01, spread, 25)
            .expect("an image");
        assert_eq!(long_and_high(&point), (1, 1));
        let line = view
            .star_image(SensorPoint::CENTRE, seconds, spread, 25)
            .expect("an image");
        let (long, high) = long_and_high(&line);
        assert_eq!((long, high), (11, 1));
    }

    #[test]
    fn a_defocused_star_is_as_wide_as_its_disc() {
        let view = view();
        let spread = view.point_spread_at(SensorPoint::CENTRE, 30.0);
        let disc = view
            .star_image(SensorPoint::CENTRE, 0.01, spread, 17)
            .expect("an image");
        let (long, high) = long_and_high(&disc);
        assert!(
            (4..=6).contains(&long) && (4..=6).contains(&high),
            "{long} by {high}"
        );
    }

    /// For any trail and disc the light is smooth: no gaps along the trail, no specks in the disc.
    #[test]
    fn long_trails_and_wide_discs_have_no_gaps() {
        let view = view();
        let spread = view.point_spread_at(SensorPoint::CENTRE, 0.0);
        let pixels_per_s = view.speed_at(SensorPoint::CENTRE).expect("a direction") / 6.0;
        for trail_px in [30.0, 300.0, 3000.0] {
            let image = view
                .star_image(SensorPoint::CENTRE, trail_px / pixels_per_s, spread, 25)
                .expect("an image");
            let (long, _) = long_and_high(&image);
            assert_eq!(long, 25, "a trail of {trail_px} px");
        }
        for disc_px in [6.0, 12.0, 24.0, 48.0] {
            let spread = PointSpread { disc_px, ..spread };
            let image = view
                .star_image(SensorPoint::CENTRE, 0.01, spread, 65)
                .expect("an image");
            let inside = |(place, _): &(usize, f64)| {
                let from_middle = |at: usize| at as f64 - 32.0;
                let (right, down) = (from_middle(place % 65), from_middle(place / 65));
                right.hypot(down) < disc_px * 0.35
            };
            let lights = image.light.into_iter().enumerate().filter(inside);
            let darkest = lights.map(|(_, light)| light).fold(1.0, f64::min);
            assert!(darkest > 0.75, "a disc of {disc_px} px: {darkest}");
        }
    }

    #[test]
    fn the_patch_grows_with_the_trail_and_ends() {
        let view = view();
        let spread = view.point_spread_at(SensorPoint::CENTRE, 0.0);
        assert_eq!(view.patch_side(1.0, spread), 11);
        assert_eq!(view.patch_side(20.0, spread), 25);
        assert_eq!(view.patch_side(1e9, spread), 65);
    }

    #[test]
    fn absurd_sizes_stay_inside_the_patch() {
        let view = view();
        let spread = PointSpread {
            sigma_px: 1e3,
            disc_px: 1e6,
        };
        let image = view.star_image(SensorPoint::CENTRE, 4e4, spread, 11);
        let fine = |image: StarImage| image.light.iter().all(|light| light.is_finite());
        assert!(image.is_none_or(fine));
    }
}
