//! A star as the sensor will see it, pixel by pixel.
//!
//! While the shutter is open the star's light is spread along its trail, over
//! the disc of a lens not focused on it, and over the diffraction of the
//! aperture; each pixel gathers what falls on it. Diffraction is taken as a
//! Gaussian of the Airy disc's half width, which gathers into the disc the
//! sixth of the light that goes into its rings; coma and the air are left out.

use super::focus::{GREEN_UM, airy_half_width_um};
use super::view::{SensorPoint, View};

/// Full width at half maximum of a Gaussian over its σ: 2 √(2 ln 2).
const HALF_WIDTH_PER_SIGMA: f64 = 2.354_820_045_030_949_3;

/// Samples along each pixel's length of trail, or along each σ of the blur
/// where that is wider.
const SAMPLES_PER_PIXEL: f64 = 2.0;

/// Longest trail that is sampled, in sides of the patch: a little over its
/// diagonal. The rest of a longer one lies outside.
const LONGEST_SIDES: f64 = 1.5;

/// Most samples over the disc of a defocused star.
const MOST_DISC_SAMPLES: f64 = 96.0;

/// σ by which the samples of a disc are smeared, in distances between them:
/// the least that evens out their spiral.
const SMEAR: f64 = 0.7;

/// A disc smaller than this share of a pixel is taken for a point.
const POINT_DISC: f64 = 0.1;

/// How far a Gaussian is followed, in σ.
const REACH_SIGMAS: f64 = 3.5;

/// The golden angle, 2π (1 − 1/φ), which spreads points evenly over a disc.
const GOLDEN_ANGLE: f64 = 2.399_963_229_728_653;

/// Sides of the patch on offer, pixels; odd, so that the star starts on one.
pub const SIDES: [usize; 5] = [11, 17, 25, 41, 65];

/// A square patch of pixels, each with the share of the brightest one's light.
#[derive(Debug, Clone, PartialEq)]
pub struct StarImage {
    /// Pixels along a side.
    pub side: usize,
    /// Light of each pixel over that of the brightest, 0 to 1, row by row from
    /// the top left of the upright picture.
    pub light: Vec<f64>,
}

/// What spreads a star besides its trail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// σ of the diffraction, pixels.
    pub diffraction_px: f64,
    /// Diameter of the defocused disc, pixels.
    pub disc_px: f64,
}

impl View {
    /// What spreads a star in this view with a defocused disc of `disc_um`.
    pub fn spread(&self, disc_um: f64) -> Spread {
        let pitch_um = self.sensor.pitch_um();
        let half_width = airy_half_width_um(self.lens.f_number, GREEN_UM);
        Spread {
            diffraction_px: half_width / HALF_WIDTH_PER_SIGMA / pitch_um,
            disc_px: disc_um / pitch_um,
        }
    }

    /// The smallest patch that holds a trail of `trail_px` with this spread;
    /// the largest there is when none does.
    pub fn patch_side(&self, trail_px: f64, spread: Spread) -> usize {
        let needed = trail_px + spread.disc_px + 4.0 * spread.diffraction_px + 4.0;
        let holds = |side: &&usize| **side as f64 >= needed;
        SIDES
            .iter()
            .find(holds)
            .copied()
            .unwrap_or(SIDES[SIDES.len() - 1])
    }

    /// The star that stands at a point half-way through the exposure. `None`
    /// where the projection puts nothing.
    pub fn star_image(
        &self,
        point: SensorPoint,
        seconds: f64,
        spread: Spread,
        side: usize,
    ) -> Option<StarImage> {
        let pixel_mm = self.sensor.pitch_um() / 1000.0;
        let trail_px = self.speed_at(point)? * seconds / self.sensor.pitch_um();
        let longest_px = LONGEST_SIDES * side as f64;
        let shown_s = if trail_px > longest_px {
            seconds * longest_px / trail_px
        } else {
            seconds
        };
        let disc = Disc::new(spread.disc_px);
        let sigma_px = spread.diffraction_px.hypot(disc.smear_px);
        let per_pixel = SAMPLES_PER_PIXEL / sigma_px.max(1.0);
        let samples = (trail_px.min(longest_px) * per_pixel).ceil().max(1.0) as u32;
        let middle = side as f64 / 2.0;
        let mut patch = Patch::new(side, sigma_px);
        for sample in 0..samples {
            let share = (f64::from(sample) + 0.5) / f64::from(samples) - 0.5;
            let Some(at) = self.star_after(point, share * shown_s) else {
                continue;
            };
            let right = middle + (at.x_mm - point.x_mm) / pixel_mm;
            let down = middle - (at.y_mm - point.y_mm) / pixel_mm;
            for (across, along) in disc.points() {
                patch.add(right + across, down + along);
            }
        }
        Some(patch.finish())
    }
}

/// The disc of a defocused star, as points spread evenly over it.
struct Disc {
    count: u32,
    radius_px: f64,
    /// σ that fills the gaps between the points.
    smear_px: f64,
}

impl Disc {
    /// A disc of so many pixels across.
    fn new(disc_px: f64) -> Self {
        if disc_px < POINT_DISC {
            return Self {
                count: 1,
                radius_px: 0.0,
                smear_px: 0.0,
            };
        }
        let count = (3.0 * disc_px * disc_px).clamp(7.0, MOST_DISC_SAMPLES) as u32;
        let radius_px = disc_px / 2.0;
        let area_of_one = std::f64::consts::PI * radius_px * radius_px / f64::from(count);
        Self {
            count,
            radius_px,
            smear_px: SMEAR * area_of_one.sqrt(),
        }
    }

    /// Places of the points from the middle, pixels.
    fn points(&self) -> impl Iterator<Item = (f64, f64)> {
        (0..self.count).map(|point| {
            let share = (f64::from(point) + 0.5) / f64::from(self.count);
            let out = self.radius_px * share.sqrt();
            let (sin, cos) = (GOLDEN_ANGLE * f64::from(point)).sin_cos();
            (out * cos, out * sin)
        })
    }
}

/// Light gathered so far.
struct Patch {
    side: usize,
    sigma: f64,
    light: Vec<f64>,
}

impl Patch {
    fn new(side: usize, sigma: f64) -> Self {
        Self {
            side,
            sigma: sigma.max(1e-3),
            light: vec![0.0; side * side],
        }
    }

    /// One point of light at a place counted in pixels from the top left.
    fn add(&mut self, right: f64, down: f64) {
        let reach = REACH_SIGMAS * self.sigma;
        let (columns, rows) = (self.span(right, reach), self.span(down, reach));
        let wide: Vec<f64> = columns
            .clone()
            .map(|column| self.share(column, right))
            .collect();
        for row in rows {
            let tall = self.share(row, down);
            let first = row * self.side + columns.start;
            for (light, wide) in self.light[first..].iter_mut().zip(&wide) {
                *light += tall * wide;
            }
        }
    }

    /// Pixels of one axis that a point of light reaches.
    fn span(&self, at: f64, reach: f64) -> std::ops::Range<usize> {
        // a float to an unsigned integer saturates, so outside is empty
        let first = (at - reach).floor().max(0.0) as usize;
        let last = (at + reach).ceil().max(0.0) as usize;
        first.min(self.side)..last.min(self.side)
    }

    /// Share of a Gaussian at `at` that falls on one pixel of an axis.
    fn share(&self, pixel: usize, at: f64) -> f64 {
        let edge = pixel as f64 - at;
        below(((edge + 1.0) / self.sigma).min(9.0)) - below((edge / self.sigma).max(-9.0))
    }

    fn finish(mut self) -> StarImage {
        let brightest = self.light.iter().copied().fold(0.0, f64::max);
        if brightest > 0.0 {
            for light in &mut self.light {
                *light /= brightest;
            }
        }
        StarImage {
            side: self.side,
            light: self.light,
        }
    }
}

/// Share of a Gaussian of σ 1 below `x`: (1 + erf(x/√2))/2, within 1e-7.
fn below(x: f64) -> f64 {
    (1.0 + erf(x * std::f64::consts::FRAC_1_SQRT_2)) / 2.0
}

/// The error function, within 1.5e-7.
///
/// Source: M. Abramowitz & I. A. Stegun, *Handbook of Mathematical Functions*
/// (1964), 7.1.26. (A library's sixteen digits weigh more than the page's
/// whole drift, for a drawing that shows three.)
fn erf(x: f64) -> f64 {
    const P: f64 = 0.327_591_1;
    const A: [f64; 5] = [
        0.254_829_592,
        -0.284_496_736,
        1.421_413_741,
        -1.453_152_027,
        1.061_405_429,
    ];
    let size = x.abs();
    let t = 1.0 / (1.0 + P * size);
    let sum = ((((A[4] * t + A[3]) * t + A[2]) * t + A[1]) * t + A[0]) * t;
    (1.0 - sum * (-size * size).exp()).copysign(x)
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
        let spread = view.spread(0.0);
        let speed_px = view.speed_at(SensorPoint::CENTRE).expect("a direction") / 6.0;
        let seconds = 10.0 / speed_px;
        let point = view
            .star_image(SensorPoint::CENTRE, 0.01, spread, 25)
            .expect("an image");
        assert_eq!(long_and_high(&point), (1, 1));
        let line = view
            .star_image(SensorPoint::CENTRE, seconds, spread, 25)
            .expect("an image");
        let (long, high) = long_and_high(&line);
        assert!((10..=12).contains(&long) && high == 1, "{long} by {high}");
    }

    #[test]
    fn a_defocused_star_is_as_wide_as_its_disc() {
        let view = view();
        let spread = view.spread(30.0);
        let disc = view
            .star_image(SensorPoint::CENTRE, 0.01, spread, 17)
            .expect("an image");
        let (long, high) = long_and_high(&disc);
        assert!(
            (4..=6).contains(&long) && (4..=6).contains(&high),
            "{long} by {high}"
        );
    }

    /// However long the trail and however wide the disc, the light is smooth:
    /// no gaps along the one, no specks in the other.
    #[test]
    fn long_trails_and_wide_discs_have_no_gaps() {
        let view = view();
        let spread = view.spread(0.0);
        let pixels_per_s = view.speed_at(SensorPoint::CENTRE).expect("a direction") / 6.0;
        for trail_px in [30.0, 300.0, 3000.0] {
            let image = view
                .star_image(SensorPoint::CENTRE, trail_px / pixels_per_s, spread, 25)
                .expect("an image");
            let (long, _) = long_and_high(&image);
            assert_eq!(long, 25, "a trail of {trail_px} px");
        }
        for disc_px in [6.0, 12.0, 24.0, 48.0] {
            let spread = Spread { disc_px, ..spread };
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

    /// M. Abramowitz & I. A. Stegun, *Handbook of Mathematical Functions* (1964),
    /// table 26.1.
    #[test]
    fn the_gaussian_share_agrees_with_the_table() {
        for (x, want) in [
            (0.0, 0.5),
            (1.0, 0.841_345),
            (-1.0, 0.158_655),
            (2.0, 0.977_250),
        ] {
            assert!((below(x) - want).abs() < 1e-6, "{x}: {}", below(x));
        }
    }

    #[test]
    fn the_patch_grows_with_the_trail_and_ends() {
        let view = view();
        let spread = view.spread(0.0);
        assert_eq!(view.patch_side(1.0, spread), 11);
        assert_eq!(view.patch_side(20.0, spread), 25);
        assert_eq!(view.patch_side(1e9, spread), 65);
    }

    #[test]
    fn absurd_sizes_stay_inside_the_patch() {
        let view = view();
        let spread = Spread {
            diffraction_px: 1e3,
            disc_px: 1e6,
        };
        let image = view.star_image(SensorPoint::CENTRE, 4e4, spread, 11);
        let fine = |image: StarImage| image.light.iter().all(|light| light.is_finite());
        assert!(image.is_none_or(fine));
    }
}
