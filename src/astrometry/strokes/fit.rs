//! Fitting one shape to many stars at once.
//!
//! The shape is common to all stars of a zone; each star has its own place, flux and background. Least
//! squares by Levenberg's and Marquardt's method, the stars' own unknowns eliminated star by star
//! (P. B. Stetson, *PASP* 99 (1987) 191, fits stellar profiles so; both from memory).

use super::template::{SHAPE_PARAMETERS, Shape, Spot, Template, parts};
use crate::astrometry::picture::{Picture, PicturePoint};

/// Unknowns of one star: x, y, flux, background.
const STAR_UNKNOWNS: usize = 4;

/// A model never fits better than this share of its own value: noise of the light itself, the
/// camera's tone curve, compression.
const MODEL_ERROR: f64 = 0.04;

/// Deviations from which a pixel weighs less and less (Cauchy's weights): light of a neighbour.
const OUTLIER: f64 = 3.0;

/// By how much more where the star has light, for each of its own deviations.
const CORE_OUTLIER: f64 = 1.0;

/// Rounds of the fit, and change of chi squared that ends it.
const MOST_ROUNDS: usize = 12;
const SETTLED: f64 = 1e-6;

/// Windows larger than this many px to either side are of wide stars, for which a grid of half pixels
/// is fine enough.
const FINE_HALF: usize = 20;

/// Largest step of a stroke's variance, as a share of it.
const STEP_SHARE: f64 = 0.4;

/// Least size of a spot: variance of a Gaussian, radius of a disc.
const LEAST_VARIANCE: f64 = 0.12;
const LEAST_RADIUS: f64 = 0.5;

/// Range of the softness of a disc's edge, px, where it is expected and how far it strays from there.
const SOFTNESS_PX: (f64, f64) = (0.25, 1.5);
pub(super) const USUAL_SOFTNESS_PX: f64 = 0.5;
const SOFTNESS_SPREAD_PX: f64 = 0.3;

/// One star in a fit.
#[derive(Debug, Clone, Copy)]
pub(super) struct FittedStar {
    pub at: PicturePoint,
    pub flux: f64,
    pub level: f64,
    /// Noise of one pixel around it.
    pub noise: f64,
    /// Chi squared per pixel.
    pub misfit: f64,
    /// What it says about the stroke, for weighting.
    pub information: f64,
}

/// A shape fitted to stars.
#[derive(Debug, Clone)]
pub(super) struct Fit {
    pub shape: Shape,
    pub stars: Vec<FittedStar>,
    /// Chi squared per pixel.
    pub misfit: f64,
    /// Covariance of the shape's parameters, scaled by the misfit where that is above 1.
    pub covariance: [[f64; SHAPE_PARAMETERS]; SHAPE_PARAMETERS],
}

type Matrix<const N: usize> = [[f64; N]; N];

/// Solves a symmetric positive definite system for several right sides, in place; `None` where it is
/// singular. By Cholesky's method.
pub(super) fn solve<const N: usize, const M: usize>(
    matrix: &Matrix<N>,
    right: &[[f64; M]; N],
) -> Option<[[f64; M]; N]> {
    let mut factor = [[0.0; N]; N];
    for row in 0..N {
        for column in 0..=row {
            let dot: f64 = (0..column)
                .map(|index| factor[row][index] * factor[column][index])
                .sum();
            let rest = matrix[row][column] - dot;
            if row == column {
                if !(rest > 0.0 && rest.is_finite()) {
                    return None;
                }
                factor[row][row] = rest.sqrt();
            } else {
                factor[row][column] = rest / factor[column][column];
            }
        }
    }
    let mut out = *right;
    let without =
        |out: &[[f64; M]; N], row: usize, others: &mut dyn Iterator<Item = (usize, f64)>| {
            let mut rest = out[row];
            for (other, weight) in others {
                for (rest, value) in rest.iter_mut().zip(out[other]) {
                    *rest -= weight * value;
                }
            }
            rest.map(|rest| rest / factor[row][row])
        };
    for row in 0..N {
        out[row] = without(
            &out,
            row,
            &mut (0..row).map(|other| (other, factor[row][other])),
        );
    }
    for row in (0..N).rev() {
        out[row] = without(
            &out,
            row,
            &mut (row + 1..N).map(|other| (other, factor[other][row])),
        );
    }
    Some(out)
}

/// Normal equations of one star.
struct StarEquations {
    own: Matrix<STAR_UNKNOWNS>,
    /// Own unknowns against the shape's.
    mixed: [[f64; SHAPE_PARAMETERS]; STAR_UNKNOWNS],
    shared: Matrix<SHAPE_PARAMETERS>,
    own_right: [f64; STAR_UNKNOWNS],
    shared_right: [f64; SHAPE_PARAMETERS],
    chi2: f64,
    pixels: f64,
}

/// Fits a shape to stars within `half` px of each one's place.
///
/// `None` where the fit breaks down or no stars are given.
pub(super) fn fit(
    picture: &Picture,
    stars: &[FittedStar],
    start: Shape,
    half: usize,
) -> Option<Fit> {
    let coarse = half > FINE_HALF || start.spot == Spot::Disc;
    let fineness = if coarse { 2 } else { 4 };
    let reach = half + 3;
    let mut best_shape = start;
    let mut best_stars = stars.to_vec();
    let mut shape = start;
    let mut trial = best_stars.clone();
    let mut damping = 1e-3;
    let mut best: Option<(f64, Vec<StarEquations>)> = None;
    for _ in 0..MOST_ROUNDS {
        let template = Template::new(shape, reach, fineness);
        let equations: Vec<StarEquations> = trial
            .iter()
            .map(|star| star_equations(picture, star, &template, half))
            .collect();
        let chi2: f64 = equations.iter().map(|star| star.chi2).sum();
        let before = best.as_ref().map(|(chi2, _)| *chi2);
        let better = before.is_none_or(|before| chi2 < before);
        let settled = better && before.is_some_and(|before| before - chi2 < SETTLED * before);
        if better {
            best = Some((chi2, equations));
            best_shape = shape;
            best_stars.clone_from(&trial);
            damping *= 0.2;
        } else {
            damping *= 10.0;
        }
        if settled || damping > 1e4 {
            break;
        }
        let (_, equations) = best.as_ref()?;
        (shape, trial) = step(best_shape, &best_stars, equations, damping)?;
    }
    let (chi2, equations) = best?;
    let pixels: f64 = equations.iter().map(|star| star.pixels).sum();
    let misfit = chi2 / pixels.max(1.0);
    let reduced = reduce(best_shape, &equations, 0.0);
    let unit: Matrix<SHAPE_PARAMETERS> =
        std::array::from_fn(|row| std::array::from_fn(|column| f64::from(u8::from(row == column))));
    let covariance = solve(&reduced.matrix, &unit)?;
    for (star, equations) in best_stars.iter_mut().zip(&equations) {
        star.misfit = equations.chi2 / equations.pixels.max(1.0);
        star.information = equations.shared[0][0] + equations.shared[1][1];
    }
    Some(Fit {
        shape: best_shape,
        stars: best_stars,
        misfit,
        covariance: covariance.map(|row| row.map(|value| value * misfit.max(1.0))),
    })
}

/// The shape's own equations, the stars' unknowns eliminated.
struct Reduced {
    matrix: Matrix<SHAPE_PARAMETERS>,
    right: [f64; SHAPE_PARAMETERS],
}

fn damped<const N: usize>(matrix: &Matrix<N>, damping: f64) -> Matrix<N> {
    let mut out = *matrix;
    for (index, row) in out.iter_mut().enumerate() {
        row[index] *= 1.0 + damping;
    }
    out
}

fn reduce(shape: Shape, equations: &[StarEquations], damping: f64) -> Reduced {
    let mut matrix = [[0.0; SHAPE_PARAMETERS]; SHAPE_PARAMETERS];
    let mut right = [0.0; SHAPE_PARAMETERS];
    // what is expected of the edge's softness counts as one measurement
    let weight = SOFTNESS_SPREAD_PX.powi(-2);
    matrix[3][3] = weight;
    right[3] = weight * (USUAL_SOFTNESS_PX - shape.parameters[3]);
    for star in equations {
        let own = damped(&star.own, damping);
        // a star with too little light to be fitted says nothing
        let (Some(mixed), Some(own_right)) = (
            solve(&own, &star.mixed),
            solve(&own, &star.own_right.map(|value| [value])),
        ) else {
            continue;
        };
        let shared = damped(&star.shared, damping);
        for row in 0..SHAPE_PARAMETERS {
            for column in 0..SHAPE_PARAMETERS {
                let taken: f64 = (0..STAR_UNKNOWNS)
                    .map(|own| star.mixed[own][row] * mixed[own][column])
                    .sum();
                matrix[row][column] += shared[row][column] - taken;
            }
            let taken: f64 = (0..STAR_UNKNOWNS)
                .map(|own| star.mixed[own][row] * own_right[own][0])
                .sum();
            right[row] += star.shared_right[row] - taken;
        }
    }
    Reduced { matrix, right }
}

/// The next shape and stars.
fn step(
    shape: Shape,
    stars: &[FittedStar],
    equations: &[StarEquations],
    damping: f64,
) -> Option<(Shape, Vec<FittedStar>)> {
    let reduced = reduce(shape, equations, damping);
    let change = solve(&reduced.matrix, &reduced.right.map(|value| [value]))?;
    let change = change.map(|[value]| value);
    let mut shape = shape;
    // no step is larger than a part of what the parameter's kind has already, or 1
    let stroke = STEP_SHARE * shape.length_px().powi(2) / 12.0;
    let spot = shape.parameters[2].abs();
    let largest = [stroke, stroke, spot, spot].map(|size| size.max(1.0));
    for ((parameter, change), largest) in shape.parameters.iter_mut().zip(change).zip(largest) {
        *parameter += change.clamp(-largest, largest);
    }
    let least = match shape.spot {
        Spot::Gaussian => LEAST_VARIANCE,
        Spot::Disc => LEAST_RADIUS,
    };
    shape.parameters[2] = shape.parameters[2].max(least);
    shape.parameters[3] = shape.parameters[3].clamp(SOFTNESS_PX.0, SOFTNESS_PX.1);
    let moved = stars.iter().zip(equations).map(|(star, equations)| {
        let own = damped(&equations.own, damping);
        let right: [[f64; 1]; STAR_UNKNOWNS] = std::array::from_fn(|row| {
            let taken: f64 = (0..SHAPE_PARAMETERS)
                .map(|index| equations.mixed[row][index] * change[index])
                .sum();
            [equations.own_right[row] - taken]
        });
        let Some([[dx], [dy], [flux], [level]]) = solve(&own, &right) else {
            return *star;
        };
        FittedStar {
            at: PicturePoint {
                x_px: star.at.x_px + dx.clamp(-1.0, 1.0),
                y_px: star.at.y_px + dy.clamp(-1.0, 1.0),
            },
            flux: (star.flux + flux).max(star.flux / 3.0),
            level: star.level + level,
            ..*star
        }
    });
    let moved = moved.collect();
    Some((shape, moved))
}

fn star_equations(
    picture: &Picture,
    star: &FittedStar,
    template: &Template,
    half: usize,
) -> StarEquations {
    let mut out = StarEquations {
        own: [[0.0; STAR_UNKNOWNS]; STAR_UNKNOWNS],
        mixed: [[0.0; SHAPE_PARAMETERS]; STAR_UNKNOWNS],
        shared: [[0.0; SHAPE_PARAMETERS]; SHAPE_PARAMETERS],
        own_right: [0.0; STAR_UNKNOWNS],
        shared_right: [0.0; SHAPE_PARAMETERS],
        chi2: 0.0,
        pixels: 0.0,
    };
    let half = half as i64;
    let (left, top) = (
        star.at.x_px.floor() as i64 - half,
        star.at.y_px.floor() as i64 - half,
    );
    let across = template.between(left as f64 + 0.5 - star.at.x_px);
    let down = template.between(top as f64 + 0.5 - star.at.y_px);
    for row in 0..=2 * half {
        let Ok(y) = usize::try_from(top + row) else {
            continue;
        };
        let pixels = picture.row(y);
        for column in 0..=2 * half {
            let Some(pixel) = usize::try_from(left + column)
                .ok()
                .and_then(|x| pixels.get(x))
            else {
                continue;
            };
            let (light, by_place, by_shape) = parts(template.at(across, down, (column, row)));
            let model = star.flux * light;
            let error = star.noise.hypot(MODEL_ERROR * model);
            let rest = f64::from(*pixel) - model - star.level;
            let deviation2 = (rest / error).powi(2);
            // where the star itself is bright, what is left is not a neighbour's
            let limit = (OUTLIER + CORE_OUTLIER * model.abs() / error).powi(2);
            let outlying = 1.0 + deviation2 / limit;
            let weight = 1.0 / (error * error * outlying);
            let own = [star.flux * by_place[0], star.flux * by_place[1], light, 1.0];
            let shared = by_shape.map(|slope| star.flux * slope);
            for (row, one) in own.iter().enumerate() {
                let weighted = weight * one;
                out.own_right[row] += weighted * rest;
                for (sum, other) in out.own[row].iter_mut().zip(own) {
                    *sum += weighted * other;
                }
                for (sum, other) in out.mixed[row].iter_mut().zip(shared) {
                    *sum += weighted * other;
                }
            }
            for (row, one) in shared.iter().enumerate() {
                let weighted = weight * one;
                out.shared_right[row] += weighted * rest;
                for (sum, other) in out.shared[row].iter_mut().zip(shared) {
                    *sum += weighted * other;
                }
            }
            out.chi2 += limit * outlying.ln();
            out.pixels += 1.0;
        }
    }
    out
}
