//! Writes each part of an outing under its key.

use crate::angle::Angle;
use crate::camera::focus::Focus;
use crate::camera::lens::{Lens, Projection, StarWidth};
use crate::camera::sharpness::{Seen, Sharpness};
use crate::decimal::{self, plain};
use crate::land::ridge::RidgeLine;
use crate::light::brightness::DARK_ZENITH_V;
use crate::light::tracking::{Mount, Rate};
use crate::outing::night::local_time::written_date;
use crate::outing::plan::camera_body::CameraBody;
use crate::outing::plan::kit::Kit;
use crate::outing::plan::limits::{Limits, MoonLimit};
use crate::outing::plan::site::{Site, Zone};
use crate::outing::plan::{KeepSharp, Orientation, Outing, STACK_MIN, SUBJECT_BRIGHTNESS, Support};
use crate::outing::share::query::{LONGEST_NAME, projection_word};

/// What is written for one key.
type Put<'a> = &'a mut dyn FnMut(&str, String);

/// Writes all of it.
pub fn all(outing: &Outing, put: Put) {
    let Site {
        name: place,
        latitude,
        longitude,
        height_m,
        zone,
        ridge,
        sky_brightness,
        extinction_mag,
    } = &outing.site;
    put("lat", plain(latitude.degrees()));
    unless_zero("lon", longitude.degrees(), put);
    let Kit {
        name,
        sensor,
        lens,
        body,
    } = &outing.kit;
    put(
        "sensor",
        format!("{}x{}", plain(sensor.width_mm), plain(sensor.height_mm)),
    );
    put(
        "px",
        format!("{}x{}", sensor.pixels_across, sensor.pixels_down),
    );
    put("mm", plain(lens.focal_mm));
    put("f", plain(outing.f_number));
    match outing.sharpness {
        Sharpness::CloseLook => put("sharp", "2".to_owned()),
        Sharpness::EveryPixel => put("sharp", "pixel".to_owned()),
        Sharpness::Pixels(pixels) => put("sharp", format!("{}px", plain(pixels))),
        Sharpness::Print(seen) => put("sharp", seen_text("print", seen)),
        Sharpness::Screen(seen) => put("sharp", seen_text("screen", seen)),
    }
    match outing.keep_sharp {
        KeepSharp::Core => put("keep", "core".to_owned()),
        KeepSharp::WholeFrame => put("keep", "frame".to_owned()),
        KeepSharp::Centre => put("keep", "centre".to_owned()),
        KeepSharp::Declination(angle) => put("keep", format!("dec{}", plain(angle.degrees()))),
    }
    if outing.orientation == Orientation::Portrait {
        put("held", "upright".to_owned());
    }
    if lens.projection != Projection::Rectilinear {
        put("lens", projection_word(lens.projection).to_owned());
    }
    if plain(lens.f_number) != plain(outing.f_number) {
        put("widest", plain(lens.f_number));
    }
    match outing.focus {
        Focus::Stars => {}
        Focus::Hyperfocal => put("focus", "hyperfocal".to_owned()),
        Focus::At(metres) => put("focus", format!("{}m", plain(metres))),
    }
    unless_zero("high", *height_m, put);
    if *zone != Zone::Fixed(0) {
        put("zone", zone.written());
    }
    if !place.is_empty() {
        put("place", place.chars().take(LONGEST_NAME).collect());
    }
    unless_zero("ridge", ridge.all_round().degrees(), put);
    if !ridge.sightings().is_empty() {
        put("line", line_text(ridge));
    }
    if ridge.opened().next().is_some() {
        put("gaps", gaps_text(ridge));
    }
    if let Some(frame) = outing.frame {
        let turns = [frame.bearing, frame.tilt, frame.roll];
        put("aim", turns.map(|angle| plain(angle.degrees())).join("_"));
    }
    limits(&outing.limits, put);
    if let Some(date) = outing.night {
        put("night", written_date(date));
    }
    if let Some(minute) = outing.minute {
        put("minute", minute.to_string());
    }
    if !name.is_empty() {
        put("kit", name.chars().take(LONGEST_NAME).collect());
    }
    if plain(*sky_brightness) != plain(DARK_ZENITH_V) {
        put("dark", plain(*sky_brightness));
    }
    if let Some(extinction_mag) = extinction_mag {
        put("haze", plain(*extinction_mag));
    }
    light(outing, put);
    known_of_lens(lens, put);
    known_of_body(body, put);
}

/// What must hold for a shot window, where it is not the usual.
fn limits(limits: &Limits, put: Put) {
    let usual = Limits::default();
    if limits.darkness != usual.darkness {
        put("sun", limits.darkness.degrees().to_string());
    }
    let least_core = plain(limits.least_core.degrees());
    if least_core != plain(usual.least_core.degrees()) {
        put("least", least_core);
    }
    match limits.moon {
        MoonLimit::Harmless => {}
        MoonLimit::Any => put("moon", "any".to_owned()),
        MoonLimit::None => put("moon", "none".to_owned()),
    }
}

/// A number that is usually zero; what rounds to zero is.
fn unless_zero(key: &str, value: f64, put: Put) {
    let written = plain(value);
    if written != "0" {
        put(key, written);
    }
}

/// Light, frames and weather.
fn light(outing: &Outing, put: Put) {
    if plain(outing.subject_brightness) != plain(SUBJECT_BRIGHTNESS) {
        put("glow", plain(outing.subject_brightness));
    }
    if let Some(iso) = outing.iso {
        put("iso", plain(iso));
    }
    if plain(outing.stack_min) != plain(STACK_MIN) {
        put("mins", plain(outing.stack_min));
    }
    if outing.support == Support::Tracker {
        put("on", "tracker".to_owned());
    }
    if outing.mount != Mount::default() {
        let mount = outing.mount;
        let rate = match mount.rate {
            Rate::Sidereal => "full",
            Rate::Half => "half",
        };
        let arcmin = |angle: Angle| plain(angle.degrees() * 60.0);
        let errors = [
            arcmin(mount.azimuth_error),
            arcmin(mount.altitude_error),
            plain(mount.periodic.degrees() * 3600.0),
            plain(mount.period_s),
            rate.to_owned(),
        ];
        put("tracker", errors.join("_"));
    }
    if let Some(weather) = outing.weather {
        let (degrees, humid) = (plain(weather.celsius), plain(weather.humidity_percent));
        put("air", format!("{degrees}_{humid}"));
    }
}

/// What its owner knows of a lens beyond what is written on it.
fn known_of_lens(lens: &Lens, put: Put) {
    let pair = |one: f64, other: f64| format!("{}_{}", plain(one), plain(other));
    let distortion = pair(lens.distortion.k1, lens.distortion.k2);
    if distortion != "0_0" {
        put("distort", distortion);
    }
    if let Some(StarWidth {
        centre_px,
        corner_px,
    }) = lens.star_width
    {
        put("star", pair(centre_px, corner_px));
    }
    if let Some(stops) = lens.corner_falloff_stops {
        put("falloff", plain(stops));
    }
}

/// What its owner knows of a body.
fn known_of_body(body: &CameraBody, put: Put) {
    let percent = |share: f64| 100.0 * share;
    let known = [
        ("qe", body.quantum.map(percent)),
        ("glass", body.transmitted.map(percent)),
        ("warm", body.dark_e_s),
        ("well", body.full_well_e),
        ("mb", body.file_mb),
        ("write", body.write_s),
        ("charge", body.charge_min),
    ];
    for (key, value) in known {
        if let Some(value) = value {
            put(key, plain(value));
        }
    }
    if !body.read_noise.is_empty() {
        let mut text = String::new();
        for (iso, noise_e) in &body.read_noise {
            if !text.is_empty() {
                text.push('_');
            }
            text += &plain(*iso);
            text.push('*');
            text += &plain(*noise_e);
        }
        put("noise", text);
    }
}

/// A ridge line's sightings: `150*8.5_165.5*3`, in degrees.
fn line_text(ridge: &RidgeLine) -> String {
    let mut text = String::new();
    for held in ridge.sightings() {
        if !text.is_empty() {
            text.push('_');
        }
        decimal::put(&mut text, held.bearing.degrees(), 2);
        text.push('*');
        decimal::put(&mut text, held.height.degrees(), 2);
    }
    text
}

/// The bearings of sightings from which to the next nothing is known: `165.50_290.25`.
fn gaps_text(ridge: &RidgeLine) -> String {
    let mut text = String::new();
    for held in ridge.opened() {
        if !text.is_empty() {
            text.push('_');
        }
        decimal::put(&mut text, held.bearing.degrees(), 2);
    }
    text
}

fn seen_text(word: &str, seen: Seen) -> String {
    format!("{word}{}x{}", plain(seen.width_cm), plain(seen.from_cm))
}
