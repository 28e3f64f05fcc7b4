//! Smoothing and reducing a picture before stars are sought in it.
//!
//! A star is found best in a picture smoothed about as wide as the star itself. Narrow stars are
//! sought in the picture smoothed by a binomial kernel, wide ones in the same of a reduced picture.

use crate::astrometry::picture::Picture;

/// Variance of the kernel along each axis, square pixels: 1 4 6 4 1 over 16.
pub(super) const KERNEL_VARIANCE_PX2: f64 = 1.0;

/// The picture smoothed by the binomial kernel; at its edges the outermost pixels are repeated.
pub(super) fn smoothed(picture: &Picture) -> Picture {
    let (width, height) = (picture.width, picture.height);
    let mut pixels = Vec::with_capacity(width * height);
    // two columns more on either side
    let mut column_sums = vec![0.0_f32; width + 4];
    for y in 0..height {
        let row = |offset: usize| picture.row((y + offset).saturating_sub(2).min(height - 1));
        let rows = [row(0), row(1), row(2), row(3), row(4)];
        let sums = &mut column_sums[2..width + 2];
        for (x, sum) in sums.iter_mut().enumerate() {
            *sum = rows[0][x] + rows[4][x] + 4.0 * (rows[1][x] + rows[3][x]) + 6.0 * rows[2][x];
        }
        let (first, last) = (column_sums[2], column_sums[width + 1]);
        column_sums[..2].fill(first);
        column_sums[width + 2..].fill(last);
        pixels.extend(column_sums.windows(5).map(|five| {
            (five[0] + five[4] + 4.0 * (five[1] + five[3]) + 6.0 * five[2]) * (1.0 / 256.0)
        }));
    }
    Picture {
        width,
        height,
        pixels,
    }
}

/// The picture reduced by a whole factor: means of squares of pixels. What is left over at the right
/// and lower edge is dropped.
pub(super) fn reduced(picture: &Picture, factor: usize) -> Picture {
    let (width, height) = (picture.width / factor, picture.height / factor);
    let scale = 1.0 / (factor * factor) as f32;
    let mut pixels = vec![0.0; width * height];
    for (y, row) in pixels.chunks_exact_mut(width.max(1)).enumerate() {
        for from in y * factor..(y + 1) * factor {
            let source = picture.row(from).chunks_exact(factor);
            for (sum, part) in row.iter_mut().zip(source) {
                *sum += part.iter().sum::<f32>() * scale;
            }
        }
    }
    Picture {
        width,
        height,
        pixels,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_becomes_the_kernel() {
        let mut pixels = vec![0.0; 81];
        pixels[40] = 256.0;
        let picture = Picture {
            width: 9,
            height: 9,
            pixels,
        };
        let got = smoothed(&picture);
        assert_eq!(&got.row(4)[2..7], &[6.0, 24.0, 36.0, 24.0, 6.0]);
        assert_eq!(&got.row(2)[2..7], &[1.0, 4.0, 6.0, 4.0, 1.0]);
    }

    #[test]
    fn a_flat_picture_stays_flat() {
        let picture = Picture {
            width: 70,
            height: 67,
            pixels: vec![0.25; 70 * 67],
        };
        let smooth = smoothed(&picture).pixels;
        let small = reduced(&picture, 4);
        assert_eq!((small.width, small.height), (17, 16));
        for value in smooth.iter().chain(&small.pixels) {
            assert!((value - 0.25).abs() < 1e-6, "{value}");
        }
    }
}
