//! How long, in which direction and how wide the stars are drawn, in the middle of the picture and
//! in its corners.
//!
//! To the brightest stars of a zone that are not saturated and stand alone one shape is fitted: a
//! Gaussian or, out of focus, a disc, run along a straight stroke and integrated over pixels.
//! Lengths under [`SHORT_PX`] cannot be told from the star's own shape.

mod error_function;
mod fit;
mod template;

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::astrometry::background::median_and_noise;
use crate::astrometry::knock::Knock;
use crate::astrometry::picture::{Picture, PicturePoint};
use crate::astrometry::star_list::{DetectedStar, StarList};
use crate::camera::point_spread::FWHM_PER_SIGMA;
use crate::listed::listed;
use fit::{Fit, FittedStar, USUAL_SOFTNESS_PX, fit};
use template::{SecondImage, Shape, Spot};

/// Strokes under this length, px, are told as short.
pub const SHORT_PX: f64 = 1.5;

/// Stars fitted in a zone, at most and at least.
const MOST_STARS: usize = 24;
const LEAST_STARS: usize = 4;

/// Pixels in all stars' windows, at most, unless the stars are fewer than this.
const MOST_PIXELS: usize = 8_000;
const LEAST_TAKEN: usize = 16;

/// Flux over its noise from which a star is fitted.
const LEAST_SIGNAL: f64 = 12.0;

/// Peaks above this are spoilt by the camera's tone curve or the end of its range.
const HIGHEST_PEAK: f32 = 0.75;

/// A neighbour within the window with more than this share of the flux spoils a star.
const NEIGHBOUR_SHARE: f64 = 0.12;

/// Half the width of the window at most, px.
const MOST_HALF_PX: f64 = 44.0;

/// The middle zone's half size, and the corners' size, as a share of width and height.
const MIDDLE_SHARE: f64 = 0.2;
const CORNER_SHARE: f64 = 0.3;

/// A star fitted this many times worse than the median is dropped: a pair, a hot pixel.
const SPOILT_MISFIT: f64 = 4.0;

/// A disc is taken where it fits better than a Gaussian by this factor of chi squared, and from this
/// radius, px.
const DISC_GAIN: f64 = 0.85;
const LEAST_DISC_PX: f64 = 1.8;

/// Window around a disc of known radius, px more than that.
const DISC_MARGIN_PX: f64 = 5.0;

/// A disc found with the help of other zones differs from theirs by less than this share.
const UNLIKE_DISC_SHARE: f64 = 0.4;

/// Width by moments from which a star may be a disc, px: that of the least disc with a soft edge.
const LEAST_DISC_WIDE_PX: f64 = 1.2;

listed! {
    /// A part of the picture.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Zone {
        /// Around the middle.
        Middle,
        /// Upper left corner.
        TopLeft,
        /// Upper right corner.
        TopRight,
        /// Lower left corner.
        BottomLeft,
        /// Lower right corner.
        BottomRight,
    }
}

/// A star's image without the stroke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Profile {
    /// In focus: a Gaussian of this standard deviation, px.
    Gaussian {
        /// Standard deviation, px.
        sigma_px: f64,
    },
    /// Out of focus: an even disc of this radius, px.
    Disc {
        /// Radius, px.
        radius_px: f64,
    },
}

/// The stroke of the stars in one zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrokeMeasure {
    /// Which part of the picture.
    pub zone: Zone,
    /// The place it stands for: the mean of the stars, weighted as they were in the fit.
    pub at: PicturePoint,
    /// Number of stars.
    pub stars: usize,
    /// Length of the stroke, px.
    pub length_px: f64,
    /// Standard error of the length, px.
    pub length_error_px: f64,
    /// Direction of the stroke, from the picture's right, anticlockwise as seen; from -90° to 90°.
    pub angle: Angle,
    /// Standard error of the direction; up to 45° where there is no stroke.
    pub angle_error: Angle,
    /// The star without the stroke.
    pub profile: Profile,
    /// Its full width at half maximum or the disc's diameter, px.
    pub width_px: f64,
    /// Standard error of the width, px.
    pub width_error_px: f64,
}

impl Profile {
    /// Radius of a disc, px; `None` in focus.
    pub fn disc_px(self) -> Option<f64> {
        match self {
            Self::Gaussian { .. } => None,
            Self::Disc { radius_px } => Some(radius_px),
        }
    }
}

impl StrokeMeasure {
    /// Whether the stroke is too short to be told from the star's own shape.
    pub fn is_short(&self) -> bool {
        self.length_px < SHORT_PX
    }
}

impl Zone {
    /// Whether a place is in the zone.
    fn contains(self, at: PicturePoint, width: usize, height: usize) -> bool {
        let x = at.x_px / width as f64;
        let y = at.y_px / height as f64;
        let (low, high) = (CORNER_SHARE, 1.0 - CORNER_SHARE);
        match self {
            Self::Middle => (x - 0.5).abs() < MIDDLE_SHARE && (y - 0.5).abs() < MIDDLE_SHARE,
            Self::TopLeft => x < low && y < low,
            Self::TopRight => x > high && y < low,
            Self::BottomLeft => x < low && y > high,
            Self::BottomRight => x > high && y > high,
        }
    }
}

/// Measures the strokes of the zones that have enough stars.
///
/// In frames drawn by an independent program lengths over 1.5 px are within 0.07 px rms, out of focus
/// within 0.25 px, and radii of discs within 0.05 px. Through a Bayer pattern lengths of 1.5 px are up to
/// 0.25 px too long.
///
/// `list` has one image of each star; `knock` says where the second is, if there is one.
pub fn measure_strokes(
    picture: &Picture,
    list: &StarList,
    knock: Option<Knock>,
) -> Vec<StrokeMeasure> {
    let second = knock.map(|knock| SecondImage {
        dx_px: knock.dx_px,
        dy_px: knock.dy_px,
        share: knock.share,
    });
    let measure = |zone, disc_px| measure_zone(picture, list, zone, second, disc_px);
    let first: Vec<StrokeMeasure> = Zone::ALL
        .into_iter()
        .filter_map(|zone| measure(zone, None))
        .collect();
    // out of focus all zones have discs; where they run into each other a fit must be told their size
    let radii = first.iter().filter_map(|stroke| stroke.profile.disc_px());
    let Some(radius) = median_f64(radii.collect()) else {
        return first;
    };
    let again = |stroke: StrokeMeasure| match stroke.profile {
        Profile::Gaussian { .. } => measure(stroke.zone, Some(radius)).unwrap_or(stroke),
        Profile::Disc { .. } => stroke,
    };
    first.into_iter().map(again).collect()
}

fn measure_zone(
    picture: &Picture,
    list: &StarList,
    zone: Zone,
    second: Option<SecondImage>,
    disc_px: Option<f64>,
) -> Option<StrokeMeasure> {
    let (width, height) = (picture.width, picture.height);
    let inside: Vec<&DetectedStar> = list
        .stars
        .iter()
        .filter(|star| zone.contains(star.at, width, height))
        .collect();
    let fit_able: Vec<&DetectedStar> = inside
        .iter()
        .filter(|star| !star.saturated && star.peak < HIGHEST_PEAK)
        .filter(|star| {
            let pixels = 4.0 * std::f64::consts::PI * star.long_px * star.wide_px;
            star.flux > LEAST_SIGNAL * f64::from(list.noise) * pixels.sqrt()
        })
        .copied()
        .take(4 * MOST_STARS)
        .collect();
    let long = median_of(&fit_able, |star| star.long_px)?;
    let wide = median_of(&fit_able, |star| star.wide_px)?;
    let apart = second.map_or(0.0, |second| second.dx_px.hypot(second.dy_px));
    // a second image further away than the window is none of the first's
    let half_px = 2.7 * long + 2.5;
    let (half_px, second) = if apart < half_px + 2.0 * wide {
        (half_px + apart.min(half_px), second)
    } else {
        (half_px, None)
    };
    let half_px = disc_px.map_or(half_px, |disc| half_px.min(disc + DISC_MARGIN_PX));
    let half_px = half_px.ceil().min(MOST_HALF_PX);
    let half = half_px as usize;
    let stars: Vec<FittedStar> = fit_able
        .iter()
        .filter(|star| alone(star, list, half_px))
        .filter_map(|star| fitted_star(picture, star, half))
        .take(star_count(half))
        .collect();
    if stars.len() < LEAST_STARS {
        return None;
    }
    let tensor = tensor_of(&fit_able);
    let gaussian = Shape {
        spot: Spot::Gaussian,
        second,
        parameters: [
            tensor.0,
            tensor.1,
            (wide * wide).max(0.3),
            USUAL_SOFTNESS_PX,
        ],
    };
    let best = robust_fit(picture, &stars, gaussian, half)?;
    let disc = (wide > LEAST_DISC_WIDE_PX).then(|| {
        let disc = Shape {
            spot: Spot::Disc,
            second,
            parameters: [
                0.0,
                0.0,
                disc_px.unwrap_or((2.0 * wide).max(LEAST_DISC_PX)),
                USUAL_SOFTNESS_PX,
            ],
        };
        // the same stars, so that the fits compare
        fit(picture, &best.stars, disc, half)
    });
    let gain = if disc_px.is_some() { 1.0 } else { DISC_GAIN };
    let expected = |radius: f64| {
        disc_px.is_none_or(|disc| (radius / disc - 1.0).abs() < UNLIKE_DISC_SHARE)
            && radius > LEAST_DISC_PX
    };
    let best = match disc.flatten() {
        Some(disc) if disc.misfit < gain * best.misfit && expected(disc.shape.parameters[2]) => {
            disc
        }
        _ => best,
    };
    Some(told(zone, &best))
}

/// How many stars are fitted: of large images, with many pixels each, fewer.
fn star_count(half: usize) -> usize {
    let pixels = (2 * half + 1).pow(2);
    (MOST_PIXELS / pixels).clamp(LEAST_TAKEN, MOST_STARS)
}

/// Fits, drops what does not fit, and fits again.
fn robust_fit(picture: &Picture, stars: &[FittedStar], start: Shape, half: usize) -> Option<Fit> {
    let first = fit(picture, stars, start, half)?;
    let misfits: Vec<f64> = first.stars.iter().map(|star| star.misfit).collect();
    let limit = SPOILT_MISFIT * median_f64(misfits)?;
    let kept: Vec<FittedStar> = first
        .stars
        .iter()
        .filter(|star| star.misfit <= limit)
        .copied()
        .collect();
    if kept.len() == first.stars.len() || kept.len() < LEAST_STARS {
        return Some(first);
    }
    fit(picture, &kept, first.shape, half)
}

fn told(zone: Zone, fit: &Fit) -> StrokeMeasure {
    let [u, v, size, _] = fit.shape.parameters;
    let excess = u.hypot(v);
    let length_px = fit.shape.length_px();
    let (cos, sin) = if excess > 0.0 {
        (u / excess, v / excess)
    } else {
        (1.0, 0.0)
    };
    let covariance = &fit.covariance;
    let variance = |x: f64, y: f64| {
        let sum = x * x * covariance[0][0] + 2.0 * x * y * covariance[0][1];
        (sum + y * y * covariance[1][1]).max(0.0)
    };
    let along = variance(cos, sin).sqrt();
    let across = variance(-sin, cos).sqrt();
    // the length is the root of the excess; near zero the root of its error stands for its own
    let length_error_px = ((12.0 * (excess + along)).sqrt() - length_px).abs();
    let angle_error = 0.5 * across.atan2(excess);
    let size_error = covariance[2][2].max(0.0).sqrt();
    let (profile, width_px, width_error_px) = match fit.shape.spot {
        Spot::Gaussian => {
            let sigma_px = size.sqrt();
            let error = FWHM_PER_SIGMA * size_error / (2.0 * sigma_px);
            (
                Profile::Gaussian { sigma_px },
                FWHM_PER_SIGMA * sigma_px,
                error,
            )
        }
        Spot::Disc => (
            Profile::Disc { radius_px: size },
            2.0 * size,
            2.0 * size_error,
        ),
    };
    let weight: f64 = fit.stars.iter().map(|star| star.information).sum();
    let mean = |of: fn(&FittedStar) -> f64| {
        let sum: f64 = fit
            .stars
            .iter()
            .map(|star| star.information * of(star))
            .sum();
        sum / weight
    };
    StrokeMeasure {
        zone,
        at: PicturePoint {
            x_px: mean(|star| star.at.x_px),
            y_px: mean(|star| star.at.y_px),
        },
        stars: fit.stars.len(),
        length_px,
        length_error_px,
        // down is positive in the picture
        angle: Angle::from_radians(-fit.shape.downward()),
        angle_error: Angle::from_radians(angle_error),
        profile,
        width_px,
        width_error_px,
    }
}

/// Whether no other star of weight is in a star's window.
fn alone(star: &DetectedStar, list: &StarList, half_px: f64) -> bool {
    let reach = 1.2 * half_px;
    // fainter stars come later in the list
    list.stars
        .iter()
        .take_while(|other| other.flux > NEIGHBOUR_SHARE * star.flux)
        .all(|other| {
            let (dx, dy) = (other.at.x_px - star.at.x_px, other.at.y_px - star.at.y_px);
            (dx == 0.0 && dy == 0.0) || dx.abs() > reach || dy.abs() > reach
        })
}

/// A star with the background of its window's border; `None` too near the picture's edge.
fn fitted_star(picture: &Picture, star: &DetectedStar, half: usize) -> Option<FittedStar> {
    let (x, y) = (star.at.x_px.floor() as usize, star.at.y_px.floor() as usize);
    let inside = x >= half && y >= half && x + half < picture.width && y + half < picture.height;
    if !inside {
        return None;
    }
    let mut border = Vec::with_capacity(8 * half);
    for row in [y - half, y + half] {
        border.extend(&picture.row(row)[x - half..=x + half]);
    }
    for row in y - half + 1..y + half {
        border.extend([picture.row(row)[x - half], picture.row(row)[x + half]]);
    }
    let (level, noise) = median_and_noise(&mut border);
    Some(FittedStar {
        at: star.at,
        flux: star.flux,
        level: f64::from(level),
        noise: f64::from(noise),
        misfit: 0.0,
        information: 0.0,
    })
}

/// Median variance tensor of the strokes by the stars' moments.
fn tensor_of(stars: &[&DetectedStar]) -> (f64, f64) {
    let part = |of: fn(f64) -> f64| {
        median_of(stars, |star| {
            let excess = star.long_px * star.long_px - star.wide_px * star.wide_px;
            excess * of(-2.0 * star.angle.radians())
        })
    };
    (part(f64::cos).unwrap_or(0.0), part(f64::sin).unwrap_or(0.0))
}

fn median_of(stars: &[&DetectedStar], value: impl Fn(&DetectedStar) -> f64) -> Option<f64> {
    median_f64(stars.iter().map(|star| value(star)).collect())
}

fn median_f64(mut values: Vec<f64>) -> Option<f64> {
    values.sort_unstable_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}
