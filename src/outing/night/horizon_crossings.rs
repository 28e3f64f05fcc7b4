//! When a body rises above the ridge line, and when it sets behind it.

use crate::angle::Angle;
use crate::land::ridge::RidgeLine;
use crate::sky::almanac::SkyBody;
use crate::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use crate::sky::night::{Course, Night};

/// Semidiameter of Sun and Moon, degrees; it varies by a fifteenth.
const DISC_DEG: f64 = 0.26;

/// Margin of the band of altitudes in which the ridge line is sampled densely, degrees, so that the
/// line is inside.
const MARGIN_DEG: f64 = 0.05;

/// A body over a night relative to the ridge line, both apparent: the core itself, the upper limb
/// of Sun and Moon, with the refraction of that limb. The line may be below level, as a sea is far
/// below.
///
/// Over a level line the moments are those of [`Night::subject_course`]; over any other they are good to a
/// millisecond for the given line (`tests/ridge_line.rs`), far better than the line is known.
pub fn over_ridge(night: &Night<'_>, body: SkyBody, ridge: &RidgeLine, air: Air) -> Course {
    let (least, most) = ridge.least_and_most();
    let edge_deg = if body == SkyBody::Subject {
        0.0
    } else {
        DISC_DEG
    };
    let moved = |altitude: TrueAltitude, degrees: f64| {
        TrueAltitude(Angle::from_degrees(altitude.0.degrees() + degrees))
    };
    let to_true = |degrees: f64| {
        let apparent = ApparentAltitude(Angle::from_degrees(degrees));
        moved(air.to_true(apparent), -edge_deg)
    };
    if least == most {
        return night.course(body, to_true(least.degrees()));
    }
    let band = (
        to_true(least.degrees() - MARGIN_DEG),
        to_true(most.degrees() + MARGIN_DEG),
    );
    night.over_line(body, band, &|position| {
        let edge = moved(position.altitude, edge_deg);
        let apparent_deg = air.to_apparent(edge).0.degrees();
        (apparent_deg - ridge.height(position.bearing).degrees()).to_radians()
    })
}

/// The core over a night relative to the higher of ridge line and a least altitude, both apparent.
///
/// As [`over_ridge`].
pub fn core_above(
    night: &Night<'_>,
    ridge: &RidgeLine,
    air: Air,
    least_height: ApparentAltitude,
) -> Course {
    let (lowest, most) = ridge.least_and_most();
    if least_height.0 <= lowest {
        return over_ridge(night, SkyBody::Subject, ridge, air);
    }
    if least_height.0 >= most {
        return night.subject_course(air.to_true(least_height));
    }
    let to_true = |degrees: f64| air.to_true(ApparentAltitude(Angle::from_degrees(degrees)));
    let band = (
        to_true(least_height.0.degrees() - MARGIN_DEG),
        to_true(most.degrees() + MARGIN_DEG),
    );
    night.over_line(SkyBody::Subject, band, &|position| {
        let line_deg = ridge.height(position.bearing).degrees();
        let line_deg = line_deg.max(least_height.0.degrees());
        (air.to_apparent(position.altitude).0.degrees() - line_deg).to_radians()
    })
}
