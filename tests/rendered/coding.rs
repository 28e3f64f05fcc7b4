//! What a camera makes of the light: a Bayer pattern interpolated, and values of 8 bits.

use super::Scene;

impl Scene {
    /// Full colour by the mean of the neighbours that have each colour.
    pub(super) fn demosaiced(&self, raw: &[f32]) -> Vec<Vec<f32>> {
        let mut planes = vec![vec![0.0_f32; raw.len()]; 3];
        for y in 0..self.height {
            for x in 0..self.width {
                let mut sums = [(0.0_f32, 0.0_f32); 3];
                for (dy, dx, weight) in WEIGHTS {
                    let (near_x, near_y) = (x as i64 + dx, y as i64 + dy);
                    if near_x < 0
                        || near_y < 0
                        || near_x >= self.width as i64
                        || near_y >= self.height as i64
                    {
                        continue;
                    }
                    let (near_x, near_y) = (near_x as usize, near_y as usize);
                    let sum = &mut sums[bayer_channel(near_x, near_y)];
                    sum.0 += weight * raw[near_y * self.width + near_x];
                    sum.1 += weight;
                }
                let at = y * self.width + x;
                let own = bayer_channel(x, y);
                for (channel, plane) in planes.iter_mut().enumerate() {
                    plane[at] = if channel == own {
                        raw[at]
                    } else {
                        sums[channel].0 / sums[channel].1
                    };
                }
            }
        }
        planes
    }
}

/// Rows and columns away, and weight, of the pixels that a missing colour is interpolated from.
const WEIGHTS: [(i64, i64, f32); 8] = [
    (-1, 0, 2.0),
    (1, 0, 2.0),
    (0, -1, 2.0),
    (0, 1, 2.0),
    (-1, -1, 1.0),
    (-1, 1, 1.0),
    (1, -1, 1.0),
    (1, 1, 1.0),
];

/// Red, green, green, blue.
pub(super) fn bayer_channel(x: usize, y: usize) -> usize {
    x % 2 + y % 2
}

/// 8-bit sRGB of a linear value (IEC 61966-2-1).
pub fn to_srgb8(linear: f32) -> u8 {
    let linear = linear.clamp(0.0, 1.0);
    let coded = if linear <= 0.003_130_8 {
        12.92 * linear
    } else {
        1.055 * linear.powf(1.0 / 2.4) - 0.055
    };
    (255.0 * coded).round() as u8
}

pub(super) fn from_srgb(coded: f32) -> f32 {
    if coded <= 0.040_45 {
        coded / 12.92
    } else {
        ((coded + 0.055) / 1.055).powf(2.4)
    }
}
