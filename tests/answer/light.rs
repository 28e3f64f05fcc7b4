//! Questions about light: the sky, electrons in a pixel, noise, a tracker.

use serde_json::{Value, json};
use tarnlight::angle::Angle;
use tarnlight::light::air::{air_mass, extinction};
use tarnlight::light::brightness::Surface;
use tarnlight::light::exposure::{middle_iso, placed, suggested_iso};
use tarnlight::light::moonlight::{MEAN_DISTANCE_KM, Moonlit};
use tarnlight::light::noise::{Frames, Rates};
use tarnlight::light::photons::Pixel;
use tarnlight::light::tracking::{Mount, Rate};
use tarnlight::light::tracking_residual::KEEP_FRACTION;
use tarnlight::light::twilight::Direction;
use tarnlight::vector::Vector;

use super::question::{Bad, angle, angle_or, at, bad, number, number_or, word};

/// Answers a question about the brightness of the sky.
pub fn sky(question: &Value) -> Result<Value, Bad> {
    let zenith = Surface::from_magnitude(number(question, "sky.zenith_v", -15.0, 40.0)?);
    let altitude = angle(question, "sky.alt_deg", 0.0, 90.0)?;
    let height_m = number_or(question, "sky.height_m", (-500.0, 9000.0), 0.0)?;
    let k = number_or(question, "sky.extinction", (0.0, 3.0), extinction(height_m))?;
    let with_moon = at(question, "sky.moon").is_some_and(|moon| !moon.is_null());
    let moon = |name: &str, least: f64, most: f64| {
        if with_moon {
            angle(question, &format!("sky.moon.{name}"), least, most)
        } else {
            Ok(Angle::ZERO)
        }
    };
    let moon_alt = moon("alt_deg", -90.0, 90.0)?;
    let moonlit = Moonlit {
        phase_angle: moon("phase_angle_deg", -180.0, 180.0)?,
        moon_zenith: if with_moon {
            Angle::from_degrees(90.0 - moon_alt.degrees())
        } else {
            Angle::from_degrees(180.0)
        },
        target_zenith: Angle::from_degrees(90.0 - altitude.degrees()),
        separation: moon("separation_deg", 0.0, 180.0)?,
        extinction: k,
        distance_km: number_or(
            question,
            "sky.moon.distance_km",
            (1e5, 1e6),
            MEAN_DISTANCE_KM,
        )?,
    };
    let sun_altitude = angle_or(question, "sky.sun_alt_deg", (-90.0, 90.0), -90.0)?;
    // square to the Sun's bearing where nothing else is said
    let square = Angle::from_radians((sun_altitude.sin() * altitude.sin()).acos());
    let from_sun = "sky.sun_separation_deg";
    let separation = angle_or(question, from_sun, (0.0, 180.0), square.degrees())?;
    let dark = moonlit.dark_sky(zenith);
    let twilight = Direction {
        sun_altitude,
        zenith_distance: moonlit.target_zenith,
        separation,
        extinction: k,
    }
    .twilight();
    let moonlight = moonlit.moonlight();
    let whole = twilight.map(|twilight| dark + twilight + moonlight);
    let masses = air_mass(altitude);
    Ok(json!({"sky": {
        "air_mass": masses,
        "extinction": k,
        "lost_mag": masses.map(|masses| k * masses),
        "dark_v": dark.magnitude(),
        "moonlight_v": moonlight.magnitude(),
        "moonlight_nl": moonlight.nanolamberts(),
        "moon_cost_mag": moonlit.cost(zenith),
        "twilight_v": twilight.and_then(Surface::magnitude),
        "sky_v": whole.and_then(Surface::magnitude),
        "sky_nl": whole.map(Surface::nanolamberts),
        "sky_cd_m2": whole.map(Surface::luminance_cd_m2),
    }}))
}

/// Answers a question about electrons, ISO and the histogram.
pub fn pixel(question: &Value) -> Result<Value, Bad> {
    let surface = Surface::from_magnitude(number(question, "pixel.surface_v", -15.0, 40.0)?);
    let pixel = Pixel {
        pitch_um: number(question, "pixel.pitch_um", 0.1, 1000.0)?,
        f_number: number(question, "pixel.f_number", 0.1, 1000.0)?,
        transmitted: number_or(question, "pixel.transmitted", (0.0, 1.0), 1.0)?,
        quantum: number_or(question, "pixel.quantum", (0.0, 1.0), 1.0)?,
    };
    let exposure_s = number_or(question, "pixel.exposure_s", (1e-6, 86_400.0), 1.0)?;
    let middle = middle_iso(surface.luminance_cd_m2(), pixel.f_number, exposure_s);
    let suggested = suggested_iso(middle);
    let iso = number_or(question, "pixel.iso", (1.0, 1e7), suggested.into())?;
    let place = placed(middle, iso);
    let electrons_s = pixel.electrons_s(surface);
    Ok(json!({"pixel": {
        "electrons_s": electrons_s,
        "electrons": electrons_s * exposure_s,
        "luminance_cd_m2": surface.luminance_cd_m2(),
        "middle_grey_iso": finite(middle),
        "suggested_iso": suggested,
        "iso": iso,
        "stops_from_middle_grey": finite(place.stops),
        "of_white": place.of_white,
        "in_histogram": place.in_histogram,
    }}))
}

/// Answers a question about signal and noise.
pub fn noise(question: &Value) -> Result<Value, Bad> {
    let rate = |name: &str| number(question, &format!("noise.{name}"), 0.0, 1e9);
    let rates = Rates {
        signal_e_s: rate("signal_e_s")?,
        sky_e_s: rate("sky_e_s")?,
        dark_e_s: number_or(question, "noise.dark_e_s", (0.0, 1e9), 0.0)?,
        read_noise_e: rate("read_noise_e")?,
    };
    let frames = Frames {
        count: number_or(question, "noise.frames", (0.0, 1e9), 1.0)?,
        each_s: number(question, "noise.each_s", 1e-6, 86_400.0)?,
    };
    let excess = number_or(question, "noise.excess", (1e-6, 100.0), 0.1)?;
    let against_s = number_or(question, "noise.against_s", (1e-6, 86_400.0), frames.each_s)?;
    let signal_to_noise = rates.signal_to_noise(frames);
    let wanted = number_or(question, "noise.wanted", (0.0, 1e9), signal_to_noise)?;
    Ok(json!({"noise": {
        "signal_to_noise": signal_to_noise,
        "long_enough_s": rates.long_enough_s(excess),
        "read_excess": finite(rates.read_excess(frames.each_s)),
        "time_penalty": rates.time_penalty(frames.each_s, against_s),
        "frames_to_match": rates.frames_to_match(wanted, frames.each_s),
    }}))
}

fn finite(number: f64) -> Option<f64> {
    number.is_finite().then_some(number)
}

/// Answers a question about what a tracker leaves.
pub fn tracker(question: &Value) -> Result<Value, Bad> {
    let part = |name: &str| format!("tracker.{name}");
    let degrees = |name: &str, least: f64, most: f64| angle(question, &part(name), least, most);
    let latitude = degrees("lat_deg", -90.0, 90.0)?;
    let there = Vector::towards(
        degrees("az_deg", -360.0, 720.0)?,
        degrees("alt_deg", -90.0, 90.0)?,
    );
    let star = Vector::new(there.y, there.x, there.z);
    let arcsec = |name: &str, most: f64| {
        let seconds = number(question, &part(name), 0.0, most)?;
        Ok::<_, Bad>(Angle::from_degrees(seconds / ARCSEC))
    };
    let rate = match word(question, &part("rate"))? {
        "full" => Rate::Sidereal,
        "half" => Rate::Half,
        _ => return Err(bad(&part("rate"), "must be full or half")),
    };
    let mount = Mount {
        azimuth_error: degrees("azimuth_error_deg", -10.0, 10.0)?,
        altitude_error: degrees("altitude_error_deg", -10.0, 10.0)?,
        periodic: arcsec("periodic_arcsec", 3600.0)?,
        period_s: number(question, &part("period_s"), 10.0, 20_000.0)?,
        rate,
    };
    let exposure_s = number(question, &part("exposure_s"), 0.001, 3600.0)?;
    let phase = degrees("phase_deg", -360.0, 360.0)?;
    let allowed = arcsec("allowed_arcsec", 36_000.0)?;
    let share = number_or(question, &part("share"), (0.01, 1.0), KEEP_FRACTION)?;
    let left = mount.left(latitude, star, rate);
    let message = |radians: f64| radians.to_degrees() * ARCSEC;
    Ok(json!({"tracker": {
        "polar_error_deg": mount.polar_error(latitude).degrees(),
        "along_arcsec_s": message(left.along_rad_s),
        "across_arcsec_s": message(left.across_rad_s),
        "swing_arcsec": message(left.swing_rad),
        "field_turn_deg_min": mount.field_turn_rad_s(latitude, star, rate).to_degrees() * 60.0,
        "trail_arcsec": message(left.trail(exposure_s, phase).radians()),
        "kept": left.kept(exposure_s, allowed),
        "trail_kept_arcsec": message(left.trail_kept(exposure_s, share).radians()),
        "longest_s": left.longest_s(allowed, share),
    }}))
}

/// Arcseconds in a degree.
const ARCSEC: f64 = 3600.0;
