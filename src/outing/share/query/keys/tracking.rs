//! Keys of the support, and of the tracker's errors.

use super::{Key, set};
use crate::angle::Angle;
use crate::decimal::plain;
use crate::light::tracking::{Mount, TrackingRate};
use crate::outing::plan::Support;
use crate::outing::plan::bounds::{self, Bounds};

/// Tripod or tracker, and the tracker's errors.
pub const MOUNT: &[Key] = &[
    // `tracker`. Left out: a tripod.
    Key::new(
        "on",
        |outing| match outing.support {
            Support::Tripod => None,
            Support::Tracker => Some("tracker".to_owned()),
        },
        |outing, text| {
            outing.support = match text {
                "tripod" => Support::Tripod,
                "tracker" => Support::Tracker,
                _ => return Err("must be tripod or tracker".to_owned()),
            };
            Ok(())
        },
    ),
    // Polar alignment error in azimuth and altitude (′), periodic error (″), its period (s),
    // rate: `8_6_25_600_full`. Left out: that.
    Key::new(
        "tracker",
        |outing| (outing.mount != Mount::default()).then(|| mount_text(outing.mount)),
        |outing, text| set(&mut outing.mount, mount(text)),
    ),
];

/// Polar alignment errors in azimuth and altitude, arcminutes; periodic error,
/// arcseconds; its period, seconds; the rate: `-15_7.5_45_480_half`.
fn mount_text(mount: Mount) -> String {
    let Mount {
        azimuth_error,
        altitude_error,
        periodic,
        period_s,
        rate,
    } = mount;
    let arcmin = |angle: Angle| plain(angle.degrees() * 60.0);
    let rate = match rate {
        TrackingRate::Sidereal => "full",
        TrackingRate::Half => "half",
    };
    let parts = [
        arcmin(azimuth_error),
        arcmin(altitude_error),
        plain(periodic.degrees() * 3600.0),
        plain(period_s),
        rate.to_owned(),
    ];
    parts.join("_")
}

/// Reads what [`mount_text`] writes.
fn mount(text: &str) -> Result<Mount, String> {
    let mut parts = text.split('_');
    let mut next = |bounds: Bounds| bounds.read(parts.next().unwrap_or_default());
    let (azimuth, altitude) = (next(bounds::POLAR_ERROR)?, next(bounds::POLAR_ERROR)?);
    let (periodic, period_s) = (next(bounds::PERIODIC)?, next(bounds::PERIOD_S)?);
    Ok(Mount {
        azimuth_error: Angle::from_degrees(azimuth / 60.0),
        altitude_error: Angle::from_degrees(altitude / 60.0),
        periodic: Angle::from_degrees(periodic / 3600.0),
        period_s,
        rate: match parts.next() {
            Some("full") => TrackingRate::Sidereal,
            Some("half") => TrackingRate::Half,
            _ => return Err("must end with full or half".to_owned()),
        },
    })
}
