//! Where the camera points, in words.

use crate::angle::Angle;
use crate::outing::plan::Outing;
use crate::outing::plan::pointing::AimTarget;
use crate::ui::text::exposure::{degrees, degrees_to, latitude};
use crate::ui::text::night;

/// The aim in a sentence.
pub fn aim(outing: &Outing) -> String {
    let aim = outing.pointing();
    let (bearing, altitude) = aim.exposed_for();
    let height = degrees_to(altitude, 0);
    let from = latitude(outing.site.latitude);
    if aim.framed {
        return format!(
            "framed under Where?: {height} up, {}",
            night::bearing(bearing)
        );
    }
    let side = side(bearing);
    match (aim.target, aim.at_minute) {
        (AimTarget::Subject(subject), true) => format!(
            "{} {height} up, {}, as looked at under When?",
            subject.word(),
            night::bearing(bearing)
        ),
        (AimTarget::Subject(subject), false) => {
            format!("{} {height} up, due {side}, from {from}", subject.word())
        }
        (AimTarget::Equator, _) => {
            format!(
                "no {} from {from}: aimed at the equator, due {side}, {height} up",
                outing.subject.word()
            )
        }
    }
}

/// The side of the meridian a bearing lies on.
fn side(bearing: Angle) -> &'static str {
    if bearing == Angle::ZERO {
        "north"
    } else {
        "south"
    }
}

/// The same as the end of "the camera is taken to point at".
pub fn aim_long(outing: &Outing) -> String {
    let aim = outing.pointing();
    let (bearing, altitude) = aim.exposed_for();
    let side = side(bearing);
    let height = degrees(altitude);
    if aim.framed {
        return format!(
            "what was framed under Where?: {height} up, {}",
            night::bearing(bearing)
        );
    }
    match (aim.target, aim.at_minute) {
        (AimTarget::Subject(subject), true) => format!(
            "the {} at the minute looked at under When?: {height} up, {}",
            subject.word(),
            night::bearing(bearing)
        ),
        (AimTarget::Subject(subject), false) => format!(
            "the {} at its highest: {height} up, due {side}",
            subject.word()
        ),
        (AimTarget::Equator, _) => format!(
            "the celestial equator, due {side}, {height} up, since the {} never rises here",
            outing.subject.word()
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_start_points_at_the_core() {
        let outing = Outing::default();
        assert_eq!(aim(&outing), "core 25° up, due south, from 36° N");
    }
}
