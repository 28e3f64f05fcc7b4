//! From coded values to linear luminance.
//!
//! Cameras code JPEGs by the sRGB curve (IEC 61966-2-1), give or take their picture style. The luma
//! of a JPEG is linearised as it is: for a star of the colours stars have, this differs from
//! the luminance by a few per cent of flux, and not in place.

use super::Samples;
use crate::astrometry::picture::Picture;

/// Share of red, green and blue in luminance (ITU-R BT.709).
pub(super) const RED_GREEN_BLUE: [f32; 3] = [0.2126, 0.7152, 0.0722];

/// Full value of 8 and 16 bits.
const FULL_8: f64 = 255.0;
const FULL_16: f64 = 65_535.0;

/// Linear value of a coded one, both 0 to 1 (IEC 61966-2-1).
pub(super) fn srgb_to_linear(coded: f64) -> f64 {
    if coded <= 0.040_45 {
        coded / 12.92
    } else {
        ((coded + 0.055) / 1.055).powf(2.4)
    }
}

/// Linear values of all 8-bit ones.
pub(super) fn table_8() -> [f32; 256] {
    std::array::from_fn(|value| srgb_to_linear(value as f64 / FULL_8) as f32)
}

/// Linear values of all 16-bit ones.
pub(super) fn table_16() -> Vec<f32> {
    (0..=u16::MAX)
        .map(|value| srgb_to_linear(f64::from(value) / FULL_16) as f32)
        .collect()
}

/// A picture of 8-bit luma.
pub(super) fn from_srgb8(samples: &Samples<u8>) -> Picture {
    let table = table_8();
    Picture {
        width: samples.width,
        height: samples.height,
        pixels: samples
            .values
            .iter()
            .map(|value| table[usize::from(*value)])
            .collect(),
    }
}

/// A picture of 8-bit luma, of half the size: each pixel is the mean of four. An odd column or row
/// at the end is dropped.
pub(super) fn from_srgb8_halved(samples: &Samples<u8>) -> Picture {
    let table = table_8().map(|value| value / 4.0);
    let (width, height) = (samples.width / 2, samples.height / 2);
    let mut pixels = Vec::with_capacity(width * height);
    for pair in samples.values.chunks_exact(2 * samples.width) {
        let (upper, lower) = pair.split_at(samples.width);
        let squares = upper.chunks_exact(2).zip(lower.chunks_exact(2));
        pixels.extend(squares.map(|(upper, lower)| {
            let four = upper.iter().chain(lower);
            four.map(|value| table[usize::from(*value)]).sum::<f32>()
        }));
    }
    Picture {
        width,
        height,
        pixels,
    }
}

/// Luminance of a pixel from the linear values of its channels: one (grey), two (grey and alpha),
/// three or four (colour, alpha). No channel is black.
pub(super) fn of_channels(linear: impl Iterator<Item = f32>, channels: usize) -> f32 {
    if channels < 3 {
        return linear.take(1).sum();
    }
    linear
        .zip(RED_GREEN_BLUE)
        .map(|(value, share)| value * share)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked from the standard's definition: 8-bit 188 is half of full luminance to 1 %, 118 is
    /// eighteen per cent.
    #[test]
    fn agrees_with_known_greys() {
        for (coded, want) in [(0, 0.0), (118, 0.181), (188, 0.503), (255, 1.0)] {
            let got = table_8()[coded];
            assert!((got - want).abs() < 1e-3, "{coded}: {got}, want {want}");
        }
    }

    #[test]
    fn halves_are_means() {
        let samples = Samples {
            width: 5,
            height: 3,
            values: [[255, 0, 0, 0, 9], [255, 255, 0, 0, 9], [9; 5]].concat(),
        };
        let halved = from_srgb8_halved(&samples);
        assert_eq!((halved.width, halved.height), (2, 1));
        assert!((halved.pixels[0] - 0.75).abs() < 1e-6 && halved.pixels[1] == 0.0);
    }

    #[test]
    fn white_is_one_by_any_number_of_channels() {
        for channels in 1..=4 {
            let got = of_channels(std::iter::repeat_n(1.0, channels), channels);
            assert!((got - 1.0).abs() < 1e-6, "{channels} channels: {got}");
        }
    }
}
