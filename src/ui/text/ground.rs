//! The words of the settings for the foreground.

use crate::camera::dial::Shutter;
use crate::decimal::{fixed, plain};
use crate::outing::ground::GroundExposure;
use crate::ui::text::units::{GAP, shutter, up_to};

/// From here on minutes are told, s.
const MINUTES_FROM_S: f64 = 120.0;

/// The shutter of an exposure: as marked, or in minutes.
pub fn time(exposure: &GroundExposure) -> String {
    setting(exposure.shutter)
}

/// A longest time wanted.
pub fn wait(seconds: f64) -> String {
    setting(Shutter::at_most(seconds))
}

fn setting(setting: Option<Shutter>) -> String {
    match setting {
        Some(Shutter::Bulb(seconds)) if f64::from(seconds) >= MINUTES_FROM_S => {
            up_to(f64::from(seconds))
        }
        Some(setting) => shutter(setting),
        None => "too dark".to_owned(),
    }
}

/// Light on the ground, two figures: `0.12 lx`.
pub fn lux(lx: f64) -> String {
    let places = if lx > 0.0 {
        (1.0 - lx.log10().floor()).clamp(0.0, 6.0) as usize
    } else {
        0
    };
    fixed(lx, places) + GAP + "lx"
}

/// A distance: `0.7 m`, `2.3 m`, `14 m`, `∞`.
pub fn distance(mm: f64) -> String {
    let metres = mm / 1000.0;
    if !metres.is_finite() {
        return "∞".to_owned();
    }
    let steps = if metres < 10.0 { 10.0 } else { 1.0 };
    plain((metres * steps).round() / steps) + GAP + "m"
}

/// How many pictures.
pub fn pictures(count: usize) -> String {
    match count {
        0 => "too near for this lens".to_owned(),
        1 => "one frame".to_owned(),
        count => format!("{count} frames"),
    }
}

/// Assumptions and sources.
pub const NOTES: [&str; 4] = [
    "Times are two stops below a meter's reading, for a night that looks like night, and rounded up \
     to the dial. They hold for level ground that reflects 16 % of the light; meadow and snow differ \
     by more than the sky does.",
    "Twilight: ± 20 % under a clear sky, to a factor of three under clouds. Moonlight: to \
     a quarter.",
    "Focus: each frame joins the next within a circle of confusion of 1/1500 of the sensor's diagonal. Focus the first on the stars.",
    "Take the ground in dusk from the same tripod, then leave focus and aim for the stars.",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn light_and_distances_have_two_figures() {
        let spaced = |text: String| text.replace(GAP, " ");
        for (lx, want) in [
            (0.1234, "0.12 lx"),
            (0.001_13, "0.0011 lx"),
            (3.42, "3.4 lx"),
            (0.0, "0 lx"),
        ] {
            assert_eq!(spaced(lux(lx)), want);
        }
        for (mm, want) in [(700.0, "0.7 m"), (2296.0, "2.3 m"), (13_760.0, "14 m")] {
            assert_eq!(spaced(distance(mm)), want);
        }
        assert_eq!(distance(f64::INFINITY), "∞");
    }
}
