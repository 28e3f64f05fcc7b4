//! Least squares: the camera that images stars where they were found.
//!
//! Gauss–Newton steps with numerical derivatives over the turn of the camera, focal length,
//! distortion and centre. What few or central stars cannot determine is held by priors: distortion
//! of a few per cent, a centre within a few thousandths of the diagonal from the picture's middle.

use crate::astrometry::picture::PicturePoint;
use crate::astrometry::sky_camera::SkyCamera;
use crate::vector::Vector;

/// Parameters: three turns, logarithm of the focal length, k1, k2, centre right and down.
const PARAMETERS: usize = 8;

/// Priors (common practice, standard deviations): k1 and k2 of lenses by the table in
/// `camera/distortion`, and the centre in half diagonals.
const K1_SIGMA: f64 = 0.06;
const K2_SIGMA: f64 = 0.02;
const CENTRE_SIGMA: f64 = 0.004;

/// Steps of the numerical derivatives: radians, shares, and px.
const ANGLE_STEP: f64 = 1e-5;
const SHARE_STEP: f64 = 1e-5;
const PX_STEP: f64 = 1e-2;

/// A star on the sky and in the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StarPair {
    /// Its unit vector along the sky's axes.
    pub direction: Vector,
    /// Where it was found.
    pub at: PicturePoint,
    /// Standard deviation of that place along each coordinate, px.
    pub sigma_px: f64,
}

/// What is fitted besides turn and focal length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Freedom {
    /// Nothing.
    Scale,
    /// k1.
    Bend,
    /// k1, k2 and the centre.
    Everything,
}

impl Freedom {
    fn parameters(self) -> usize {
        match self {
            Self::Scale => 4,
            Self::Bend => 5,
            Self::Everything => PARAMETERS,
        }
    }
}

impl SkyCamera {
    /// The camera that fits best, from this one, in at most `rounds` steps. `middle` is the
    /// picture's. Stars without an image in this camera have no weight, and those far off little
    /// (Cauchy's weights).
    pub fn fitted(
        self,
        pairs: &[StarPair],
        middle: PicturePoint,
        freedom: Freedom,
        rounds: usize,
    ) -> Self {
        let mut camera = self;
        for _ in 0..rounds {
            let Some(step) = camera.step(pairs, middle, freedom) else {
                break;
            };
            let next = camera.moved(step);
            if !next.is_sound() {
                break;
            }
            camera = next;
            let still = step[..3].iter().all(|turn| turn.abs() < 1e-9) && step[3].abs() < 1e-9;
            if still {
                break;
            }
        }
        camera
    }

    fn is_sound(&self) -> bool {
        self.focal_px.is_finite()
            && self.focal_px > 0.0
            && self.distortion.k1.abs() < 0.6
            && self.distortion.k2.abs() < 0.6
            && self.centre.x_px.is_finite()
            && self.centre.y_px.is_finite()
            && self.axes.iter().all(|axis| axis.length().is_finite())
    }

    fn moved(&self, step: [f64; PARAMETERS]) -> Self {
        let mut camera = self.turned([step[0], step[1], step[2]]);
        camera.focal_px *= step[3].exp();
        camera.distortion.k1 += step[4];
        camera.distortion.k2 += step[5];
        camera.centre.x_px += step[6];
        camera.centre.y_px += step[7];
        camera
    }

    fn step(
        &self,
        pairs: &[StarPair],
        middle: PicturePoint,
        freedom: Freedom,
    ) -> Option<[f64; PARAMETERS]> {
        const STEPS: [f64; PARAMETERS] = [
            ANGLE_STEP, ANGLE_STEP, ANGLE_STEP, SHARE_STEP, SHARE_STEP, SHARE_STEP, PX_STEP,
            PX_STEP,
        ];
        let count = freedom.parameters();
        let tried: [Self; PARAMETERS] = std::array::from_fn(|index| {
            let mut step = [0.0; PARAMETERS];
            step[index] = STEPS[index];
            self.moved(step)
        });
        let mut normal = [[0.0; PARAMETERS]; PARAMETERS];
        let mut right = [0.0; PARAMETERS];
        for pair in pairs {
            let Some(image) = self.image(pair.direction) else {
                continue;
            };
            let mut slopes = [(0.0, 0.0); PARAMETERS];
            for index in 0..count {
                if let Some(other) = tried[index].image(pair.direction) {
                    slopes[index] = (
                        (other.x_px - image.x_px) / STEPS[index],
                        (other.y_px - image.y_px) / STEPS[index],
                    );
                }
            }
            let (x, y) = (pair.at.x_px - image.x_px, pair.at.y_px - image.y_px);
            let variance = pair.sigma_px * pair.sigma_px;
            let weight = 1.0 / (variance + (x * x + y * y) / 9.0);
            for row in 0..count {
                right[row] += weight * (slopes[row].0 * x + slopes[row].1 * y);
                for column in 0..=row {
                    normal[row][column] += weight
                        * (slopes[row].0 * slopes[column].0 + slopes[row].1 * slopes[column].1);
                }
            }
        }
        let centre_sigma = CENTRE_SIGMA * self.half_diagonal_px;
        let priors = [
            (4, self.distortion.k1, K1_SIGMA),
            (5, self.distortion.k2, K2_SIGMA),
            (6, self.centre.x_px - middle.x_px, centre_sigma),
            (7, self.centre.y_px - middle.y_px, centre_sigma),
        ];
        for (index, value, sigma) in priors {
            normal[index][index] += 1.0 / (sigma * sigma);
            right[index] -= value / (sigma * sigma);
        }
        solve(normal, right, count)
    }
}

/// Solves the symmetric system of `count` equations by Cholesky's method; `None` where it is not
/// positive definite.
fn solve(
    mut matrix: [[f64; PARAMETERS]; PARAMETERS],
    mut right: [f64; PARAMETERS],
    count: usize,
) -> Option<[f64; PARAMETERS]> {
    // scaled to a diagonal of ones, since turns and pixels differ by many orders
    let scale: [f64; PARAMETERS] = std::array::from_fn(|index| 1.0 / matrix[index][index].sqrt());
    for row in 0..count {
        right[row] *= scale[row];
        for column in 0..=row {
            matrix[row][column] *= scale[row] * scale[column];
        }
    }
    for row in 0..count {
        for column in 0..=row {
            let known = matrix[row].iter().zip(&matrix[column]).take(column);
            let known: f64 = known.map(|(one, other)| one * other).sum();
            let rest = matrix[row][column] - known;
            if row == column {
                // so is a NaN refused
                matrix[row][row] = (rest > 1e-13).then(|| rest.sqrt())?;
            } else {
                matrix[row][column] = rest / matrix[column][column];
            }
        }
    }
    for row in 0..count {
        for before in 0..row {
            right[row] -= matrix[row][before] * right[before];
        }
        right[row] /= matrix[row][row];
    }
    for row in (0..count).rev() {
        for after in row + 1..count {
            right[row] -= matrix[after][row] * right[after];
        }
        right[row] /= matrix[row][row];
    }
    let mut step = [0.0; PARAMETERS];
    for row in 0..count {
        step[row] = right[row] * scale[row];
    }
    step.iter().all(|value| value.is_finite()).then_some(step)
}
