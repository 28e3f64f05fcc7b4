//! The image of a star: a Gaussian or a disc run along a stroke, integrated over pixels.

use super::error_function::erf;

/// A disc's edge is softened by a lens that draws a point as a Gaussian of this deviation, px.
const DISC_EDGE_PX: f64 = 0.8;

/// Samples of a stroke for a disc, per px of its length.
const DISC_SAMPLES_PER_PX: f64 = 2.0;

/// Strokes shorter than this, px, are computed as of this length.
const SHORTEST_PX: f64 = 0.02;

/// What is run along the stroke.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Spot {
    /// A Gaussian; its size is the variance, square pixels.
    Gaussian,
    /// An even disc with a soft edge; its size is the radius, px.
    Disc,
}

/// Number of parameters of a shape.
pub(super) const SHAPE_PARAMETERS: usize = 3;

/// A star's shape. The stroke enters by its variance tensor, in which a stroke of no length is
/// nothing special: u = L²/12 cos 2θ, v = L²/12 sin 2θ, θ from the picture's right downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shape {
    pub spot: Spot,
    /// u, v and the size of the spot.
    pub parameters: [f64; SHAPE_PARAMETERS],
}

impl Shape {
    /// Length of the stroke, px.
    pub fn length_px(self) -> f64 {
        let [u, v, _] = self.parameters;
        (12.0 * u.hypot(v)).sqrt()
    }

    /// Direction of the stroke, radians from the picture's right, downwards.
    pub fn downward(self) -> f64 {
        let [u, v, _] = self.parameters;
        0.5 * v.atan2(u)
    }

    /// Light per square pixel at places from the centre, for a flux of one.
    fn density(self) -> impl Fn(f64, f64) -> f64 {
        let length = self.length_px().max(SHORTEST_PX);
        let (sin, cos) = self.downward().sin_cos();
        let size = self.parameters[2];
        let spot = self.spot;
        let deviation = size.max(0.0).sqrt();
        let samples = match spot {
            Spot::Gaussian => 1,
            Spot::Disc => (length * DISC_SAMPLES_PER_PX).ceil() as usize + 1,
        };
        move |x, y| {
            let (along, across) = (x * cos + y * sin, y * cos - x * sin);
            match spot {
                Spot::Gaussian => {
                    let scale = std::f64::consts::FRAC_1_SQRT_2 / deviation;
                    let run =
                        erf((along + length / 2.0) * scale) - erf((along - length / 2.0) * scale);
                    let profile = (-0.5 * across * across / size).exp();
                    let norm = (std::f64::consts::TAU).sqrt() * deviation;
                    run / (2.0 * length) * profile / norm
                }
                Spot::Disc => {
                    let sum: f64 = (0..samples)
                        .map(|index| {
                            let place = (index as f64 + 0.5) / samples as f64 - 0.5;
                            let radius = (along - place * length).hypot(across);
                            let edge = (radius - size) * std::f64::consts::FRAC_1_SQRT_2;
                            0.5 - 0.5 * erf(edge / DISC_EDGE_PX)
                        })
                        .sum();
                    // the softened edge adds the variance of its Gaussian to the area
                    let area = std::f64::consts::PI * (size * size + DISC_EDGE_PX * DISC_EDGE_PX);
                    sum / samples as f64 / area
                }
            }
        }
    }
}

/// A star's light in a pixel by the pixel's place, on a grid finer than pixels.
#[derive(Debug, Clone)]
pub(super) struct Template {
    /// Points per px.
    fineness: usize,
    /// Points across and down.
    points: usize,
    values: Vec<f64>,
}

/// Weights of four neighbouring points between which one interpolates, for the value and its
/// derivative (E. Catmull & R. Rom 1974, from memory).
pub(super) fn cubic_weights(t: f64) -> ([f64; 4], [f64; 4]) {
    let (t2, t3) = (t * t, t * t * t);
    (
        [
            -0.5 * t + t2 - 0.5 * t3,
            1.0 - 2.5 * t2 + 1.5 * t3,
            0.5 * t + 2.0 * t2 - 1.5 * t3,
            -0.5 * t2 + 0.5 * t3,
        ],
        [
            -0.5 + 2.0 * t - 1.5 * t2,
            -5.0 * t + 4.5 * t2,
            0.5 + 4.0 * t - 4.5 * t2,
            -t + 1.5 * t2,
        ],
    )
}

impl Template {
    /// Computes a shape out to `reach` px from its centre, in both directions.
    pub fn new(shape: Shape, reach: usize, fineness: usize) -> Self {
        let half = reach * fineness;
        let points = 2 * half + 1;
        // samples stand between the points, `fineness` of them to a pixel
        let samples = points + fineness;
        let first = -((half + fineness / 2) as f64) + 0.5;
        let place = |index: usize| (first + index as f64) / fineness as f64;
        let density = shape.density();
        let rows: Vec<Vec<f64>> = (0..samples)
            .map(|row| {
                let y = place(row);
                let line: Vec<f64> = (0..samples)
                    .map(|column| density(place(column), y))
                    .collect();
                line.windows(fineness)
                    .take(points)
                    .map(|window| window.iter().sum())
                    .collect()
            })
            .collect();
        let scale = 1.0 / (fineness * fineness) as f64;
        let mut values = Vec::with_capacity(points * points);
        for row in rows.windows(fineness).take(points) {
            values.extend(
                (0..points).map(|column| scale * row.iter().map(|line| line[column]).sum::<f64>()),
            );
        }
        Self {
            fineness,
            points,
            values,
        }
    }

    /// Difference to another of the same grid, over `step`.
    pub fn derivative(&self, moved: &Self, step: f64) -> Self {
        let pairs = moved.values.iter().zip(&self.values);
        Self {
            values: pairs.map(|(moved, here)| (moved - here) / step).collect(),
            ..*self
        }
    }

    /// First point of the four around a place `offset` px from the centre, and how far the place is
    /// from the second to the third.
    pub fn split(&self, offset: f64) -> (i64, f64) {
        let place = offset * self.fineness as f64 + (self.points / 2) as f64;
        let whole = place.floor();
        (whole as i64 - 1, place - whole)
    }

    /// Points per px.
    pub fn fineness(&self) -> i64 {
        self.fineness as i64
    }

    /// Value by the first of four points each way, with weights for each.
    pub fn value(&self, column: i64, row: i64, across: &[f64; 4], down: &[f64; 4]) -> f64 {
        let points = self.points as i64;
        if column < 0 || row < 0 || column + 4 > points || row + 4 > points {
            return 0.0;
        }
        let mut sum = 0.0;
        for (index, weight) in down.iter().enumerate() {
            let start = (row as usize + index) * self.points + column as usize;
            let line = &self.values[start..start + 4];
            sum += weight
                * (across[0] * line[0]
                    + across[1] * line[1]
                    + across[2] * line[2]
                    + across[3] * line[3]);
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHAPES: [Shape; 4] = [
        Shape {
            spot: Spot::Gaussian,
            parameters: [0.0, 0.0, 0.64],
        },
        Shape {
            spot: Spot::Gaussian,
            parameters: [0.5, -1.5, 0.8],
        },
        Shape {
            spot: Spot::Disc,
            parameters: [0.0, 0.0, 4.0],
        },
        Shape {
            spot: Spot::Disc,
            parameters: [-1.0, 1.0, 3.0],
        },
    ];

    /// The light of all pixels is the flux, and its second moments are stroke, spot and pixel.
    #[test]
    fn light_and_moments_are_kept() {
        for shape in SHAPES {
            let template = Template::new(shape, 14, 4);
            for shift in [0.0, 0.31] {
                let (column, t) = template.split(-12.0 - shift);
                let (across, _) = cubic_weights(t);
                let (row, t) = template.split(-12.0);
                let (down, _) = cubic_weights(t);
                let (mut sum, mut xx, mut xy) = (0.0, 0.0, 0.0);
                for y in 0..25 {
                    for x in 0..25 {
                        let value = template.value(column + 4 * x, row + 4 * y, &across, &down);
                        let (dx, dy) = (x as f64 - 12.0 - shift, y as f64 - 12.0);
                        sum += value;
                        xx += value * dx * dx;
                        xy += value * dx * dy;
                    }
                }
                let [u, v, size] = shape.parameters;
                let spot = match shape.spot {
                    Spot::Gaussian => size,
                    Spot::Disc => size * size / 4.0 + DISC_EDGE_PX * DISC_EDGE_PX,
                };
                let want = (shape.length_px().powi(2) / 12.0 + u) / 2.0 + spot + 1.0 / 12.0;
                let tolerance = if shape.spot == Spot::Disc { 0.15 } else { 0.02 };
                assert!((sum - 1.0).abs() < 5e-3, "{shape:?}: light {sum}");
                assert!(
                    (xx - want).abs() < tolerance,
                    "{shape:?}: {xx}, want {want}"
                );
                assert!((xy - v / 2.0).abs() < tolerance, "{shape:?}: {xy}");
            }
        }
    }
}
