//! Reads each key of an outing, or says what is wrong with it.

use crate::angle::Angle;
use crate::camera::focus::Focus;
use crate::camera::frame::Frame;
use crate::camera::lens::{Projection, StarWidth};
use crate::camera::sharpness::{Seen, Sharpness};
use crate::land::ridge::Sighting;
use crate::light::tracking::{Mount, Rate};
use crate::outing::night::local_time::read_date;
use crate::outing::plan::bounds::{self, Bounds};
use crate::outing::plan::camera_body::CameraBody;
use crate::outing::plan::limits::{DarknessLimit, MoonLimit};
use crate::outing::plan::site::Zone;
use crate::outing::plan::{KeepSharp, Orientation, Outing, Support, Weather};
use crate::outing::share::query::{LONGEST_NAME, projection_word};

/// What is said of a key that is not known.
pub const UNKNOWN: &str = "means nothing here";

/// Reads one key into the outing, or says what is wrong with it.
pub fn one(outing: &mut Outing, key: &str, value: &str) -> Result<(), String> {
    match key {
        "lat" => outing.site.latitude = bounds::LATITUDE.read_angle(value)?,
        "lon" => outing.site.longitude = bounds::LONGITUDE.read_longitude(value)?,
        "high" => outing.site.height_m = bounds::SITE_HEIGHT_M.read(value)?,
        "zone" => outing.site.zone = Zone::read(value)?,
        "place" => outing.site.name = value.chars().take(LONGEST_NAME).collect(),
        "ridge" => {
            let level = bounds::RIDGE.read_angle(value)?;
            outing.site.ridge = outing.site.ridge.at_level(level);
        }
        "line" => {
            for point in value.split('_') {
                outing.site.ridge.take(sighting(point)?);
            }
        }
        "gaps" => {
            for bearing in value.split('_') {
                let bearing = Angle::from_degrees(bounds::BEARING.read(bearing)?);
                if !outing.site.ridge.open_after(bearing) {
                    return Err("must be bearings of the line".to_owned());
                }
            }
        }
        "aim" => outing.frame = Some(frame(value)?),
        "moon" => {
            outing.limits.moon = match value {
                "any" => MoonLimit::Any,
                "harmless" => MoonLimit::Harmless,
                "none" => MoonLimit::None,
                _ => return Err("must be any, harmless or none".to_owned()),
            }
        }
        "sun" => {
            let limit = value.parse().ok().and_then(DarknessLimit::from_degrees);
            outing.limits.darkness = limit.ok_or("must be 12, 15 or 18")?;
        }
        "least" => outing.limits.least_core = bounds::LEAST_CORE.read_angle(value)?,
        "night" => outing.night = Some(read_date(value)?),
        "minute" => outing.minute = Some(minute(value)?),
        "sensor" => {
            let (width, height) = two(value)?;
            let size = bounds::SENSOR_MM;
            let (width, height) = (size.read(width)?, size.read(height)?);
            (outing.kit.sensor.width_mm, outing.kit.sensor.height_mm) = (width, height);
        }
        "px" => {
            let (across, down) = two(value)?;
            let side = bounds::SIDE_PX;
            let (across, down) = (side.read_whole(across)?, side.read_whole(down)?);
            (
                outing.kit.sensor.pixels_across,
                outing.kit.sensor.pixels_down,
            ) = (across, down);
        }
        "mm" => outing.kit.lens.focal_mm = bounds::FOCAL_MM.read(value)?,
        "f" => outing.f_number = bounds::F_NUMBER.read(value)?,
        "sharp" => outing.sharpness = sharpness(value)?,
        "keep" => outing.keep_sharp = keep_sharp(value)?,
        "held" => {
            outing.orientation = match value {
                "level" => Orientation::Landscape,
                "upright" => Orientation::Portrait,
                _ => return Err("must be level or upright".to_owned()),
            }
        }
        "lens" => {
            let named = |projection: &Projection| projection_word(*projection) == value;
            let found = Projection::ALL.into_iter().find(named);
            outing.kit.lens.projection =
                found.ok_or("must be rectilinear, equisolid, equidistant or stereographic")?;
        }
        "distort" => {
            let (k1, k2) = pair(value, "-0.03_0.01")?;
            let (k1, k2) = (bounds::K1.read(k1)?, bounds::K2.read(k2)?);
            outing.kit.lens.distortion = bounds::distortion(k1, k2)?;
        }
        "star" => {
            let (centre, corner) = pair(value, "1.5_2.5")?;
            outing.kit.lens.star_width = Some(StarWidth {
                centre_px: bounds::STAR_PX.read(centre)?,
                corner_px: bounds::STAR_PX.read(corner)?,
            });
        }
        "falloff" => {
            outing.kit.lens.corner_falloff_stops = Some(bounds::FALLOFF_STOPS.read(value)?);
        }
        "focus" => {
            outing.focus = match value {
                "stars" => Focus::Stars,
                "hyperfocal" => Focus::Hyperfocal,
                metres => Focus::At(bounds::FOCUS_M.read(metres)?),
            }
        }
        "kit" => outing.kit.name = value.chars().take(LONGEST_NAME).collect(),
        "dark" => outing.site.sky_brightness = bounds::SKY_BRIGHTNESS.read(value)?,
        "haze" => outing.site.extinction_mag = Some(bounds::EXTINCTION.read(value)?),
        "glow" => outing.subject_brightness = bounds::SUBJECT_BRIGHTNESS.read(value)?,
        "iso" => outing.iso = Some(bounds::ISO.read(value)?),
        "mins" => outing.stack_min = bounds::STACK_MIN.read(value)?,
        "on" => {
            outing.support = match value {
                "tripod" => Support::Tripod,
                "tracker" => Support::Tracker,
                _ => return Err("must be tripod or tracker".to_owned()),
            }
        }
        "tracker" => outing.mount = mount(value)?,
        "air" => outing.weather = Some(weather(value)?),
        _ => return known_of_body(&mut outing.kit.body, key, value),
    }
    Ok(())
}

/// Reads one key into what is known of a body.
fn known_of_body(body: &mut CameraBody, key: &str, value: &str) -> Result<(), String> {
    let share = |bounds: Bounds| bounds.read(value).map(|percent| Some(percent / 100.0));
    match key {
        "qe" => body.quantum = share(bounds::QUANTUM)?,
        "glass" => body.transmitted = share(bounds::TRANSMITTED)?,
        "warm" => body.dark_e_s = Some(bounds::DARK_E_S.read(value)?),
        "well" => body.full_well_e = Some(bounds::FULL_WELL_E.read(value)?),
        "mb" => body.file_mb = Some(bounds::FILE_MB.read(value)?),
        "write" => body.write_s = Some(bounds::WRITE_S.read(value)?),
        "charge" => body.charge_min = Some(bounds::CHARGE_MIN.read(value)?),
        "noise" => {
            for pair in value.split('_') {
                let message = "must be ISOs and electrons such as 1600*2.5_6400*2";
                let (iso, noise_e) = pair.split_once('*').ok_or(message)?;
                let (iso, noise_e) = (bounds::ISO.read(iso)?, bounds::READ_NOISE_E.read(noise_e)?);
                body.take_noise(iso, noise_e);
            }
        }
        _ => return Err(UNKNOWN.to_owned()),
    }
    Ok(())
}

/// Errors at the pole in arcminutes, the swing in arcseconds, its period, the rate.
fn mount(value: &str) -> Result<Mount, String> {
    let mut parts = value.split('_');
    let mut next = |bounds: Bounds| bounds.read(parts.next().unwrap_or_default());
    let (azimuth, altitude) = (next(bounds::POLAR_ERROR)?, next(bounds::POLAR_ERROR)?);
    let (periodic, period_s) = (next(bounds::PERIODIC)?, next(bounds::PERIOD_S)?);
    Ok(Mount {
        azimuth_error: Angle::from_degrees(azimuth / 60.0),
        altitude_error: Angle::from_degrees(altitude / 60.0),
        periodic: Angle::from_degrees(periodic / 3600.0),
        period_s,
        rate: match parts.next() {
            Some("full") => Rate::Sidereal,
            Some("half") => Rate::Half,
            _ => return Err("must end with full or half".to_owned()),
        },
    })
}

/// Temperature and humidity.
fn weather(value: &str) -> Result<Weather, String> {
    let parts = value.split_once('_');
    let (degrees, humid) = parts.ok_or("must be degrees and percent such as 10_85")?;
    Ok(Weather {
        celsius: bounds::CELSIUS.read(degrees)?,
        humidity_percent: bounds::HUMIDITY.read(humid)?,
    })
}

fn sighting(text: &str) -> Result<Sighting, String> {
    let (bearing, height) = text
        .split_once('*')
        .ok_or("must be bearings and heights such as 150*8.5_165*3")?;
    Ok(Sighting {
        bearing: bounds::BEARING.read_angle(bearing)?,
        height: bounds::SIGHTED.read_angle(height)?,
    })
}

/// Bearing, tilt and roll.
fn frame(value: &str) -> Result<Frame, String> {
    let mut turns = value.split('_');
    let mut next = |bounds: Bounds| bounds.read_angle(turns.next().unwrap_or_default());
    Ok(Frame {
        bearing: next(bounds::BEARING)?,
        tilt: next(bounds::TILT)?,
        roll: next(bounds::ROLL)?,
    })
}

fn minute(value: &str) -> Result<u16, String> {
    let minute = bounds::NIGHT_MINUTE.read_whole(value)?;
    Ok(u16::try_from(minute).unwrap_or(0))
}

fn sharpness(value: &str) -> Result<Sharpness, String> {
    if let Some(seen) = value.strip_prefix("print") {
        return Ok(Sharpness::Print(seen_from(seen)?));
    }
    if let Some(seen) = value.strip_prefix("screen") {
        return Ok(Sharpness::Screen(seen_from(seen)?));
    }
    match value {
        "2" => Ok(Sharpness::CloseLook),
        "pixel" => Ok(Sharpness::EveryPixel),
        pixels => bounds::TRAIL_PX.read(pixels).map(Sharpness::Pixels),
    }
}

fn keep_sharp(value: &str) -> Result<KeepSharp, String> {
    if let Some(degrees) = value.strip_prefix("dec") {
        let angle = bounds::DECLINATION.read_angle(degrees)?;
        return Ok(KeepSharp::Declination(angle));
    }
    match value {
        "core" => Ok(KeepSharp::Core),
        "frame" => Ok(KeepSharp::WholeFrame),
        "centre" => Ok(KeepSharp::Centre),
        _ => Err("must be core, frame, centre or dec and degrees".to_owned()),
    }
}

/// Two values parted by an underscore.
fn pair<'a>(value: &'a str, such_as: &str) -> Result<(&'a str, &'a str), String> {
    value
        .split_once('_')
        .ok_or_else(|| format!("must be two numbers such as {such_as}"))
}

/// Two values parted by an x.
fn two(value: &str) -> Result<(&str, &str), String> {
    value
        .split_once('x')
        .ok_or_else(|| "must be two numbers such as 36x24".to_owned())
}

fn seen_from(value: &str) -> Result<Seen, String> {
    let (width, from) = two(value)?;
    Ok(Seen {
        width_cm: bounds::PICTURE_CM.read(width)?,
        from_cm: bounds::EYE_CM.read(from)?,
    })
}
