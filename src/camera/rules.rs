//! Rules of thumb for the shutter time, beside the exact drift.
//!
//! Each rule has its formula, source and assumptions as data, so that the page can show why the
//! rules disagree. The trails that a rule's time leaves are computed by the exact drift, elsewhere.

use crate::angle::Angle;
use crate::camera::lens::Lens;
use crate::camera::sensor::Sensor;
use crate::listed::listed;

listed! {
    /// A rule for the longest untracked exposure.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Rule {
        /// 500 divided by crop factor and focal length.
        FiveHundred,
        /// 400 divided by the same.
        FourHundred,
        /// 300 divided by the same.
        ThreeHundred,
        /// Pixel pitch, f-number, focal length and declination.
        PixelPitchFull,
        /// Pixel pitch, f-number and focal length, rounded for the head.
        PixelPitchShort,
    }
}

/// Name, formula, assumptions and source of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Note {
    /// Common name.
    pub name: &'static str,
    /// The formula as text.
    pub formula: &'static str,
    /// Its assumptions.
    pub assumes: &'static str,
    /// Its source.
    pub source: &'static str,
}

impl Rule {
    /// Name, formula, assumptions and source.
    pub const fn note(self) -> Note {
        match self {
            Self::FiveHundred => Note {
                name: "500 rule",
                formula: "500 ÷ (crop factor × focal length)",
                assumes: "Allows a trail of 36 µm on full frame, whatever the pixels: what film \
                          and small prints forgave. Knows nothing of pixel size, aperture, the \
                          corners or where the lens points.",
                source: "Trade rule of the film years; its author is not known.",
            },
            Self::FourHundred => Note {
                name: "400 rule",
                formula: "400 ÷ (crop factor × focal length)",
                assumes: "The 500 rule made a fifth stricter: 29 µm on full frame. The same \
                          things are left out.",
                source: "Trade rule; common practice.",
            },
            Self::ThreeHundred => Note {
                name: "300 rule",
                formula: "300 ÷ (crop factor × focal length)",
                assumes: "The 500 rule made two fifths stricter: 22 µm on full frame. The same \
                          things are left out.",
                source: "Trade rule; common practice.",
            },
            Self::PixelPitchFull => Note {
                name: "pixel-pitch rule",
                formula: "(16.9 × f-number + 0.10 × focal length + 13.7 × pitch) ÷ (focal length \
                          × cos δ)",
                assumes: "Lets the trail be about as long as the blur from diffraction, the air \
                          and the pixel together. Takes the smallest declination δ in the frame, \
                          and the lens's centre: wide corners run faster.",
                source: "F. Michaud, Société Astronomique du Havre, about 2010.",
            },
            Self::PixelPitchShort => Note {
                name: "pixel-pitch, short",
                formula: "(35 × f-number + 30 × pitch) ÷ focal length",
                assumes: "The full rule doubled and rounded for mental arithmetic, declination 0. \
                          Slow apertures lengthen it, as blurred stars hide their trails.",
                source: "F. Michaud, Société Astronomique du Havre, about 2010.",
            },
        }
    }

    /// The time the rule gives, s.
    ///
    /// `smallest_declination` is the smallest |δ| in the frame; only the full pixel-pitch rule uses
    /// it. `None` where the formula has no finite positive result.
    ///
    /// Sources: [`Rule::note`]. A rule is as accurate as its assumptions.
    ///
    /// ```text
    /// 500 rule, 16 mm, crop 1.5  →  20.8 s
    /// ```
    pub fn seconds(self, sensor: Sensor, lens: Lens, smallest_declination: Angle) -> Option<f64> {
        let by_crop = |constant: f64| constant / (sensor.crop_factor() * lens.focal_mm);
        let (focal_mm, f_number, pitch_um) = (lens.focal_mm, lens.f_number, sensor.pitch_um());
        let seconds = match self {
            Self::FiveHundred => by_crop(500.0),
            Self::FourHundred => by_crop(400.0),
            Self::ThreeHundred => by_crop(300.0),
            Self::PixelPitchFull => {
                (FULL_PER_F_NUMBER * f_number
                    + FULL_PER_FOCAL * focal_mm
                    + FULL_PER_PITCH * pitch_um)
                    / (focal_mm * smallest_declination.cos())
            }
            Self::PixelPitchShort => {
                (SHORT_PER_F_NUMBER * f_number + SHORT_PER_PITCH * pitch_um) / focal_mm
            }
        };
        (seconds > 0.0 && seconds < crate::camera::clean_time::LONGEST_S).then_some(seconds)
    }
}

/// Constants of the full pixel-pitch rule as its author prints them: seconds
/// on a 1 mm lens per unit of f-number, per mm of focal length (1.5″ of moving
/// air) and per µm of pitch (1/(1000 ω) = 13.713).
const FULL_PER_F_NUMBER: f64 = 16.9;
const FULL_PER_FOCAL: f64 = 0.10;
const FULL_PER_PITCH: f64 = 13.7;

/// Constants of the short pixel-pitch rule, in the same units.
const SHORT_PER_F_NUMBER: f64 = 35.0;
const SHORT_PER_PITCH: f64 = 30.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::drift::centre_speed_um_s;
    use crate::camera::lens::Projection;
    use crate::camera::sensor::{FORMATS, FULL_FRAME_DIAGONAL_MM};

    fn lens(focal_mm: f64, f_number: f64) -> Lens {
        Lens {
            focal_mm,
            f_number,
            projection: Projection::Rectilinear,
            ..Lens::default()
        }
    }

    /// A 3:2 sensor of this crop factor and pitch.
    fn sensor(crop: f64, pitch_um: f64) -> Sensor {
        let diagonal = FULL_FRAME_DIAGONAL_MM / crop;
        let width_mm = diagonal * 36.0 / FULL_FRAME_DIAGONAL_MM;
        let pixels_across = (1000.0 * width_mm / pitch_um).round() as u32;
        Sensor {
            width_mm: f64::from(pixels_across) * pitch_um / 1000.0,
            height_mm: diagonal * 24.0 / FULL_FRAME_DIAGONAL_MM,
            pixels_across,
            pixels_down: pixels_across * 2 / 3,
        }
    }

    /// Published form R ÷ (c · f); the values are arithmetic on it. The last
    /// row is common practice: "20 mm on full frame, 25 seconds".
    #[test]
    fn the_crop_rules_agree_with_worked_values() {
        let table = [
            (Rule::FiveHundred, 24.0, 1.0, 20.833),
            (Rule::FourHundred, 24.0, 1.0, 16.667),
            (Rule::ThreeHundred, 24.0, 1.0, 12.5),
            (Rule::FiveHundred, 16.0, 1.5, 20.833),
            (Rule::FiveHundred, 20.0, 1.0, 25.0),
        ];
        for (rule, focal, crop, want) in table {
            let got = rule
                .seconds(sensor(crop, 6.0), lens(focal, 2.8), Angle::ZERO)
                .expect("a time");
            assert!(
                (got - want).abs() < 2e-3,
                "{rule:?}, f {focal}: {got}, want {want}"
            );
        }
    }

    /// Trails that the crop rules leave at declination 0 in the centre, in µm and in pixels of 6.0
    /// and 4.35 µm, from R · ω · 1000, computed independently.
    #[test]
    fn the_crop_rules_leave_the_worked_trails() {
        let table = [
            (Rule::FiveHundred, 36.46, 6.08, 8.38),
            (Rule::FourHundred, 29.17, 4.86, 6.71),
            (Rule::ThreeHundred, 21.88, 3.65, 5.03),
        ];
        for (rule, um, coarse, fine) in table {
            let seconds = rule
                .seconds(FORMATS[1].sensor(24.0), lens(24.0, 2.8), Angle::ZERO)
                .expect("a time");
            let got = seconds * centre_speed_um_s(24.0, Angle::ZERO);
            assert!((got - um).abs() < 6e-3, "{rule:?}: {got} µm");
            assert!((got / 6.0 - coarse).abs() < 6e-3, "{rule:?}: {got} µm");
            assert!((got / 4.35 - fine).abs() < 6e-3, "{rule:?}: {got} µm");
        }
    }

    /// F. Michaud's rule with its printed constants, computed independently; the row at δ 29° is
    /// computed with 16.856, 0.0997 and 13.713, which differ from the printed ones by under 0.1 %.
    #[test]
    fn the_pixel_pitch_rule_agrees_with_worked_values() {
        let table = [
            (Rule::PixelPitchFull, 2.8, 6.0, 24.0, 0.0, 5.4967, 1e-4),
            (Rule::PixelPitchFull, 2.8, 6.0, 24.0, 29.0, 6.2821, 6e-3),
            (Rule::PixelPitchFull, 2.0, 4.35, 14.0, 0.0, 6.7685, 6e-3),
            (Rule::PixelPitchShort, 2.8, 6.0, 24.0, 0.0, 11.5833, 1e-4),
            (Rule::PixelPitchShort, 2.0, 4.35, 14.0, 0.0, 14.3214, 1e-4),
        ];
        for (rule, f_number, pitch, focal, dec, want, tolerance) in table {
            let got = rule
                .seconds(
                    sensor(1.0, pitch),
                    lens(focal, f_number),
                    Angle::from_degrees(dec),
                )
                .expect("a time");
            assert!(
                (got - want).abs() < tolerance,
                "{rule:?}: {got}, want {want}"
            );
        }
    }

    /// 24 mm, f/2.8, 6 µm, δ 0: 1.60 px by the full rule, 3.38 px by the short.
    #[test]
    fn the_pixel_pitch_rule_leaves_the_worked_trails() {
        for (rule, pixels) in [(Rule::PixelPitchFull, 1.60), (Rule::PixelPitchShort, 3.38)] {
            let seconds = rule
                .seconds(FORMATS[1].sensor(24.0), lens(24.0, 2.8), Angle::ZERO)
                .expect("a time");
            let got = seconds * centre_speed_um_s(24.0, Angle::ZERO) / 6.0;
            assert!((got - pixels).abs() < 6e-3, "{rule:?}: {got} px");
        }
    }

    #[test]
    fn no_time_is_better_than_an_infinite_one() {
        let pole = Angle::from_degrees(90.0);
        let got = Rule::PixelPitchFull.seconds(sensor(1.0, 6.0), lens(24.0, 2.8), pole);
        assert_eq!(got, None);
    }
}
