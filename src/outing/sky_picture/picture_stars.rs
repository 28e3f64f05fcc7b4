//! Stars in a picture.

use std::sync::OnceLock;

use super::PictureStar;
use super::projection::{Projection, Slit, is_inside};
use super::sky_light::SkyLight;
use crate::angle::Angle;
use crate::light::visibility_limit::limiting_magnitude;
use crate::outing::night::site_sky::SiteSky;
use crate::sky::almanac::SkyBody;
use crate::sky::celestial_to_horizontal::refract;
use crate::sky::night::Night;
use crate::sky::stars::{Star, stars};
use crate::vector::Vector;

static STARS: OnceLock<Vec<Star>> = OnceLock::new();

/// The stars down to a magnitude, bright ones first.
fn bright(faintest: f64) -> impl Iterator<Item = &'static Star> {
    let all = STARS.get_or_init(|| stars().collect());
    all.iter()
        .take_while(move |star| star.magnitude <= faintest)
}

/// How finely a slit's stars are searched for, and the most steps.
const SEARCH_STEP_MINUTES: f64 = 15.0;
const MOST_STEPS: f64 = 200.0;

/// A star that a sky shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VisibleStar {
    /// Apparent direction in east, north, up.
    pub direction: Vector,
    /// Magnitude after extinction.
    pub magnitude: f64,
}

/// A star at an apparent direction, if it is above the horizon and this sky shows it.
fn seen(sky: &SkyLight<'_>, apparent: Vector, (magnitude, faintest): (f64, f64)) -> Option<f64> {
    let altitude = Angle::from_radians(apparent.z.atan2(apparent.x.hypot(apparent.y)));
    if altitude < Angle::ZERO {
        return None;
    }
    // magnitudes and their limit are those overhead, where a magnitude's worth of air is in both
    let overhead = sky.lost_mag(Angle::from_degrees(90.0));
    let magnitude = magnitude + sky.lost_mag(altitude) - overhead;
    if magnitude > faintest {
        return None;
    }
    let limit = limiting_magnitude(sky.background(apparent)?);
    (magnitude <= limit).then_some(magnitude)
}

/// The stars that a sky shows, down to a magnitude after extinction; bright ones first.
pub fn visible(site_sky: &SiteSky, sky: &SkyLight<'_>, faintest: f64) -> Vec<VisibleStar> {
    let shown = bright(faintest).filter_map(|star| {
        let enu = sky.to_horizontal.apply(star.direction);
        // refraction lifts by no more than 2°
        if enu.z < -0.03 {
            return None;
        }
        let direction = refract(site_sky.air(), enu);
        let magnitude = seen(sky, direction, (star.magnitude, faintest))?;
        Some(VisibleStar {
            direction,
            magnitude,
        })
    });
    shown.collect()
}

/// Those of them down to a magnitude that are in a projection.
pub fn in_projection(
    visible: &[VisibleStar],
    projection: &Projection,
    faintest: f64,
) -> Vec<PictureStar> {
    let bright_enough = visible.iter().filter(|star| star.magnitude <= faintest);
    let placed = bright_enough.filter_map(|star| {
        let (x, y) = projection.place_of(star.direction)?;
        Some(PictureStar {
            x: x as f32,
            y: y as f32,
            magnitude: star.magnitude as f32,
        })
    });
    placed.collect()
}

/// The stars that pass a slit: each where its bearing is the core's.
pub fn in_slit(
    site_sky: &SiteSky,
    night: &Night<'_>,
    slit: &Slit,
    faintest: f64,
) -> Vec<PictureStar> {
    let steps = slit.span.minutes() / SEARCH_STEP_MINUTES;
    // NaN counts as 1
    let steps = if steps > 1.0 {
        steps.min(MOST_STEPS).ceil()
    } else {
        1.0
    };
    let skies: Vec<_> = (0..=steps as usize)
        .map(|step| {
            let x = step as f64 / steps;
            let at = slit.time_at(x);
            let core = night.topocentric(SkyBody::Subject, at).horizontal();
            let towards = Vector::from_bearing(core.bearing, Angle::ZERO);
            (x, SkyLight::new(site_sky, night, at), towards)
        })
        .collect();
    let mut found = Vec::new();
    for star in bright(faintest) {
        let mut before: Option<(f64, Vector)> = None;
        for (index, (_, sky, towards)) in skies.iter().enumerate() {
            let enu = sky.to_horizontal.apply(star.direction);
            // to the left of the slit or to the right
            let aside = enu.x * towards.y - enu.y * towards.x;
            if let Some((aside_before, enu_before)) = before
                && (aside_before < 0.0) != (aside < 0.0)
                && enu.x * towards.x + enu.y * towards.y > 0.0
            {
                let way = aside_before / (aside_before - aside);
                let between = enu_before.times(1.0 - way).plus(enu.times(way));
                let apparent = refract(site_sky.air(), between);
                let altitude = apparent.z.atan2(apparent.x.hypot(apparent.y));
                let place = ((index as f64 - 1.0 + way) / steps, slit.height_of(altitude));
                let star = (star.magnitude, faintest);
                if is_inside(place)
                    && let Some(magnitude) = seen(sky, apparent, star)
                {
                    found.push(PictureStar {
                        x: place.0 as f32,
                        y: place.1 as f32,
                        magnitude: magnitude as f32,
                    });
                }
            }
            before = Some((aside, enu));
        }
    }
    found
}
