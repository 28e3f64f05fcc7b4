//! Frames of a night sky drawn for tests, with everything about them known.
//!
//! Stars are scattered evenly over the sphere, as many to each magnitude as the sky has (a factor of
//! ten in two magnitudes; common practice), or are those given, with scattered ones that are fainter.
//! They turn about the pole while the shutter is open, pass
//! a lens of any projection with radial distortion, and are drawn as Gaussians or discs along their
//! trails. Light is counted in electrons, with the noise of light and of reading, through a Bayer
//! pattern if wanted, and is coded by the sRGB curve in 8 bits.

#![allow(dead_code, reason = "each test uses a part")]

mod coding;
mod light;
mod trail;
pub mod true_sky;

use rand_distr::{Distribution, Normal, Poisson};
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};
use tarnlight::astrometry::picture::{Picture, PicturePoint};
use tarnlight::camera::lens::Projection;

use coding::{bayer_channel, from_srgb, to_srgb8};

/// Rotation of the sky, radians a second (IERS Conventions 2010, ch. 1).
const EARTH_RATE: f64 = 7.292_115e-5;

/// Noise of reading a pixel, electrons.
const READ_NOISE: f64 = 3.0;

/// The scene and the camera.
#[derive(Debug, Clone)]
pub struct Scene {
    pub seed: u64,
    pub width: usize,
    pub height: usize,
    pub focal_px: f64,
    pub projection: Projection,
    pub k1: f64,
    pub k2: f64,
    /// Image of the axis, px.
    pub centre: (f64, f64),
    /// Latitude, and where the camera looks, degrees.
    pub lat_deg: f64,
    pub az_deg: f64,
    pub alt_deg: f64,
    pub roll_deg: f64,
    pub exposure_s: f64,
    /// Faintest magnitude drawn.
    pub faintest: f64,
    /// Electrons of a star of magnitude 0.
    pub zero_electrons: f64,
    /// Electrons of the sky in a pixel.
    pub sky_electrons: f64,
    /// Electrons at the end of the range.
    pub full_electrons: f64,
    /// Width of a star, standard deviation, px.
    pub sigma_px: f64,
    /// Coma: a second, radial spread in the corner, px.
    pub coma_px: f64,
    /// Radius of a defocused disc, px.
    pub disc_px: f64,
    /// A sensor askew: radius of a disc at the left edge, px, from which it falls to none at the right.
    pub askew_px: f64,
    /// Whether the camera follows the sky; the trails told are those it would have drawn.
    pub tracked: bool,
    /// Stars in place of scattered ones as bright: direction (east, north, up) at the middle of the
    /// exposure, and magnitude.
    pub stars: Vec<(Vector, f64)>,
    /// Where the camera stood for a part of the time, px, and the part.
    pub knock: Option<(f64, f64, f64)>,
    /// Red is larger and blue smaller by this share.
    pub lateral_colour: f64,
    /// Whether light passes a Bayer pattern and is interpolated.
    pub bayer: bool,
    /// Height of a wavy skyline as a share of the picture's height, from below.
    pub ground: Option<f64>,
    /// Number of hot pixels.
    pub hot_pixels: usize,
}

impl Default for Scene {
    fn default() -> Self {
        Self {
            seed: 1,
            width: 1600,
            height: 1067,
            focal_px: 1100.0,
            projection: Projection::Rectilinear,
            k1: -0.02,
            k2: 0.003,
            centre: (802.0, 530.0),
            lat_deg: 40.0,
            az_deg: 150.0,
            alt_deg: 40.0,
            roll_deg: 1.0,
            exposure_s: 15.0,
            faintest: 8.0,
            zero_electrons: 3.0e6,
            sky_electrons: 300.0,
            full_electrons: 30_000.0,
            sigma_px: 0.85,
            coma_px: 0.0,
            disc_px: 0.0,
            askew_px: 0.0,
            tracked: false,
            stars: Vec::new(),
            knock: None,
            lateral_colour: 0.0,
            bayer: false,
            ground: None,
            hot_pixels: 50,
        }
    }
}

/// A star as it was drawn.
#[derive(Debug, Clone, Copy)]
pub struct DrawnStar {
    /// Place at the middle of the exposure, without a knock.
    pub at: PicturePoint,
    /// Trail, px to the right and down.
    pub trail: (f64, f64),
    pub magnitude: f64,
    pub electrons: f64,
}

/// A frame and the truth about it.
pub struct Rendered {
    /// Red, green and blue, 8 bits, row by row.
    pub rgb: Vec<u8>,
    pub picture: Picture,
    /// Stars in the picture and above the ground, brightest first.
    pub stars: Vec<DrawnStar>,
    /// Depth of the skyline at each column's middle, px from the top.
    pub skyline: Option<Vec<f64>>,
}

/// East, north and up.
pub type Vector = [f64; 3];

fn dot(one: Vector, other: Vector) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

/// Evenly from 0 to 1.
fn uniform(random: &mut Pcg64Mcg) -> f64 {
    (random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}

impl Scene {
    /// A frame of half a megapixel, so that unoptimised tests stay quick.
    pub fn small() -> Self {
        Self {
            width: 900,
            height: 600,
            focal_px: 620.0,
            centre: (451.0, 298.0),
            faintest: 7.0,
            hot_pixels: 20,
            ..Self::default()
        }
    }

    /// Image of a direction (east, north, up); `None` behind the camera or far outside.
    pub fn image(&self, direction: Vector) -> Option<(f64, f64)> {
        let (sin_az, cos_az) = self.az_deg.to_radians().sin_cos();
        let (sin_alt, cos_alt) = self.alt_deg.to_radians().sin_cos();
        let (sin_roll, cos_roll) = self.roll_deg.to_radians().sin_cos();
        let forward = [sin_az * cos_alt, cos_az * cos_alt, sin_alt];
        let level = [cos_az, -sin_az, 0.0];
        let upright = [-sin_az * sin_alt, -cos_az * sin_alt, cos_alt];
        let (x, y, z) = (
            dot(direction, level),
            dot(direction, upright),
            dot(direction, forward),
        );
        let (x, y) = (cos_roll * x - sin_roll * y, sin_roll * x + cos_roll * y);
        let off_axis = x.hypot(y).atan2(z);
        let radius = self.projection.radius(off_axis)? * self.focal_px;
        let corner = 0.5 * (self.width as f64).hypot(self.height as f64);
        if radius > 1.3 * corner {
            return None;
        }
        let q = (radius / corner).powi(2);
        let radius = radius * (1.0 + self.k1 * q + self.k2 * q * q);
        let length = x.hypot(y).max(1e-12);
        Some((
            self.centre.0 + radius * x / length,
            self.centre.1 - radius * y / length,
        ))
    }

    /// Direction turned with the sky about the pole by an angle.
    fn turned(&self, direction: Vector, angle: f64) -> Vector {
        let (sin_lat, cos_lat) = self.lat_deg.to_radians().sin_cos();
        let pole = [0.0, cos_lat, sin_lat];
        // the sky turns from east to west over south, seen from the north: negative about the pole
        let (sin, cos) = (-angle).sin_cos();
        let along = dot(pole, direction) * (1.0 - cos);
        let cross = [
            pole[1] * direction[2] - pole[2] * direction[1],
            pole[2] * direction[0] - pole[0] * direction[2],
            pole[0] * direction[1] - pole[1] * direction[0],
        ];
        std::array::from_fn(|axis| direction[axis] * cos + cross[axis] * sin + pole[axis] * along)
    }

    fn ground_at(&self, x: f64) -> Option<f64> {
        let share = self.ground?;
        let phase = self.seed as f64;
        let wave = 0.03 * (x / 90.0 + phase).sin() + 0.02 * (x / 37.0 + 2.0 * phase).sin();
        Some(self.height as f64 * (1.0 - share + wave))
    }

    /// Draws the frame.
    pub fn render(&self) -> Rendered {
        let mut random = Pcg64Mcg::seed_from_u64(self.seed);
        let stars = self.scatter(&mut random);
        let pixels = self.width * self.height;
        let mut planes = vec![vec![0.0_f32; pixels]; 3];
        for star in &stars {
            for (channel, plane) in planes.iter_mut().enumerate() {
                self.draw(star, channel, plane);
            }
        }
        let gain = 1.0 / self.full_electrons;
        for plane in &mut planes {
            for y in 0..self.height {
                for x in 0..self.width {
                    let value = &mut plane[y * self.width + x];
                    let fall = 1.0 - 0.3 * y as f64 / self.height as f64;
                    let mut electrons = f64::from(*value) + self.sky_electrons * fall;
                    if let Some(ground) = self.ground_at(x as f64 + 0.5) {
                        // the border is blurred by the lens
                        let depth = (y as f64 + 0.5 - ground) / self.sigma_px;
                        let lit = 1.0 / (1.0 + (1.702 * depth).exp());
                        electrons = lit * electrons + (1.0 - lit) * 0.08 * self.sky_electrons;
                    }
                    *value = electrons as f32;
                }
            }
        }
        let read = Normal::new(0.0, READ_NOISE).expect("a width");
        let mut noisy = |electrons: f32| -> f32 {
            let counted: f64 = Poisson::new(f64::from(electrons).max(0.01))
                .expect("a mean")
                .sample(&mut random);
            ((counted + read.sample(&mut random)) * gain) as f32
        };
        if self.bayer {
            let mut raw = vec![0.0_f32; pixels];
            for (index, value) in raw.iter_mut().enumerate() {
                let (x, y) = (index % self.width, index / self.width);
                *value = noisy(planes[bayer_channel(x, y)][index]).min(1.0);
            }
            planes = self.demosaiced(&raw);
        } else {
            for plane in &mut planes {
                for value in plane.iter_mut() {
                    *value = noisy(*value);
                }
            }
        }
        for _ in 0..self.hot_pixels {
            let at = (uniform(&mut random) * pixels as f64) as usize;
            for plane in &mut planes {
                plane[at] = 0.6;
            }
        }
        let coded: Vec<Vec<u8>> = planes
            .iter()
            .map(|plane| plane.iter().map(|value| to_srgb8(*value)).collect())
            .collect();
        let mut rgb = Vec::with_capacity(3 * pixels);
        let mut luminance = Vec::with_capacity(pixels);
        for index in 0..pixels {
            rgb.extend(coded.iter().map(|plane| plane[index]));
            // the luma as a JPEG has it (BT.601), made linear
            let luma = 0.299 * f32::from(coded[0][index])
                + 0.587 * f32::from(coded[1][index])
                + 0.114 * f32::from(coded[2][index]);
            luminance.push(from_srgb(luma.round() / 255.0));
        }
        Rendered {
            rgb,
            picture: Picture {
                width: self.width,
                height: self.height,
                pixels: luminance,
            },
            stars,
            skyline: self.ground.map(|_| {
                (0..self.width)
                    .filter_map(|x| self.ground_at(x as f64 + 0.5))
                    .collect()
            }),
        }
    }

    fn scatter(&self, random: &mut Pcg64Mcg) -> Vec<DrawnStar> {
        // about 4.5 stars brighter than magnitude 1 in the whole sky, and a factor 10 in 2 magnitudes
        let count = (4.5 * 10_f64.powf((self.faintest - 1.0) / 2.0)) as usize;
        let given = self.stars.iter().map(|(_, magnitude)| *magnitude);
        let faintest_given = given.fold(f64::NEG_INFINITY, f64::max);
        let mut directions = self.stars.clone();
        for _ in 0..count {
            let z = 2.0 * uniform(random) - 1.0;
            let turn = std::f64::consts::TAU * uniform(random);
            let magnitude = (self.faintest + 2.0 * uniform(random).max(1e-9).log10()).max(-1.0);
            let flat = (1.0 - z * z).sqrt();
            if magnitude > faintest_given {
                directions.push(([flat * turn.cos(), flat * turn.sin(), z], magnitude));
            }
        }
        let mut stars = Vec::new();
        for (middle, magnitude) in directions {
            let half = EARTH_RATE * self.exposure_s / 2.0;
            let places = [
                self.image(middle),
                self.image(self.turned(middle, -half)),
                self.image(self.turned(middle, half)),
            ];
            let [Some(at), Some(start), Some(end)] = places else {
                continue;
            };
            let inside = at.0 > 0.0
                && at.1 > 0.0
                && at.0 < self.width as f64
                && at.1 < self.ground_at(at.0).unwrap_or(self.height as f64);
            if inside {
                stars.push(DrawnStar {
                    at: PicturePoint {
                        x_px: at.0,
                        y_px: at.1,
                    },
                    trail: (end.0 - start.0, end.1 - start.1),
                    magnitude,
                    electrons: self.zero_electrons * 10_f64.powf(-0.4 * magnitude),
                });
            }
        }
        stars.sort_by(|one, other| one.magnitude.total_cmp(&other.magnitude));
        stars
    }
}
