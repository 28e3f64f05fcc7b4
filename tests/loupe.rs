//! The loupe against integrals that share none of its method.
//!
//! A Gaussian run along a straight stroke has a closed form along and across the stroke;
//! here it is summed over each pixel's area, so that pixels are cut by the stroke's own
//! axes and not by those of the sensor. Discs and curved trails are summed by brute force.

mod gauss;

use gauss::{below, density};
use tarnlight::angle::Angle;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::Lens;
use tarnlight::camera::point_spread::PointSpread;
use tarnlight::camera::sensor::FORMATS;
use tarnlight::camera::star_image::StarImage;
use tarnlight::camera::view::{SensorPoint, View};

/// Most that any pixel may be off, in units of the brightest.
const ALLOWED: f64 = 0.01;

/// From here on a Gaussian has no light to speak of, σ: 1e-10 of it.
const NOTHING_SIGMAS: f64 = 6.5;

/// Nodes and weights of Gauss–Legendre quadrature with five points on [−1, 1]: M.
/// Abramowitz & I. A. Stegun, *Handbook of Mathematical Functions* (1964), table 25.4.
const NODES: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189),
    (-0.538_469_310_105_683, 0.478_628_670_499_366),
    (0.0, 0.568_888_888_888_889),
    (0.538_469_310_105_683, 0.478_628_670_499_366),
    (0.906_179_845_938_664, 0.236_926_885_056_189),
];

/// Samples along the trail of a disc, a pixel.
const SAMPLES_PER_PIXEL: f64 = 10.0;

/// A star whose image runs straight and evenly.
#[derive(Debug, Clone, Copy)]
struct Stroke {
    length_px: f64,
    angle_deg: f64,
    /// Its middle, pixels from the patch's upper left corner.
    middle: (f64, f64),
    sigma_px: f64,
}

impl Stroke {
    fn direction(self) -> (f64, f64) {
        let (sin, cos) = self.angle_deg.to_radians().sin_cos();
        (cos, sin)
    }

    fn at(self, share: f64) -> (f64, f64) {
        let (cos, sin) = self.direction();
        let along = (share - 0.5) * self.length_px;
        (self.middle.0 + along * cos, self.middle.1 + along * sin)
    }

    fn image(self, disc_px: f64, side: usize) -> StarImage {
        let spread = PointSpread {
            sigma_px: self.sigma_px,
            disc_px,
        };
        StarImage::along(|share| Some(self.at(share)), self.length_px, spread, side)
    }

    /// Light a square pixel at a place, in closed form.
    fn light_at(self, right: f64, down: f64) -> f64 {
        let (cos, sin) = self.direction();
        let (dx, dy) = (right - self.middle.0, down - self.middle.1);
        let (along, across) = (dx * cos + dy * sin, dy * cos - dx * sin);
        let half = self.length_px / 2.0;
        let sigma = self.sigma_px;
        if across.abs().max(along.abs() - half) > NOTHING_SIGMAS * sigma {
            return 0.0;
        }
        let share = below((along + half) / sigma) - below((along - half) / sigma);
        share / self.length_px * density(across / sigma) / sigma
    }
}

/// Light of each pixel of a patch, by quadrature over its area in cells no wider than σ.
fn pixels(side: usize, sigma_px: f64, light_at: impl Fn(f64, f64) -> f64) -> Vec<f64> {
    let cells = (1.0 / sigma_px).ceil().max(1.0) as usize;
    let half = 0.5 / cells as f64;
    // of each axis alike: where the nodes of a pixel lie, and their weights
    let nodes: Vec<(f64, f64)> = (0..cells)
        .flat_map(|cell| {
            let middle = half * (2 * cell + 1) as f64;
            NODES.map(|(node, weight)| (middle + half * node, half * weight))
        })
        .collect();
    let of_pixel = |at: usize| {
        let (column, row) = ((at % side) as f64, (at / side) as f64);
        let mut sum = 0.0;
        for (x, weight_x) in &nodes {
            for (y, weight_y) in &nodes {
                sum += weight_x * weight_y * light_at(column + x, row + y);
            }
        }
        sum
    };
    (0..side * side).map(of_pixel).collect()
}

/// The worst pixel of an image against light in any unit.
fn worst(image: &StarImage, want: &[f64]) -> f64 {
    let brightest = want.iter().copied().fold(0.0, f64::max);
    let off = image.light.iter().zip(want);
    off.map(|(got, want)| (got - want / brightest).abs())
        .fold(0.0, f64::max)
}

/// Numbers spread evenly over the unit cube of three dimensions: fractions of multiples of
/// roots of x⁴ = x + 1 (M. Roberts' generalised golden ratio; from memory).
fn spread_evenly(place: u32) -> [f64; 3] {
    const ROOT: f64 = 1.220_744_084_605_759_5;
    let place = f64::from(place) + 0.5;
    [1.0, 2.0, 3.0].map(|power: f64| (place / ROOT.powf(power)).fract())
}

#[test]
fn strokes_at_any_angle_and_offset_are_what_they_are() {
    const SIDE: usize = 13;
    let mut all_worst = 0.0_f64;
    let mut place = 0;
    for sigma_px in [0.07, 0.12, 0.2, 0.35, 0.5, 0.637, 1.0, 1.6] {
        for length_px in [0.5, 1.0, 2.0, 3.3, 4.7, 6.0] {
            for _ in 0..4 {
                let [angle, right, down] = spread_evenly(place);
                place += 1;
                let stroke = Stroke {
                    length_px,
                    // every fifth lies along the pixels, where their edges cut sharpest
                    angle_deg: if place % 5 == 0 {
                        f64::from(place % 4) * 45.0
                    } else {
                        angle * 180.0
                    },
                    middle: (6.0 + right, 6.0 + down),
                    sigma_px,
                };
                let want = pixels(SIDE, sigma_px, |right, down| stroke.light_at(right, down));
                if sigma_px < 0.6 {
                    let all: f64 = want.iter().sum();
                    assert!((all - 1.0).abs() < 1e-5, "{stroke:?}: {all} of its light");
                }
                let off = worst(&stroke.image(0.0, SIDE), &want);
                assert!(off <= ALLOWED, "{stroke:?}: {off}");
                all_worst = all_worst.max(off);
            }
        }
    }
    println!("strokes: the worst of {place} is off by {all_worst:.5} of the brightest");
}

/// What points of light of one σ give to each pixel, by closed form.
fn points(points: &[(f64, f64)], sigma_px: f64, side: usize) -> Vec<f64> {
    let mut light = vec![0.0; side * side];
    let share = |pixel: usize, at: f64| {
        let edge = pixel as f64 - at;
        below((edge + 1.0) / sigma_px) - below(edge / sigma_px)
    };
    let mut wide = vec![0.0; side];
    for (right, down) in points {
        for (pixel, wide) in wide.iter_mut().enumerate() {
            *wide = share(pixel, *right);
        }
        for row in 0..side {
            let tall = share(row, *down);
            if tall > 1e-9 {
                for (light, wide) in light[row * side..].iter_mut().zip(&wide) {
                    *light += tall * wide;
                }
            }
        }
    }
    light
}

/// A disc spread over a Gaussian, which is the same all round its middle: light a square
/// pixel by the distance from there, as a table.
struct SoftDisc {
    light: Vec<f64>,
}

impl SoftDisc {
    /// Entries of the table a σ.
    const FINE: f64 = 40.0;
    /// Chords of the disc a σ.
    const CHORDS: f64 = 10.0;

    fn new(disc_px: f64, sigma_px: f64) -> Self {
        let radius = disc_px / 2.0;
        let chords = (Self::CHORDS * disc_px / sigma_px).ceil().max(100.0);
        let wide = disc_px / chords;
        let at = |distance: f64| {
            let chord = |place: u32| {
                let across = (f64::from(place) + 0.5) * wide - radius;
                let half = (radius * radius - across * across).max(0.0).sqrt();
                let along =
                    below((distance + half) / sigma_px) - below((distance - half) / sigma_px);
                wide * density(across / sigma_px) / sigma_px * along
            };
            (0..chords as u32).map(chord).sum()
        };
        let entries = ((radius / sigma_px + NOTHING_SIGMAS) * Self::FINE) as u32;
        let distances = (0..=entries).map(|entry| f64::from(entry) / Self::FINE * sigma_px);
        Self {
            light: distances.map(at).collect(),
        }
    }

    fn light_at(&self, distance: f64, sigma_px: f64) -> f64 {
        let place = distance / sigma_px * Self::FINE;
        let (entry, share) = (place as usize, place.fract());
        match self.light.get(entry..entry + 2) {
            Some(&[near, far]) => near + share * (far - near),
            _ => 0.0,
        }
    }
}

#[test]
fn discs_are_what_they_are() {
    const SIDE: usize = 15;
    let mut all_worst = 0.0_f64;
    let mut place = 100;
    for (sigma_px, disc_px) in [
        (0.07, 0.3),
        (0.2, 0.15),
        (0.2, 0.3),
        (0.2, 1.0),
        (0.07, 3.0),
        (0.12, 5.0),
        (0.3, 5.0),
        (0.637, 5.0),
        (0.2, 10.0),
    ] {
        let disc = SoftDisc::new(disc_px, sigma_px);
        for length_px in [0.01, 2.0, 5.0] {
            let [angle, right, down] = spread_evenly(place);
            place += 1;
            let stroke = Stroke {
                length_px,
                angle_deg: 180.0 * angle,
                middle: (7.0 + right, 7.0 + down),
                sigma_px,
            };
            // pixels even out what is left between samples
            let samples = (length_px * SAMPLES_PER_PIXEL).ceil().max(1.0) as u32;
            let places: Vec<_> = (0..samples)
                .map(|sample| stroke.at((f64::from(sample) + 0.5) / f64::from(samples)))
                .collect();
            let want = pixels(SIDE, sigma_px.max(0.1), |right, down| {
                let of =
                    |at: &(f64, f64)| disc.light_at((right - at.0).hypot(down - at.1), sigma_px);
                places.iter().map(of).sum()
            });
            let off = worst(&stroke.image(disc_px, SIDE), &want);
            println!("disc {disc_px} px, σ {sigma_px} px, trail {length_px} px: {off:.5}");
            assert!(off <= ALLOWED, "{disc_px} px, {stroke:?}: {off}");
            all_worst = all_worst.max(off);
        }
    }
    println!("discs: the worst is off by {all_worst:.5} of the brightest");
}

/// A quarter of a turn about the pole, which is in the middle of the frame.
#[test]
fn a_curved_trail_is_followed() {
    const SIDE: usize = 41;
    let lens = Lens {
        focal_mm: 200.0,
        f_number: 4.0,
        ..Lens::default()
    };
    let frame = Frame {
        bearing: Angle::ZERO,
        tilt: Angle::from_degrees(45.0),
        roll: Angle::ZERO,
    };
    let sensor = FORMATS[1].sensor(24.0);
    let view = View::new(sensor, lens, frame, Angle::from_degrees(45.0));
    let pixel_mm = sensor.pitch_um() / 1000.0;
    let point = SensorPoint {
        x_mm: 20.0 * pixel_mm,
        y_mm: -7.3 * pixel_mm,
    };
    let seconds = 6.0 * 3600.0;
    let sigma_px = 0.3;
    let spread = PointSpread {
        sigma_px,
        disc_px: 0.0,
    };
    let image = view
        .star_image(point, seconds, spread, SIDE)
        .expect("an image");
    let mut all = Vec::new();
    for sample in 0..4000 {
        // a star turns to the left about the north celestial pole, once in 86 164.1 s
        let share = (f64::from(sample) + 0.5) / 4000.0 - 0.5;
        let turn = std::f64::consts::TAU * share * seconds / 86_164.1;
        let (sin, cos) = turn.sin_cos();
        let (x, y) = (20.0 * cos + 7.3 * sin, 20.0 * sin - 7.3 * cos);
        let middle = SIDE as f64 / 2.0;
        all.push((middle + x - 20.0, middle - (y + 7.3)));
    }
    let off = worst(&image, &points(&all, sigma_px, SIDE));
    println!("a curved trail: off by {off:.5} of the brightest");
    assert!(off <= ALLOWED, "{off}");
}
