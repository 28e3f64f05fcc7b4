//! Bounds of each input, and the messages for values outside.
//!
//! Limits and messages are together, so that they agree. They are wider than any camera made, and
//! narrow enough that every result is finite.

use crate::angle::Angle;
use crate::camera::distortion::Distortion;
use crate::camera::sharpness::MOST_PIXELS;
use crate::decimal;
use crate::land::ridge::{LEAST_DEG, MOST_DEG};

/// Limits of one number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Its name at the start of a sentence.
    pub name: &'static str,
    /// Least.
    pub least: f64,
    /// Most.
    pub most: f64,
    /// Unit, as written after the number.
    pub unit: &'static str,
}

/// Declares the bounds of each input, and the list of all of them: one that is declared
/// here cannot be missing in the list.
macro_rules! declare_bounds {
    ($($(#[$doc:meta])* pub const $name:ident: Bounds = $bounds:expr;)*) => {
        $($(#[$doc])* pub const $name: Bounds = $bounds;)*

        /// The bounds of every input.
        pub const ALL: &[Bounds] = &[$($name),*];
    };
}

declare_bounds! {
    /// True focal length.
    pub const FOCAL_MM: Bounds = bounds("focal length", 1.0, 3000.0, "mm");
    /// f-number.
    pub const F_NUMBER: Bounds = bounds("f-number", 0.5, 64.0, "");
    /// First coefficient of the lens's distortion.
    pub const K1: Bounds = bounds("k1", -0.5, 0.5, "");
    /// Second one.
    pub const K2: Bounds = bounds("k2", -0.5, 0.5, "");
    /// Full width at half maximum of a star without a trail.
    pub const STAR_PX: Bounds = bounds("star width", 0.3, 20.0, "px");
    /// Light lost in the corners.
    pub const FALLOFF_STOPS: Bounds = bounds("corner light loss", 0.0, 6.0, "stops");
    /// Trail allowed.
    pub const TRAIL_PX: Bounds = bounds("trail", 0.1, MOST_PIXELS, "px");
    /// Sensor's width or height.
    pub const SENSOR_MM: Bounds = bounds("sensor side", 1.0, 150.0, "mm");
    /// Pixels along a side.
    pub const SIDE_PX: Bounds = bounds("pixels along a side", 100.0, 60_000.0, "px");
    /// Millions of pixels.
    pub const MEGAPIXELS: Bounds = bounds("pixel count", 0.3, 1000.0, "MP");
    /// Width of a print or screen.
    pub const PICTURE_CM: Bounds = bounds("picture width", 1.0, 2000.0, "cm");
    /// Viewing distance.
    pub const EYE_CM: Bounds = bounds("viewing distance", 5.0, 10_000.0, "cm");
    /// Distance the lens is focused at.
    pub const FOCUS_M: Bounds = bounds("focus distance", 0.1, 100_000.0, "m");
    /// Latitude of the site.
    pub const LATITUDE: Bounds = bounds("latitude", -90.0, 90.0, "°");
    /// Longitude of the site.
    pub const LONGITUDE: Bounds = bounds("longitude", -180.0, 180.0, "°");
    /// Height of the site above the sea.
    pub const SITE_HEIGHT_M: Bounds = bounds("height", -500.0, 9000.0, "m");
    /// Minutes since the night's noon.
    pub const NIGHT_MINUTE: Bounds = bounds("minute of the night", 0.0, 1439.0, "min");
    /// Apparent height of the skyline where nothing was sighted; below level over a sea or a plain
    /// far below.
    pub const RIDGE: Bounds = bounds("ridge height", LEAST_DEG, 60.0, "°");
    /// Overlap of a panorama's frames.
    pub const OVERLAP: Bounds = bounds("overlap", 0.0, 80.0, "%");
    /// Pause between two of them.
    pub const PAUSE_S: Bounds = bounds("pause", 0.0, 600.0, "s");
    /// Distance of the nearest foreground that must be sharp.
    pub const NEAREST_M: Bounds = bounds("nearest foreground", 0.2, 100.0, "m");
    /// Longest shutter time for the foreground in twilight.
    pub const GROUND_S: Bounds = bounds("longest time", 1.0, 3600.0, "s");
    /// Distance of a ridge.
    pub const DISTANCE_M: Bounds = bounds("distance", 1.0, 400_000.0, "m");
    /// How much higher than the site it is.
    pub const RISE_M: Bounds = bounds("difference", -9000.0, 9000.0, "m");
    /// Refraction coefficient along the ground.
    pub const BEND: Bounds = bounds("bend", -1.0, 0.9, "");
    /// Apparent height of a point of the skyline.
    pub const SIGHTED: Bounds = bounds("height", LEAST_DEG, MOST_DEG, "°");
    /// A bearing; negative ones count from north through west.
    pub const BEARING: Bounds = bounds("bearing", -180.0, 360.0, "°");
    /// Height of the optical axis.
    pub const TILT: Bounds = bounds("tilt", -90.0, 90.0, "°");
    /// Turn of the camera about it.
    pub const ROLL: Bounds = bounds("roll", -180.0, 180.0, "°");
    /// Declination that must stay sharp.
    pub const DECLINATION: Bounds = bounds("declination", -90.0, 90.0, "°");

    /// Brightness of the dark sky overhead.
    pub const SKY_BRIGHTNESS: Bounds = bounds("darkness", 14.0, 23.0, "mag");
    /// Least height of the core that counts.
    pub const LEAST_CORE: Bounds = bounds("least height", 0.0, 30.0, "°");
    /// Extinction per air mass.
    pub const EXTINCTION: Bounds = bounds("extinction", 0.05, 1.5, "mag");
    /// Brightness of the subject by itself.
    pub const SUBJECT_BRIGHTNESS: Bounds = bounds("brightness", 14.0, 30.0, "mag");
    /// ISO.
    pub const ISO: Bounds = bounds("ISO", 50.0, 409_600.0, "");
    /// Time a stack takes.
    pub const STACK_MIN: Bounds = bounds("time", 1.0, 600.0, "min");
    /// Temperature of the air.
    pub const CELSIUS: Bounds = bounds("temperature", -50.0, 50.0, "°C");
    /// Relative humidity of the air.
    pub const HUMIDITY: Bounds = bounds("humidity", 1.0, 100.0, "%");
    /// Quantum efficiency.
    pub const QUANTUM: Bounds = bounds("quantum efficiency", 1.0, 100.0, "%");
    /// Transmission of a lens.
    pub const TRANSMITTED: Bounds = bounds("light let through", 10.0, 100.0, "%");
    /// Dark current.
    pub const DARK_E_S: Bounds = bounds("dark current", 0.0, 100.0, "e⁻/s");
    /// Full well.
    pub const FULL_WELL_E: Bounds = bounds("full well", 500.0, 1e6, "e⁻");
    /// Read noise.
    pub const READ_NOISE_E: Bounds = bounds("read noise", 0.1, 100.0, "e⁻");
    /// Size of a file.
    pub const FILE_MB: Bounds = bounds("file size", 0.1, 1000.0, "MB");
    /// Time between exposures.
    pub const WRITE_S: Bounds = bounds("gap", 0.0, 120.0, "s");
    /// Minutes of exposures on a charge.
    pub const CHARGE_MIN: Bounds = bounds("charge", 1.0, 10_000.0, "min");
    /// What a camera's clock is ahead of UTC: one that was never set may be a lifetime off.
    pub const CLOCK_S: Bounds = bounds("camera clock", -4e9, 4e9, "s");

    /// Polar alignment error of a tracker, arcminutes.
    pub const POLAR_ERROR: Bounds = bounds("error at the pole", -600.0, 600.0, "′");
    /// Amplitude of a tracker's periodic error, arcseconds.
    pub const PERIODIC: Bounds = bounds("periodic error", 0.0, 3600.0, "″");
    /// Its period.
    pub const PERIOD_S: Bounds = bounds("period", 10.0, 20_000.0, "s");
}

const fn bounds(name: &'static str, least: f64, most: f64, unit: &'static str) -> Bounds {
    Bounds {
        name,
        least,
        most,
        unit,
    }
}

/// A lens's distortion, to the four decimals of the written form, if it is monotonic out to the
/// corner of the sensor; else an error message.
///
/// ```
/// use tarnlight::outing::plan::bounds::distortion;
/// assert!(distortion(-0.03, 0.0).is_ok());
/// let refused = "k1 and k2 must let the picture grow steadily out to its corner";
/// assert_eq!(distortion(-0.3, 0.0).unwrap_err(), refused);
/// ```
pub fn distortion(k1: f64, k2: f64) -> Result<Distortion, String> {
    const DECIMALS: f64 = 1e4;
    let [k1, k2] = [K1.check(k1)?, K2.check(k2)?].map(|k| (k * DECIMALS).round() / DECIMALS);
    let distortion = Distortion { k1, k2 };
    if distortion.reaches_corner() {
        Ok(distortion)
    } else {
        Err("k1 and k2 must let the picture grow steadily out to its corner".to_owned())
    }
}

impl Bounds {
    /// The value if it is inside, else an error message.
    ///
    /// ```
    /// use tarnlight::outing::plan::bounds::FOCAL_MM;
    /// assert_eq!(FOCAL_MM.check(20.0), Ok(20.0));
    /// assert_eq!(FOCAL_MM.check(-3.0).unwrap_err(), "focal length must be from 1 to 3000 mm");
    /// ```
    pub fn check(self, value: f64) -> Result<f64, String> {
        if (self.least..=self.most).contains(&value) {
            return Ok(value);
        }
        Err(self.out_of_range_message())
    }

    /// The error message for a value outside.
    pub fn out_of_range_message(self) -> String {
        let gap = if self.unit.is_empty() || self.unit == "°" {
            ""
        } else {
            " "
        };
        let Self {
            name,
            least,
            most,
            unit,
        } = self;
        let (least, most) = (decimal::plain(least), decimal::plain(most));
        format!("{name} must be from {least} to {most}{gap}{unit}")
    }

    /// The next value up or down that a key sets: a whole degree; else a unit of the second digit
    /// of the value, or of a thousandth of the range where that is more. Stays inside.
    ///
    /// ```
    /// use tarnlight::outing::plan::bounds::{BEARING, F_NUMBER, FOCAL_MM};
    /// assert_eq!(FOCAL_MM.step(20.0, true), 21.0);
    /// assert_eq!(F_NUMBER.step(1.8, false), 1.7);
    /// assert_eq!(BEARING.step(119.6, true), 120.0);
    /// assert_eq!(FOCAL_MM.step(1.0, false), 1.0);
    /// ```
    pub fn step(self, value: f64, up: bool) -> f64 {
        let unit = if self.unit == "°" {
            1.0
        } else {
            let coarse = (value.abs() / 10.0).max((self.most - self.least) / 1000.0);
            10_f64.powf(coarse.log10().floor())
        };
        // so that 1.7, which is not exactly seventeen tenths, counts as a whole number of units
        const ROUNDING: f64 = 1e-9;
        let units = value / unit;
        let next = if up {
            (units + ROUNDING).floor() + 1.0
        } else {
            (units - ROUNDING).ceil() - 1.0
        };
        // to the digits of the unit: 17 tenths are 1.7, not 1.7000000000000002
        let digits = (next * unit * 1e6).round() / 1e6;
        digits.clamp(self.least, self.most)
    }

    /// Reads a typed number with point or comma; its unit may follow.
    pub fn read(self, text: &str) -> Result<f64, String> {
        let text = text.trim();
        let text = text.strip_suffix(self.unit).unwrap_or(text).trim();
        let digits = text.replace(',', ".").replace('−', "-");
        let (sign, digits) = match digits.strip_prefix('-') {
            Some(rest) => (-1.0, rest),
            None => (1.0, digits.strip_prefix('+').unwrap_or(&digits)),
        };
        match decimal::read(digits) {
            Some(value) => self.check(sign * value),
            None => Err(format!("{} must be a number", self.name)),
        }
    }

    /// Reads a typed number; `None` from an empty text.
    ///
    /// ```
    /// use tarnlight::outing::plan::bounds::FILE_MB;
    /// assert_eq!(FILE_MB.read_if_any(" "), Ok(None));
    /// assert_eq!(FILE_MB.read_if_any("30"), Ok(Some(30.0)));
    /// ```
    pub fn read_if_any(self, text: &str) -> Result<Option<f64>, String> {
        if text.trim().is_empty() {
            return Ok(None);
        }
        self.read(text).map(Some)
    }

    /// Reads a typed angle; see [`Angle::parse`].
    pub fn read_angle(self, text: &str) -> Result<Angle, String> {
        let angle = Angle::parse(text).map_err(|why| format!("{}: {why}", self.name))?;
        self.check(angle.degrees()).map(|_| angle)
    }

    /// Reads a typed longitude; see [`Angle::parse_longitude`].
    pub fn read_longitude(self, text: &str) -> Result<Angle, String> {
        let angle = Angle::parse_longitude(text).map_err(|why| format!("{}: {why}", self.name))?;
        self.check(angle.degrees()).map(|_| angle)
    }

    /// Reads a typed whole number.
    pub fn read_whole(self, text: &str) -> Result<u32, String> {
        let value = self.read(text)?;
        if value.fract() == 0.0 {
            Ok(value as u32)
        } else {
            Err(format!("{} must be a whole number", self.name))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_people_type() {
        for text in ["20", " 20 ", "20 mm", "20mm", "20.0", "20,0"] {
            assert_eq!(FOCAL_MM.read(text), Ok(20.0), "{text:?}");
        }
        assert_eq!(SIDE_PX.read_whole("6000"), Ok(6000));
        assert!(LATITUDE.read_angle("36 N").is_ok());
    }

    #[test]
    fn refuses_the_rest_in_words() {
        for text in ["", "wide", "1e3", "NaN", "inf", "1.2.3", "--1", "0", "3001"] {
            let message = FOCAL_MM.read(text).expect_err("must be refused");
            assert!(
                message.starts_with("focal length must be"),
                "{text:?}: {message}"
            );
        }
        let message = LATITUDE.read_angle("91").expect_err("must be refused");
        assert_eq!(message, "latitude must be from -90 to 90°");
        let message = SIDE_PX.read_whole("6000.5").expect_err("must be refused");
        assert_eq!(message, "pixels along a side must be a whole number");
    }
}
