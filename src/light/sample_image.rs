//! A simulated picture of an invented patch of sky by a stack of frames, with its noise.
//!
//! Expected electrons of a pixel are computed; their number is drawn at random: Poisson for light,
//! Gaussian for reading. The seed is fixed, so that the same settings give the same picture.

use std::f64::consts::TAU;

use rand_distr::{Distribution, Normal, Poisson};
use rand_pcg::Pcg32;
use serde::{Deserialize, Serialize};

/// Pixels of a patch from left to right.
pub const WIDTH: usize = 320;

/// Pixels of a patch from top to bottom.
pub const HEIGHT: usize = 140;

/// Stars in a patch.
const STARS: u32 = 160;

/// Exponent of the stars' light by rank: with star counts growing by 10^0.45 a magnitude the k-th
/// brightest has k^−0.89 of the first's light.
const FAINTER: f64 = -0.4 / 0.45;

/// The brightest tone, so that a picture of stars costs no dark adaptation.
const BRIGHTEST: f64 = 0.84 * 255.0;

/// Fraction of the output range where highlights begin to be compressed.
const KNEE: f64 = 0.75;

/// Light of the darkest tone below the sky's, and of the knee above it, as shares of the cloud's.
const BLACK_BELOW: f64 = 1.0;
const KNEE_ABOVE: f64 = 2.2;

/// Excess above that which is compressed to half of the rest.
const SQUEEZED: f64 = 5.0;

/// Brightest ranks omitted: few patches have one of them.
const LEFT_OUT: u32 = 3;

/// Most samples along a trail for the cloud; it has no structure finer than a few pixels.
const CLOUD_SAMPLES: f64 = 60.0;

/// Most samples along a trail for a star.
const STAR_SAMPLES: f64 = 2000.0;

/// Cut-off of a star's Gaussian, σ.
const REACH: f64 = 3.5;

/// FWHM of a Gaussian over its σ: 2 √(2 ln 2).
const FWHM: f64 = 2.354_820;

/// The cloud's noise octaves: size in pixels, and share of its light. From finer than a trail to
/// half the patch, so that each strategy shows what it loses in noise or smears. Invented, as is
/// the lane.
const SWELLS: [(f64, f64); 4] = [(60.0, 0.45), (26.0, 0.25), (9.0, 0.18), (4.0, 0.12)];

/// The dark lane through it: where it enters at the left, its slope, half its width, how
/// far it bends over what length, and the share of light it takes.
const LANE_TOP_PX: f64 = 8.0;
const LANE_SLOPE: f64 = 0.38;
const LANE_HALF_PX: f64 = 13.0;
const LANE_BEND_PX: f64 = 60.0;
const LANE_LENGTH_PX: f64 = 45.0;
const LANE_DARK: f64 = 0.85;

/// The trail's direction: down to the right, as stars set in a southern sky.
const ALONG: (f64, f64) = (0.940, 0.342);

/// Stream of the generator; an arbitrary number.
const STREAM: u64 = 54;

/// The subject of a patch, and how it is photographed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SampleImage {
    /// Sky, e⁻/s in a pixel.
    pub sky_e_s: f64,
    /// The cloud where it is brightest, e⁻/s in a pixel.
    pub glow_e_s: f64,
    /// From warmth, e⁻/s.
    pub dark_e_s: f64,
    /// Read noise, e⁻.
    pub read_noise_e: f64,
    /// The brightest star, e⁻/s in total.
    pub star_e_s: f64,
    /// Full width at half maximum of a star, pixels.
    pub blur_px: f64,
    /// Trail in a single frame, pixels.
    pub trail_px: f64,
    /// Number of frames.
    pub frames: f64,
    /// How long each, s.
    pub frame_s: f64,
    /// White level of a frame, e⁻.
    pub white_e: f64,
}

impl SampleImage {
    /// Expected electrons in each pixel, all frames together, row by row from the top.
    pub fn expected_electrons(&self) -> Vec<f64> {
        let mut rates = self.cloud();
        for rate in &mut rates {
            *rate = self.sky_e_s + self.dark_e_s + self.glow_e_s * *rate;
        }
        self.add_stars(&mut rates);
        let each = |rate: &f64| (rate * self.frame_s).min(self.white_e) * self.frames;
        rates.iter().map(each).collect()
    }

    /// Electrons drawn at random.
    ///
    /// Mean and variance are those of the equation of the CCD: n t r, and n (t r + R²). NaN gives
    /// 0.
    pub fn electrons(&self, seed: u64) -> Vec<f64> {
        self.electrons_from(&self.expected_electrons(), seed)
    }

    fn electrons_from(&self, expected: &[f64], seed: u64) -> Vec<f64> {
        let mut lot = Pcg32::new(seed, STREAM);
        let reading = Normal::new(0.0, self.read_noise_e.abs() * self.frames.sqrt()).ok();
        let draw = |&expected: &f64| {
            let light = Poisson::new(expected).map_or(0.0, |light| light.sample(&mut lot));
            light + reading.map_or(0.0, |reading| reading.sample(&mut lot))
        };
        expected.iter().map(draw).collect()
    }

    /// The picture as tones, black 0 and white 214: 84 % of what a byte holds.
    ///
    /// Black is the sky's level minus the cloud's; three quarters of the range is the sky's
    /// level plus 2.2 times the cloud's; what is brighter is compressed into the last quarter,
    /// so that stars keep their shape. The same scale for every strategy, relative to its light;
    /// but a pixel that is white in its frames is white here.
    pub fn render(&self, seed: u64) -> Vec<u8> {
        let all_s = self.frames * self.frame_s;
        let white_e = self.white_e * self.frames;
        let shade = |(electrons, expected): (f64, f64)| {
            if expected >= white_e {
                return BRIGHTEST as u8;
            }
            let rate = electrons / all_s - self.dark_e_s;
            let over_sky = (rate - self.sky_e_s) / self.glow_e_s;
            let share = KNEE * (over_sky + BLACK_BELOW) / (BLACK_BELOW + KNEE_ABOVE);
            let share = if share > KNEE {
                let over = (share - KNEE) / SQUEEZED;
                KNEE + (1.0 - KNEE) * over / (1.0 + over)
            } else {
                share
            };
            // a cast from float to integer saturates, and maps NaN to 0
            (share * BRIGHTEST).round() as u8
        };
        let expected = self.expected_electrons();
        let drawn = self.electrons_from(&expected, seed);
        drawn.into_iter().zip(expected).map(shade).collect()
    }

    /// The trail, clamped to a length beyond which nothing changes.
    fn trail(&self) -> f64 {
        const LONGEST_PX: f64 = 1000.0;
        // min ignores NaN
        self.trail_px.abs().min(LONGEST_PX)
    }

    /// The cloud smeared along the trail, 0 to 1.
    fn cloud(&self) -> Vec<f64> {
        let trail_px = self.trail();
        let steps = (trail_px.ceil() + 1.0).min(CLOUD_SAMPLES);
        let mut rates = vec![0.0; WIDTH * HEIGHT];
        if self.glow_e_s == 0.0 {
            return rates;
        }
        for (place, rate) in rates.iter_mut().enumerate() {
            let (x, y) = ((place % WIDTH) as f64, (place / WIDTH) as f64);
            let along = |step: f64| (step / (steps - 1.0).max(1.0) - 0.5) * trail_px;
            let mut sum = 0.0;
            let mut step = 0.0;
            while step < steps {
                let off = if steps > 1.0 { along(step) } else { 0.0 };
                sum += cloud_at(x + off * ALONG.0, y + off * ALONG.1);
                step += 1.0;
            }
            *rate = sum / steps;
        }
        rates
    }

    /// Adds the stars of this patch, and of neighbouring ones whose trails enter it.
    fn add_stars(&self, rates: &mut [f64]) {
        if self.star_e_s <= 0.0 {
            return;
        }
        // with a longer trail no single star is visible
        let reach = |side: usize| (self.trail() / 2.0 / side as f64).min(15.0).ceil() as i32;
        let (across, down) = (reach(WIDTH), reach(HEIGHT));
        for tile_y in -down..=down {
            for tile_x in -across..=across {
                for star in 0..STARS {
                    let lot = hash(tile_x, tile_y, star);
                    let place = |lot: u32, tile: i32, side: usize| {
                        (f64::from(lot % 4096) / 4096.0 + f64::from(tile)) * side as f64
                    };
                    let at = (place(lot, tile_x, WIDTH), place(lot >> 12, tile_y, HEIGHT));
                    let light =
                        self.star_e_s * (FAINTER * f64::from(star + 1 + LEFT_OUT).ln()).exp();
                    self.add_star(rates, at, light);
                }
            }
        }
    }

    fn add_star(&self, rates: &mut [f64], at: (f64, f64), light: f64) {
        let sigma = (self.blur_px / FWHM).max(0.3);
        let far = REACH * sigma;
        let trail_px = self.trail();
        let steps = (2.0 * trail_px + 1.0).ceil().min(STAR_SAMPLES);
        // the patch's centre relative to the star: along the trail and across it
        let middle = |side: usize| (side as f64 - 1.0) / 2.0;
        let (dx, dy) = (middle(WIDTH) - at.0, middle(HEIGHT) - at.1);
        let (along, beside) = (dx * ALONG.0 + dy * ALONG.1, dy * ALONG.0 - dx * ALONG.1);
        // half of the patch's diagonal
        let near = middle(WIDTH).hypot(middle(HEIGHT)) + far;
        if beside.abs() > near {
            return;
        }
        let a_px = (steps - 1.0) / trail_px.max(1e-9);
        let step_at = |off: f64| (off + trail_px / 2.0) * a_px;
        let mut step = step_at(along - near).floor().max(0.0);
        let last = step_at(along + near).min(steps - 1.0);
        while step <= last {
            let off = if steps > 1.0 {
                (step / (steps - 1.0) - 0.5) * trail_px
            } else {
                0.0
            };
            step += 1.0;
            let (x, y) = (at.0 + off * ALONG.0, at.1 + off * ALONG.1);
            let range = |middle: f64, side: usize| {
                let (from, to) = ((middle - far).ceil().max(0.0), (middle + far).floor());
                from as usize..((to + 1.0).max(0.0) as usize).min(side)
            };
            for row in range(y, HEIGHT) {
                for column in range(x, WIDTH) {
                    let (dx, dy) = (column as f64 - x, row as f64 - y);
                    let spread = (-(dx * dx + dy * dy) / (2.0 * sigma * sigma)).exp();
                    let rate = light / steps * spread / (TAU * sigma * sigma);
                    if let Some(pixel) = rates.get_mut(row * WIDTH + column) {
                        *pixel += rate;
                    }
                }
            }
        }
    }
}

/// Brightness of the cloud at a point, 0 to 1: octaves of value noise, and a dark lane.
fn cloud_at(x: f64, y: f64) -> f64 {
    let mut swell = 0.0;
    for (layer, (size_px, share)) in (1..).zip(SWELLS) {
        swell += share * smooth(x / size_px, y / size_px, layer);
    }
    let bend = LANE_BEND_PX * (smooth(x / LANE_LENGTH_PX, 0.5, 0) - 0.5);
    let lane = (y - LANE_SLOPE * x - LANE_TOP_PX - bend) / LANE_HALF_PX;
    // the octaves seldom reach their sum, and the maximum should be near 1
    let lit = 1.25 * swell * (1.0 - LANE_DARK * (-lane * lane).exp());
    lit.clamp(0.0, 1.0)
}

/// Value noise: values at integer points, smoothly interpolated, 0 to 1.
fn smooth(x: f64, y: f64, layer: u32) -> f64 {
    let (left, top) = (x.floor(), y.floor());
    let eased = |way: f64| way * way * (3.0 - 2.0 * way);
    let (along, down) = (eased(x - left), eased(y - top));
    let at = |dx: i32, dy: i32| {
        f64::from(hash(
            (left as i32).wrapping_add(dx),
            (top as i32).wrapping_add(dy),
            1000 + layer,
        )) / f64::from(u32::MAX)
    };
    let row = |dy: i32| at(0, dy) + along * (at(1, dy) - at(0, dy));
    row(0) + down * (row(1) - row(0))
}

/// A hash of a point, by the finalizer of MurmurHash3 (A. Appleby, public domain).
fn hash(x: i32, y: i32, layer: u32) -> u32 {
    let mut mixed = (x as u32).wrapping_mul(0x9E37_79B1)
        ^ (y as u32).wrapping_mul(0x85EB_CA77)
        ^ layer.wrapping_mul(0xC2B2_AE3D);
    mixed = (mixed ^ (mixed >> 16)).wrapping_mul(0x85EB_CA6B);
    mixed = (mixed ^ (mixed >> 13)).wrapping_mul(0xC2B2_AE35);
    mixed ^ (mixed >> 16)
}
