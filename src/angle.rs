//! Angles, as a type that keeps degrees and radians apart.
//!
//! An [`Angle`] is made from degrees or radians and read back as either. Typed
//! text such as `36.5`, `36,5`, `33°52′10″ S` or `-33 52 10` is read by
//! [`Angle::parse`].

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::decimal;

/// Minutes of arc in a degree, and seconds in a minute.
const SIXTY: f64 = 60.0;

/// A plane angle of any size and sign.
/// Serialised it is its radians alone.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Angle {
    radians: f64,
}

/// Why a typed angle could not be read; prints as a plain sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BadAngle {
    /// Nothing was typed.
    Empty,
    /// A part is not a number, or there are more than three of them.
    NotAnAngle,
    /// Minutes or seconds of 60 or more, or negative.
    PartTooLarge,
    /// Both a minus sign and a letter S or W.
    TwoSigns,
}

impl fmt::Display for BadAngle {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::Empty => "type an angle, such as 36.5",
            Self::NotAnAngle => "not an angle; type degrees such as 36.5, or 36 30 00",
            Self::PartTooLarge => "minutes and seconds must be from 0 to under 60",
            Self::TwoSigns => "type either a minus sign or a letter, not both",
        })
    }
}

impl Angle {
    /// Zero.
    pub const ZERO: Self = Self { radians: 0.0 };

    /// From degrees.
    pub const fn from_degrees(degrees: f64) -> Self {
        Self {
            radians: degrees.to_radians(),
        }
    }

    /// From radians.
    pub const fn from_radians(radians: f64) -> Self {
        Self { radians }
    }

    /// An angle of degrees, minutes and seconds of arc; the sign is a separate argument, because
    /// −0° 30′ has no sign in its degrees.
    pub const fn from_dms(negative: bool, degrees: f64, minutes: f64, seconds: f64) -> Self {
        let size = degrees + (minutes + seconds / SIXTY) / SIXTY;
        Self::from_degrees(if negative { -size } else { size })
    }

    /// In degrees.
    pub const fn degrees(self) -> f64 {
        self.radians.to_degrees()
    }

    /// In radians.
    pub const fn radians(self) -> f64 {
        self.radians
    }

    /// Sine.
    pub fn sin(self) -> f64 {
        self.radians.sin()
    }

    /// Cosine.
    pub fn cos(self) -> f64 {
        self.radians.cos()
    }

    /// Reads typed degrees: decimal with point or comma, or degrees, minutes and seconds separated
    /// by blanks, colons or the usual marks; a letter N or S is allowed at either end.
    ///
    /// Fails with a [`BadAngle`] that prints as a plain sentence.
    ///
    /// ```
    /// use tarnlight::angle::Angle;
    /// let sydney = Angle::parse("33°52′10″ S").unwrap();
    /// assert!((sydney.degrees() + 33.869_444).abs() < 1e-6);
    /// ```
    pub fn parse(text: &str) -> Result<Self, BadAngle> {
        Self::parse_sided(text, ['N', 'n'], ['S', 's'])
    }

    /// Reads a typed longitude: as [`Angle::parse`], but with a letter E or W; west is negative.
    ///
    /// Fails with a [`BadAngle`] that prints as a plain sentence.
    ///
    /// ```
    /// use tarnlight::angle::Angle;
    /// let rio = Angle::parse_longitude("43°12′ W").unwrap();
    /// assert!((rio.degrees() + 43.2).abs() < 1e-9);
    /// ```
    pub fn parse_longitude(text: &str) -> Result<Self, BadAngle> {
        Self::parse_sided(text, ['E', 'e'], ['W', 'w'])
    }

    /// Reads a typed angle with the letters for positive and negative.
    fn parse_sided(text: &str, plus: [char; 2], minus: [char; 2]) -> Result<Self, BadAngle> {
        let text = text.trim();
        let sides = [plus[0], plus[1], minus[0], minus[1]];
        let (text, other_side) = if let Some(rest) = text.strip_suffix(sides) {
            (rest, Some(text.ends_with(minus)))
        } else if let Some(rest) = text.strip_prefix(sides) {
            (rest, Some(text.starts_with(minus)))
        } else {
            (text, None)
        };
        let mut digits = String::with_capacity(text.len());
        for letter in text.chars() {
            digits.push(match letter {
                '°' | '′' | '″' | '\'' | '"' | '’' | '”' | ':' => ' ',
                ',' => '.',
                '−' => '-',
                other => other,
            });
        }
        let digits = digits.trim();
        if digits.is_empty() {
            return Err(BadAngle::Empty);
        }
        let minus_sign = digits.starts_with('-');
        if minus_sign && other_side.is_some() {
            return Err(BadAngle::TwoSigns);
        }
        let mut parts = [0.0; 3];
        let mut count = 0;
        let unsigned = digits.strip_prefix(['-', '+']).unwrap_or(digits);
        for part in unsigned.split_whitespace() {
            if count == parts.len() {
                return Err(BadAngle::NotAnAngle);
            }
            parts[count] = decimal::read(part).ok_or(BadAngle::NotAnAngle)?;
            count += 1;
        }
        if count == 0 {
            return Err(BadAngle::NotAnAngle);
        }
        if parts[1] >= SIXTY || parts[2] >= SIXTY {
            return Err(BadAngle::PartTooLarge);
        }
        let negative = minus_sign || other_side == Some(true);
        Ok(Self::from_dms(negative, parts[0], parts[1], parts[2]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_people_type() {
        let table = [
            ("36", 36.0),
            (" 36.5 ", 36.5),
            ("36,5", 36.5),
            ("-33.87", -33.87),
            ("−33.87", -33.87),
            ("33.87 S", -33.87),
            ("S 33.87", -33.87),
            ("36°30′", 36.5),
            ("36 30 36", 36.51),
            ("0°30'0\" S", -0.5),
            ("-0 30", -0.5),
            ("36:30", 36.5),
            ("90N", 90.0),
        ];
        for (text, want) in table {
            let got = Angle::parse(text).map(Angle::degrees);
            let near = got.is_ok_and(|degrees| (degrees - want).abs() < 1e-9);
            assert!(near, "{text:?}: {got:?}, want {want}");
        }
    }

    #[test]
    fn reads_longitudes_by_their_own_letters() {
        let table = [
            ("9.91 E", Ok(9.91)),
            ("e 9,91", Ok(9.91)),
            ("69°18′ W", Ok(-69.3)),
            ("w69.3", Ok(-69.3)),
            ("-69.3", Ok(-69.3)),
            ("-69.3 W", Err(BadAngle::TwoSigns)),
            ("69.3 S", Err(BadAngle::NotAnAngle)),
            ("69.3 E W", Err(BadAngle::NotAnAngle)),
            ("E", Err(BadAngle::Empty)),
        ];
        for (text, want) in table {
            let got = Angle::parse_longitude(text).map(Angle::degrees);
            let same = match (got, want) {
                (Ok(got), Ok(want)) => (got - want).abs() < 1e-9,
                (got, want) => got == want,
            };
            assert!(same, "{text:?}: {got:?}, want {want:?}");
        }
    }

    #[test]
    fn refuses_the_rest_in_words() {
        let table = [
            ("", BadAngle::Empty),
            ("  ", BadAngle::Empty),
            ("north", BadAngle::NotAnAngle),
            ("36 61", BadAngle::PartTooLarge),
            ("1 2 3 4", BadAngle::NotAnAngle),
            ("-33 S", BadAngle::TwoSigns),
            ("33 N S", BadAngle::NotAnAngle),
            ("3S3", BadAngle::NotAnAngle),
            ("1e3", BadAngle::NotAnAngle),
            ("33 E", BadAngle::NotAnAngle),
            ("inf", BadAngle::NotAnAngle),
            ("1x5", BadAngle::NotAnAngle),
            ("--5", BadAngle::NotAnAngle),
        ];
        for (text, want) in table {
            assert_eq!(Angle::parse(text), Err(want), "{text:?}");
        }
    }
}
