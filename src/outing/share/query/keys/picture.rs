//! Keys of the picture: aperture, sharpness, framing, focus and exposure.

use super::{Key, by, set, set_some, unless};
use crate::angle::Angle;
use crate::camera::focus::Focus;
use crate::camera::frame::Frame;
use crate::camera::sharpness::{Sharpness, Viewing};
use crate::decimal::plain;
use crate::outing::plan::bounds::{self, Bounds};
use crate::outing::plan::{KeepSharp, Orientation, Outing, STACK_MIN, SUBJECT_BRIGHTNESS};

/// Does not compile when a field is added: give it a key in one of the files of this
/// folder, then name it here.
const _: fn(Outing, Frame, Viewing) = |outing, frame, seen| {
    let Outing {
        site: _,
        subject: _,
        limits: _,
        night: _,
        minute: _,
        kit: _,
        f_number: _,
        sharpness: _,
        keep_sharp: _,
        orientation: _,
        frame: _,
        focus: _,
        support: _,
        mount: _,
        iso: _,
        stack_min: _,
        subject_brightness: _,
        weather: _,
    } = outing;
    let Frame {
        bearing: _,
        tilt: _,
        roll: _,
    } = frame;
    let Viewing {
        width_cm: _,
        distance_cm: _,
    } = seen;
};

/// Aperture, sharpness, and the place that must stay sharp.
pub const SHARPNESS: &[Key] = &[
    // F-number in use. Always written.
    Key::new(
        "f",
        |outing| Some(plain(outing.f_number)),
        |outing, text| set(&mut outing.f_number, bounds::F_NUMBER.read(text)),
    ),
    // `2`, `pixel`, `3.5px`, `print60x100`, `screen34x60` (width x distance, cm). Always
    // written.
    Key::new(
        "sharp",
        |outing| Some(sharpness_text(outing.sharpness)),
        |outing, text| set(&mut outing.sharpness, sharpness(text)),
    ),
    // `core` (the subject, whichever it is), `frame`, `centre`, `dec-29`. Always written.
    Key::new(
        "keep",
        |outing| Some(keep_sharp_text(outing.keep_sharp)),
        |outing, text| set(&mut outing.keep_sharp, keep_sharp(text)),
    ),
    // `upright`. Left out: level.
    Key::new(
        "held",
        |outing| match outing.orientation {
            Orientation::Landscape => None,
            Orientation::Portrait => Some("upright".to_owned()),
        },
        |outing, text| {
            outing.orientation = match text {
                "level" => Orientation::Landscape,
                "upright" => Orientation::Portrait,
                _ => return Err("must be level or upright".to_owned()),
            };
            Ok(())
        },
    ),
];

/// Focus.
pub const FOCUS: &[Key] = &[
    // `hyperfocal`, `12m`. Left out: on the stars.
    Key::new(
        "focus",
        |outing| match outing.focus {
            Focus::Stars => None,
            Focus::Hyperfocal => Some("hyperfocal".to_owned()),
            Focus::At(metres) => Some(format!("{}m", plain(metres))),
        },
        |outing, text| {
            outing.focus = match text {
                "stars" => Focus::Stars,
                "hyperfocal" => Focus::Hyperfocal,
                metres => Focus::At(bounds::FOCUS_M.read(metres)?),
            };
            Ok(())
        },
    ),
];

/// Where the camera points.
pub const FRAME: &[Key] = &[
    // Where the camera points, bearing, tilt, roll: `171_12_0`. Left out: at the subject.
    Key::new(
        "aim",
        |outing| outing.frame.map(frame_text),
        |outing, text| set_some(&mut outing.frame, frame(text)),
    ),
];

/// Subject, ISO and time on the sky.
pub const EXPOSURE: &[Key] = &[
    // The subject by itself, mag/arcsec². Left out: 23.
    Key::new(
        "glow",
        |outing| unless(SUBJECT_BRIGHTNESS, outing.subject_brightness),
        |outing, text| {
            let brightness = bounds::SUBJECT_BRIGHTNESS.read(text);
            set(&mut outing.subject_brightness, brightness)
        },
    ),
    // ISO chosen. Left out: the suggested one.
    Key::new(
        "iso",
        |outing| outing.iso.map(plain),
        |outing, text| set_some(&mut outing.iso, bounds::ISO.read(text)),
    ),
    // Time on the sky in all, minutes. Left out: 10.
    Key::new(
        "mins",
        |outing| unless(STACK_MIN, outing.stack_min),
        |outing, text| set(&mut outing.stack_min, bounds::STACK_MIN.read(text)),
    ),
];

fn sharpness_text(sharpness: Sharpness) -> String {
    match sharpness {
        Sharpness::CloseLook => "2".to_owned(),
        Sharpness::EveryPixel => "pixel".to_owned(),
        Sharpness::Pixels(pixels) => format!("{}px", plain(pixels)),
        Sharpness::Print(seen) => format!("print{}", seen_text(seen)),
        Sharpness::Screen(seen) => format!("screen{}", seen_text(seen)),
    }
}

fn sharpness(text: &str) -> Result<Sharpness, String> {
    if let Some(size) = text.strip_prefix("print") {
        return seen(size).map(Sharpness::Print);
    }
    if let Some(size) = text.strip_prefix("screen") {
        return seen(size).map(Sharpness::Screen);
    }
    match text {
        "2" => Ok(Sharpness::CloseLook),
        "pixel" => Ok(Sharpness::EveryPixel),
        pixels => bounds::TRAIL_PX.read(pixels).map(Sharpness::Pixels),
    }
}

/// Width of a picture and viewing distance: `90x150`.
fn seen_text(seen: Viewing) -> String {
    format!("{}x{}", plain(seen.width_cm), plain(seen.distance_cm))
}

/// Reads what [`seen_text`] writes.
fn seen(text: &str) -> Result<Viewing, String> {
    let (width, from) = by(text)?;
    Ok(Viewing {
        width_cm: bounds::PICTURE_CM.read(width)?,
        distance_cm: bounds::EYE_CM.read(from)?,
    })
}

fn keep_sharp_text(keep_sharp: KeepSharp) -> String {
    match keep_sharp {
        KeepSharp::Core => "core".to_owned(),
        KeepSharp::WholeFrame => "frame".to_owned(),
        KeepSharp::Centre => "centre".to_owned(),
        KeepSharp::Declination(angle) => format!("dec{}", plain(angle.degrees())),
    }
}

fn keep_sharp(text: &str) -> Result<KeepSharp, String> {
    if let Some(degrees) = text.strip_prefix("dec") {
        let angle = bounds::DECLINATION.read_angle(degrees)?;
        return Ok(KeepSharp::Declination(angle));
    }
    match text {
        "core" => Ok(KeepSharp::Core),
        "frame" => Ok(KeepSharp::WholeFrame),
        "centre" => Ok(KeepSharp::Centre),
        _ => Err("must be core, frame, centre or dec and degrees".to_owned()),
    }
}

/// Bearing, tilt and roll: `171.5_-12.25_2`, in degrees.
fn frame_text(frame: Frame) -> String {
    let angles = [frame.bearing, frame.tilt, frame.roll];
    angles.map(|angle: Angle| plain(angle.degrees())).join("_")
}

/// Reads what [`frame_text`] writes.
fn frame(text: &str) -> Result<Frame, String> {
    let mut angles = text.split('_');
    let mut next = |bounds: Bounds| bounds.read_angle(angles.next().unwrap_or_default());
    Ok(Frame {
        bearing: next(bounds::BEARING)?,
        tilt: next(bounds::TILT)?,
        roll: next(bounds::ROLL)?,
    })
}
