//! A simulated picture of an invented patch of sky by a stack of frames, with its noise.
//!
//! Expected electrons of a pixel are computed; their number is drawn at random: Poisson for light,
//! Gaussian for reading. The seed is fixed, so that the same settings give the same picture.

use std::f64::consts::TAU;

use rand_distr::{Distribution, Normal, Poisson};
use rand_pcg::Pcg32;
use serde::{Deserialize, Serialize};

use crate::camera::point_spread::FWHM_PER_SIGMA;
use crate::light::invented_cloud::{cloud_at, hash, transmitted};

/// Pixels of a patch from left to right.
pub const WIDTH: usize = 480;

/// Pixels of a patch from top to bottom.
pub const HEIGHT: usize = 320;

/// Stars in a patch.
const STARS: u32 = 1000;

/// Exponent of the stars' light by rank: with star counts growing by 10^0.45 a magnitude the k-th
/// brightest has k^−0.89 of the first's light.
const FAINTER: f64 = -0.4 / 0.45;

/// The brightest tone, so that a picture of stars costs no dark adaptation.
const BRIGHTEST: f64 = 0.84 * 255.0;

/// Light of black below the sky's, and of the knee above it, as multiples of the cloud's: what lies
/// between is drawn in proportion.
const BLACK_BELOW: f64 = 0.4;
const KNEE_ABOVE: f64 = 1.0;

/// Share of the tones for what lies below the knee.
const KNEE: f64 = 0.6;

/// Light that is drawn brightest, as a multiple of the knee's: in between tones grow by the
/// logarithm, so that bright stars are told from faint ones.
const WHITE_OVER_KNEE: f64 = 80.0;

/// Brightest ranks omitted: few patches have one of them.
const LEFT_OUT: u32 = 3;

/// Most samples along a trail for the cloud.
const CLOUD_SAMPLES: f64 = 60.0;

/// Pixels from one place where the cloud is worked out to the next; it divides both sides of a
/// patch.
const CLOUD_EVERY: usize = 2;

/// Most samples along a trail for a star.
const STAR_SAMPLES: f64 = 2000.0;

/// Distance between samples along a star's trail, σ: the Gaussian has no finer structure.
const STEP_SIGMAS: f64 = 1.2;

/// Least σ of a star, pixels: a narrower one would fall between the middles of pixels, where it is
/// sampled.
const SAMPLED_SIGMA_PX: f64 = 0.3;

/// Cut-off of a star's Gaussian, σ.
const REACH: f64 = 3.5;

/// The trail's direction: down to the right, as stars set in a southern sky.
pub const ALONG: (f64, f64) = (0.940, 0.342);

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
        self.expected_from(&self.rates())
    }

    /// Electrons each second in each pixel.
    fn rates(&self) -> Vec<f64> {
        let mut rates = self.cloud();
        for rate in &mut rates {
            *rate = self.sky_e_s + self.dark_e_s + self.glow_e_s * *rate;
        }
        self.add_stars(&mut rates);
        rates
    }

    fn expected_from(&self, rates: &[f64]) -> Vec<f64> {
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
    /// Black is the sky's level less two fifths of the cloud's; up to the level of sky and cloud together
    /// tones are in proportion; what is brighter is drawn by its logarithm. The scale is the same for
    /// every strategy, relative to its light, and clips the noise of a short frame at black, as pictures
    /// are shown; but a pixel that is white in its frames is white here. NaN is black.
    pub fn render(&self, seed: u64) -> Vec<u8> {
        self.render_from(&self.rates(), seed)
    }

    /// Some pictures, each as [`SampleImage::render`] gives it. Those that differ in the number of
    /// frames alone share what is dear.
    pub fn render_all(images: &[Self], seed: u64) -> Vec<Vec<u8>> {
        let mut known: Vec<(Self, Vec<f64>)> = Vec::new();
        let picture = |image: &Self| {
            let one = Self {
                frames: 1.0,
                ..*image
            };
            let place = known.iter().position(|(known, _)| *known == one);
            let place = place.unwrap_or_else(|| {
                known.push((one, one.rates()));
                known.len() - 1
            });
            image.render_from(&known[place].1, seed)
        };
        images.iter().map(picture).collect()
    }

    fn render_from(&self, rates: &[f64], seed: u64) -> Vec<u8> {
        let all_s = self.frames * self.frame_s;
        let white_e = self.white_e * self.frames;
        let shade = |(electrons, expected): (f64, f64)| {
            if expected >= white_e {
                return BRIGHTEST as u8;
            }
            let rate = electrons / all_s - self.dark_e_s;
            let over_black = (rate - self.sky_e_s) / self.glow_e_s + BLACK_BELOW;
            let of_knee = over_black / (BLACK_BELOW + KNEE_ABOVE);
            let share = if of_knee > 1.0 {
                KNEE + (1.0 - KNEE) * of_knee.ln() / WHITE_OVER_KNEE.ln()
            } else {
                KNEE * of_knee
            };
            // clamp keeps NaN, and the cast maps it to 0
            (share.clamp(0.0, 1.0) * BRIGHTEST).round() as u8
        };
        let expected = self.expected_from(rates);
        let drawn = self.electrons_from(&expected, seed);
        drawn.into_iter().zip(expected).map(shade).collect()
    }

    /// The trail, clamped to a length beyond which nothing changes.
    fn trail(&self) -> f64 {
        const LONGEST_PX: f64 = 1000.0;
        // min ignores NaN
        self.trail_px.abs().min(LONGEST_PX)
    }

    /// The cloud smeared along the trail, 0 to 1: worked out for every [`CLOUD_EVERY`]th pixel of as many
    /// rows, since it has no structure finer than that, and interpolated in between.
    fn cloud(&self) -> Vec<f64> {
        let mut rates = vec![0.0; WIDTH * HEIGHT];
        if self.glow_e_s == 0.0 {
            return rates;
        }
        let columns = WIDTH / CLOUD_EVERY + 1;
        let places = (0..columns * (HEIGHT / CLOUD_EVERY + 1)).map(|place| {
            let pixel = |place: usize| (place * CLOUD_EVERY) as f64;
            self.smeared_cloud_at(pixel(place % columns), pixel(place / columns))
        });
        let coarse: Vec<f64> = places.collect();
        let cell = |column: usize, row: usize| coarse[row * columns + column];
        for (place, rate) in rates.iter_mut().enumerate() {
            let (x, y) = (place % WIDTH, place / WIDTH);
            let (column, row) = (x / CLOUD_EVERY, y / CLOUD_EVERY);
            let share = |at: usize| (at % CLOUD_EVERY) as f64 / CLOUD_EVERY as f64;
            let in_row = |row: usize| {
                let left = cell(column, row);
                left + share(x) * (cell(column + 1, row) - left)
            };
            let over = in_row(row);
            *rate = over + share(y) * (in_row(row + 1) - over);
        }
        rates
    }

    fn smeared_cloud_at(&self, x: f64, y: f64) -> f64 {
        let trail_px = self.trail();
        let steps = (trail_px.ceil() + 1.0).min(CLOUD_SAMPLES);
        let mut sum = 0.0;
        let mut step = 0.0;
        while step < steps {
            let off = (step / (steps - 1.0).max(1.0) - 0.5) * trail_px;
            sum += cloud_at(x + off * ALONG.0, y + off * ALONG.1);
            step += 1.0;
        }
        sum / steps
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
                    let rank = f64::from(star + 1 + LEFT_OUT);
                    let light = self.star_e_s * (FAINTER * rank.ln()).exp();
                    self.add_star(rates, at, light * transmitted(at.0, at.1));
                }
            }
        }
    }

    fn add_star(&self, rates: &mut [f64], at: (f64, f64), light: f64) {
        let sigma = (self.blur_px / FWHM_PER_SIGMA).max(SAMPLED_SIGMA_PX);
        let far = REACH * sigma;
        let trail_px = self.trail();
        let steps = (trail_px / (STEP_SIGMAS * sigma) + 1.0)
            .ceil()
            .min(STAR_SAMPLES);
        // the patch's centre relative to the star: along the trail and across it
        let middle = |side: usize| (side as f64 - 1.0) / 2.0;
        let (dx, dy) = (middle(WIDTH) - at.0, middle(HEIGHT) - at.1);
        let (along, beside) = (dx * ALONG.0 + dy * ALONG.1, dy * ALONG.0 - dx * ALONG.1);
        // half of the patch's diagonal
        let near = middle(WIDTH).hypot(middle(HEIGHT)) + far;
        if beside.abs() > near {
            return;
        }
        let step_at = |off: f64| (off / trail_px.max(1e-9) + 0.5) * steps;
        let mut step = step_at(along - near).floor().max(0.0);
        let last = step_at(along + near).min(steps - 1.0);
        let rate = light / steps / (TAU * sigma * sigma);
        let mut across = Vec::new();
        while step <= last {
            // each step stands for its own length of the trail
            let off = ((step + 0.5) / steps - 0.5) * trail_px;
            step += 1.0;
            let (x, y) = (at.0 + off * ALONG.0, at.1 + off * ALONG.1);
            let range = |middle: f64, side: usize| {
                let (from, to) = ((middle - far).ceil().max(0.0), (middle + far).floor());
                from as usize..((to + 1.0).max(0.0) as usize).min(side)
            };
            let spread = |off: f64| (-off * off / (2.0 * sigma * sigma)).exp();
            let columns = range(x, WIDTH);
            across.clear();
            across.extend(columns.clone().map(|column| spread(column as f64 - x)));
            for row in range(y, HEIGHT) {
                let of_row = rate * spread(row as f64 - y);
                let pixels = rates.get_mut(row * WIDTH..).unwrap_or_default();
                let lit = pixels.iter_mut().skip(columns.start).zip(&across);
                lit.for_each(|(pixel, share)| *pixel += of_row * share);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Dust dims stars as it dims the cloud.
    #[test]
    fn stars_are_dimmer_in_lanes() {
        let stars = SampleImage {
            sky_e_s: 0.0,
            glow_e_s: 0.0,
            dark_e_s: 0.0,
            read_noise_e: 0.0,
            star_e_s: 1000.0,
            blur_px: 2.0,
            trail_px: 0.0,
            frames: 1.0,
            frame_s: 1.0,
            white_e: 50.0,
        };
        let light = stars.expected_electrons();
        let mean = |in_lane: bool| {
            let (mut sum, mut count) = (0.0, 0.0);
            for (place, light) in light.iter().enumerate() {
                let through = transmitted((place % WIDTH) as f64, (place / WIDTH) as f64);
                if (in_lane && through < 0.3) || (!in_lane && through > 0.9) {
                    sum += light;
                    count += 1.0;
                }
            }
            assert!(count > 1000.0, "{count} pixels");
            sum / count
        };
        let (lane, beside) = (mean(true), mean(false));
        assert!(
            lane < 0.5 * beside,
            "{lane} in the lane, {beside} beside it"
        );
    }
}
