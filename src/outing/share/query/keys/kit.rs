//! Keys of body and lens, and of their measured properties.

use super::{Key, by, cut_name, name_text, pair, pair_text, set, set_some, unless};
use crate::camera::distortion::Distortion;
use crate::camera::lens::{Lens, Projection, StarWidth};
use crate::camera::sensor::Sensor;
use crate::decimal::plain;
use crate::outing::night::local_time::{format_date, read_date};
use crate::outing::plan::bounds::{self, Bounds};
use crate::outing::plan::camera_body::{CameraBody, CameraClock};
use crate::outing::plan::kit::Kit;
use crate::outing::share::query::projection_word;

/// Does not compile when a field is added: give it a key below, then name it here.
const _: fn(Kit) = |kit| {
    let Kit {
        name: _,
        sensor:
            Sensor {
                width_mm: _,
                height_mm: _,
                pixels_across: _,
                pixels_down: _,
            },
        lens:
            Lens {
                focal_mm: _,
                f_number: _,
                projection: _,
                distortion: Distortion { k1: _, k2: _ },
                star_width: _,
                corner_falloff_stops: _,
            },
        body:
            CameraBody {
                quantum: _,
                transmitted: _,
                read_noise: _,
                dark_e_s: _,
                full_well_e: _,
                file_mb: _,
                write_s: _,
                charge_min: _,
                clock: _,
            },
    } = kit;
};

/// Sensor and focal length.
pub const SENSOR_AND_FOCAL_LENGTH: &[Key] = &[
    // Width x height, mm. Always written.
    Key::new(
        "sensor",
        |outing| {
            let sensor = outing.kit.sensor;
            let (width, height) = (plain(sensor.width_mm), plain(sensor.height_mm));
            Some(format!("{width}x{height}"))
        },
        |outing, text| {
            let (width, height) = by(text)?;
            let side = bounds::SENSOR_MM;
            let (width, height) = (side.read(width)?, side.read(height)?);
            let sensor = &mut outing.kit.sensor;
            (sensor.width_mm, sensor.height_mm) = (width, height);
            Ok(())
        },
    ),
    // Pixels across x down. Always written.
    Key::new(
        "px",
        |outing| {
            let sensor = outing.kit.sensor;
            Some(format!("{}x{}", sensor.pixels_across, sensor.pixels_down))
        },
        |outing, text| {
            let (across, down) = by(text)?;
            let side = bounds::SIDE_PX;
            let (across, down) = (side.read_whole(across)?, side.read_whole(down)?);
            let sensor = &mut outing.kit.sensor;
            (sensor.pixels_across, sensor.pixels_down) = (across, down);
            Ok(())
        },
    ),
    // Focal length. Always written.
    Key::new(
        "mm",
        |outing| Some(plain(outing.kit.lens.focal_mm)),
        |outing, text| set(&mut outing.kit.lens.focal_mm, bounds::FOCAL_MM.read(text)),
    ),
];

/// Projection and widest aperture.
pub const LENS: &[Key] = &[
    // `equisolid`, `equidistant`, `stereographic`. Left out: rectilinear.
    Key::new(
        "lens",
        |outing| {
            let projection = outing.kit.lens.projection;
            let written = projection != Projection::Rectilinear;
            written.then(|| projection_word(projection).to_owned())
        },
        |outing, text| {
            let named = |projection: &Projection| projection_word(*projection) == text;
            let found = Projection::ALL.into_iter().find(named);
            outing.kit.lens.projection =
                found.ok_or("must be rectilinear, equisolid, equidistant or stereographic")?;
            Ok(())
        },
    ),
    // Widest f-number of the lens. Left out: same as `f`.
    Key::new(
        "widest",
        |outing| unless(outing.f_number, outing.kit.lens.f_number),
        |outing, text| set(&mut outing.kit.lens.f_number, bounds::F_NUMBER.read(text)),
    )
    .with_default(|outing| outing.kit.lens.f_number = outing.f_number),
];

/// The kit's name.
pub const NAME: &[Key] = &[
    // Name of the kit. Left out: unnamed.
    Key::new(
        "kit",
        |outing| name_text(&outing.kit.name),
        |outing, text| set(&mut outing.kit.name, Ok(cut_name(text))),
    ),
];

/// Measured properties of the lens and of the body.
pub const MEASURED: &[Key] = &[
    // Its distortion, k1 and k2: `-0.03_0.01`. Left out: none.
    Key::new(
        "distort",
        |outing| {
            let Distortion { k1, k2 } = outing.kit.lens.distortion;
            let written = pair_text(k1, k2);
            (written != pair_text(0.0, 0.0)).then_some(written)
        },
        |outing, text| {
            let (k1, k2) = pair(text, "-0.03_0.01")?;
            let (k1, k2) = (bounds::K1.read(k1)?, bounds::K2.read(k2)?);
            set(&mut outing.kit.lens.distortion, bounds::distortion(k1, k2))
        },
    ),
    // Full width at half maximum of a star that stands still, in the middle and in the corners,
    // px: `1.5_2.5`. Left out: not known.
    Key::new(
        "star",
        |outing| {
            let width = outing.kit.lens.star_width?;
            Some(pair_text(width.centre_px, width.corner_px))
        },
        |outing, text| set_some(&mut outing.kit.lens.star_width, star_width(text)),
    ),
    // Light lost in the corners at the widest f-number, stops. Left out: not known.
    Key::new(
        "falloff",
        |outing| outing.kit.lens.corner_falloff_stops.map(plain),
        |outing, text| {
            let stops = bounds::FALLOFF_STOPS.read(text);
            set_some(&mut outing.kit.lens.corner_falloff_stops, stops)
        },
    ),
    // Electrons for a photon, %. Left out: typical.
    Key::new(
        "qe",
        |outing| percent_text(outing.kit.body.quantum),
        |outing, text| set_some(&mut outing.kit.body.quantum, share(bounds::QUANTUM, text)),
    ),
    // Light through the lens, %. Left out: typical.
    Key::new(
        "glass",
        |outing| percent_text(outing.kit.body.transmitted),
        |outing, text| {
            let transmitted = share(bounds::TRANSMITTED, text);
            set_some(&mut outing.kit.body.transmitted, transmitted)
        },
    ),
    // Dark current, e⁻/s. Left out: typical.
    Key::new(
        "warm",
        |outing| outing.kit.body.dark_e_s.map(plain),
        |outing, text| set_some(&mut outing.kit.body.dark_e_s, bounds::DARK_E_S.read(text)),
    ),
    // Full well, e⁻. Left out: typical.
    Key::new(
        "well",
        |outing| outing.kit.body.full_well_e.map(plain),
        |outing, text| {
            let full_well = bounds::FULL_WELL_E.read(text);
            set_some(&mut outing.kit.body.full_well_e, full_well)
        },
    ),
    // Size of a file, MB. Left out: typical.
    Key::new(
        "mb",
        |outing| outing.kit.body.file_mb.map(plain),
        |outing, text| set_some(&mut outing.kit.body.file_mb, bounds::FILE_MB.read(text)),
    ),
    // Gap between frames, s. Left out: typical.
    Key::new(
        "write",
        |outing| outing.kit.body.write_s.map(plain),
        |outing, text| set_some(&mut outing.kit.body.write_s, bounds::WRITE_S.read(text)),
    ),
    // Minutes of exposures on a charge. Left out: typical.
    Key::new(
        "charge",
        |outing| outing.kit.body.charge_min.map(plain),
        |outing, text| {
            set_some(
                &mut outing.kit.body.charge_min,
                bounds::CHARGE_MIN.read(text),
            )
        },
    ),
    // What the camera's clock was ahead of UTC, s, and the date when that was measured:
    // `7203.5_2026-07-09`. Left out: not known.
    Key::new(
        "clock",
        |outing| {
            let CameraClock { ahead_s, date } = outing.kit.body.clock?;
            Some(format!("{}_{}", plain(ahead_s), format_date(date)))
        },
        |outing, text| {
            let (ahead, date) = pair(text, "7203.5_2026-07-09")?;
            outing.kit.body.clock = Some(CameraClock {
                ahead_s: bounds::CLOCK_S.read(ahead)?,
                date: read_date(date)?,
            });
            Ok(())
        },
    ),
    // Read noise by ISO: `1600*2.5_6400*2`. Left out: typical.
    Key::new(
        "noise",
        |outing| noise_text(&outing.kit.body),
        |outing, text| read_noise(&mut outing.kit.body, text),
    ),
];

/// Star widths in the centre and in the corner.
fn star_width(text: &str) -> Result<StarWidth, String> {
    let (centre, corner) = pair(text, "1.5_2.5")?;
    Ok(StarWidth {
        centre_px: bounds::STAR_PX.read(centre)?,
        corner_px: bounds::STAR_PX.read(corner)?,
    })
}

/// A share from 0 to 1, in percent.
fn percent_text(share: Option<f64>) -> Option<String> {
    share.map(|share| plain(100.0 * share))
}

/// A share from 0 to 1 that is written in percent.
fn share(bounds: Bounds, text: &str) -> Result<f64, String> {
    bounds.read(text).map(|percent| percent / 100.0)
}

/// ISO and electrons of each read noise: `400*3.5_3200*1.75`.
fn noise_text(body: &CameraBody) -> Option<String> {
    let mut text = String::new();
    for (iso, noise_e) in &body.read_noise {
        if !text.is_empty() {
            text.push('_');
        }
        text += &plain(*iso);
        text.push('*');
        text += &plain(*noise_e);
    }
    (!text.is_empty()).then_some(text)
}

/// Reads what [`noise_text`] writes.
fn read_noise(body: &mut CameraBody, text: &str) -> Result<(), String> {
    for pair in text.split('_') {
        let message = "must be ISOs and electrons such as 1600*2.5_6400*2";
        let (iso, noise_e) = pair.split_once('*').ok_or(message)?;
        let (iso, noise_e) = (bounds::ISO.read(iso)?, bounds::READ_NOISE_E.read(noise_e)?);
        body.insert_read_noise(iso, noise_e);
    }
    Ok(())
}
