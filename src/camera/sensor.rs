//! The sensor: size and pixel count.
//!
//! Formats are listed by their common names. A body's exact sensor differs from its format by a
//! tenth of a millimetre or so, which moves a shutter time by less than one per cent; sizes can be
//! typed.

/// Diagonal of the 36 × 24 mm frame, mm: √(36² + 24²).
pub const FULL_FRAME_DIAGONAL_MM: f64 = 43.266_615_305_567_875;

/// A sensor's size and pixel count, as held for a level picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensor {
    /// Width, mm.
    pub width_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
    /// Pixels along the width.
    pub pixels_across: u32,
    /// Pixels along the height.
    pub pixels_down: u32,
}

impl Sensor {
    /// Distance between neighbouring pixels, µm: 1000 · long side / pixels along
    /// it. Pixels are taken to be square.
    ///
    /// ```
    /// use tarnlight::camera::sensor::Sensor;
    /// let sensor = Sensor { width_mm: 36.0, height_mm: 24.0, pixels_across: 6000, pixels_down: 4000 };
    /// assert_eq!(sensor.pitch_um(), 6.0);
    /// ```
    pub fn pitch_um(self) -> f64 {
        1000.0 * self.width_mm.max(self.height_mm)
            / f64::from(self.pixels_across.max(self.pixels_down))
    }

    /// Diagonal, mm.
    pub fn diagonal_mm(self) -> f64 {
        self.width_mm.hypot(self.height_mm)
    }

    /// Crop factor: how many times smaller its diagonal is than full frame's.
    pub fn crop_factor(self) -> f64 {
        FULL_FRAME_DIAGONAL_MM / self.diagonal_mm()
    }

    /// Millions of pixels.
    pub fn megapixels(self) -> f64 {
        f64::from(self.pixels_across) * f64::from(self.pixels_down) / 1e6
    }

    /// The same sensor with the camera turned upright.
    pub fn turned(self) -> Self {
        Self {
            width_mm: self.height_mm,
            height_mm: self.width_mm,
            pixels_across: self.pixels_down,
            pixels_down: self.pixels_across,
        }
    }

    /// The format whose width is within 4 % of this one's, if any.
    pub fn format(self) -> Option<&'static Format> {
        let miss = |format: &Format| (format.width_mm / self.width_mm - 1.0).abs();
        FORMATS
            .iter()
            .min_by(|a, b| miss(a).total_cmp(&miss(b)))
            .filter(|format| miss(format) < SAME_FORMAT)
    }
}

/// Sensors of one format differ in width by less than this share.
const SAME_FORMAT: f64 = 0.04;

/// A sensor format.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Format {
    /// Common name.
    pub name: &'static str,
    /// Width, mm.
    pub width_mm: f64,
    /// Height, mm.
    pub height_mm: f64,
    /// Usual pixel counts, millions.
    pub usual_megapixels: &'static [f64],
}

impl Format {
    /// The sensor of this format with square pixels.
    ///
    /// Pixels across = √(megapixels · 10⁶ · width / height), to the nearest
    /// ten, as makers round.
    ///
    /// ```text
    /// full frame, 24 megapixels  →  6000 × 4000
    /// ```
    pub fn sensor(&self, megapixels: f64) -> Sensor {
        let ratio = self.width_mm / self.height_mm;
        let tens = |count: f64| (count / 10.0).round().max(1.0) as u32 * 10;
        let across = (megapixels * 1e6 * ratio).sqrt();
        Sensor {
            width_mm: self.width_mm,
            height_mm: self.height_mm,
            pixels_across: tens(across),
            pixels_down: tens(across / ratio),
        }
    }
}

/// Formats in use, largest first. Sizes are nominal (common practice).
pub const FORMATS: [Format; 7] = [
    Format {
        name: "44 × 33 medium format",
        width_mm: 43.8,
        height_mm: 32.9,
        usual_megapixels: &[50.0, 100.0],
    },
    Format {
        name: "full frame",
        width_mm: 36.0,
        height_mm: 24.0,
        usual_megapixels: &[12.0, 20.0, 24.0, 33.0, 45.0, 61.0],
    },
    Format {
        name: "APS-C, 1.5 ×",
        width_mm: 23.5,
        height_mm: 15.6,
        usual_megapixels: &[16.0, 20.0, 24.0, 26.0, 33.0, 40.0],
    },
    Format {
        name: "APS-C, 1.6 ×",
        width_mm: 22.3,
        height_mm: 14.9,
        usual_megapixels: &[18.0, 24.0, 32.5],
    },
    Format {
        name: "Four Thirds",
        width_mm: 17.3,
        height_mm: 13.0,
        usual_megapixels: &[16.0, 20.0, 25.0],
    },
    Format {
        name: "1 inch type",
        width_mm: 13.2,
        height_mm: 8.8,
        usual_megapixels: &[20.0],
    },
    Format {
        name: "1/1.3 inch type, phone",
        width_mm: 9.8,
        height_mm: 7.3,
        usual_megapixels: &[12.0, 48.0, 50.0],
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn full_frame_of_24_megapixels_has_a_pitch_of_6_um() {
        let sensor = FORMATS[1].sensor(24.0);
        assert_eq!((sensor.pixels_across, sensor.pixels_down), (6000, 4000));
        assert_eq!(sensor.pitch_um(), 6.0);
        assert!((sensor.crop_factor() - 1.0).abs() < 1e-12);
    }

    /// Usual crop factors of these formats (common practice), to their usual digits.
    #[test]
    fn crop_factors_are_the_trades() {
        let table = [
            ("APS-C, 1.5 ×", 1.5),
            ("APS-C, 1.6 ×", 1.6),
            ("Four Thirds", 2.0),
        ];
        for (name, want) in table {
            let format = FORMATS.iter().find(|format| format.name == name);
            let got = format.map_or(f64::NAN, |format| format.sensor(20.0).crop_factor());
            assert!((got - want).abs() < 0.05, "{name}: {got}, want {want}");
        }
    }

    #[test]
    fn every_format_knows_itself() {
        for format in &FORMATS {
            for &megapixels in format.usual_megapixels {
                let sensor = format.sensor(megapixels);
                assert_eq!(sensor.format().map(|f| f.name), Some(format.name));
                let miss = (sensor.megapixels() / megapixels - 1.0).abs();
                assert!(miss < 0.005, "{}: {} MP", format.name, sensor.megapixels());
            }
        }
    }

    #[test]
    fn an_odd_sensor_has_no_format() {
        let odd = Sensor {
            width_mm: 28.0,
            height_mm: 20.0,
            pixels_across: 5000,
            pixels_down: 3600,
        };
        assert_eq!(odd.format(), None);
    }
}
