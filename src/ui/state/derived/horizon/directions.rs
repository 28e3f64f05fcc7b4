//! Directions on the sky as the eye has them: to the right and up.

use crate::angle::Angle;
use crate::sky::celestial_to_horizontal::horizontal;
use crate::sky::galaxy::{from_galactic, to_galactic};
use crate::sky::observer::Horizontal;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};

/// Direction on the sky from one body to another: to the right and up, of length 1.
pub fn towards(from: Horizontal, to: Horizontal) -> (f64, f64) {
    let turn = Angle::from_degrees(to.bearing.degrees() - from.bearing.degrees());
    let (here, there) = (from.altitude.0, to.altitude.0);
    let right = there.cos() * turn.sin();
    let up = there.sin() * here.cos() - there.cos() * here.sin() * turn.cos();
    let length = right.hypot(up).max(1e-9);
    (right / length, up / length)
}

/// Direction of the Moon's lit side at the minute looked at: to the right and up, of length 1.
pub fn moon_lit_towards(selected: &SelectedNight) -> (f64, f64) {
    towards(selected.reading.moon, selected.reading.sun)
}

/// Direction of the galactic equator at the core: to the right and up, of length 1.
pub fn along_band(selected: &SelectedNight) -> (f64, f64) {
    let (core, ahead) = core_and_ahead(selected);
    towards(core, ahead)
}

/// The core at the minute looked at, and a place three degrees along the galactic equator from it.
pub fn core_and_ahead(selected: &SelectedNight) -> (Horizontal, Horizontal) {
    const STEP_DEG: f64 = 3.0;
    let night = &selected.night;
    let sky = night.site_sky.night(night.date);
    let moment = sky.start().plus_days(days_of(selected.minute));
    let turned = sky.observer().celestial_to_horizontal(moment);
    let core = selected.night.subject.direction();
    let (longitude, latitude) = to_galactic(core);
    let ahead = from_galactic(
        Angle::from_degrees(longitude.degrees() + STEP_DEG),
        latitude,
    );
    (
        horizontal(turned.apply(core)),
        horizontal(turned.apply(ahead)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::altitude::TrueAltitude;

    /// At the equinox points of a sphere: due east of a body on the horizon lies to its right when
    /// one looks south, and a body straight above it lies up.
    #[test]
    fn directions_on_the_sky_are_those_of_the_eye() {
        let body = |bearing_deg: f64, altitude_deg: f64| Horizontal {
            bearing: Angle::from_degrees(bearing_deg),
            altitude: TrueAltitude(Angle::from_degrees(altitude_deg)),
            distance_au: 1.0,
        };
        let west = towards(body(180.0, 0.0), body(190.0, 0.0));
        assert!((west.0 - 1.0).abs() < 1e-9 && west.1.abs() < 1e-9);
        let above = towards(body(10.0, 20.0), body(10.0, 50.0));
        assert!(above.0.abs() < 1e-9 && (above.1 - 1.0).abs() < 1e-9);
    }
}
