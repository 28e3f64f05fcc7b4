//! A kit read from one of the photographer's own pictures.
//!
//! Cameras write into each file (EXIF, in JPEG or a TIFF-based raw) how many pixels it has and how
//! the lens was set; many also write the focal-plane resolution or the full-frame equivalent of the
//! focal length, and from either the sensor's size follows. What the file lacks is `None`.

use std::io::Cursor;

use exif::{Field, In, Tag, Value};
use serde::{Deserialize, Serialize};

use crate::camera::sensor::{FULL_FRAME_DIAGONAL_MM, Sensor};

/// How every JPEG file starts (ITU-T T.81: marker SOI and the first byte of the next).
const JPEG_START: &[u8] = &[0xFF, 0xD8, 0xFF];

/// mm in an inch and in a cm, the two units a file may use.
const MM_PER_INCH: f64 = 25.4;
const MM_PER_CM: f64 = 10.0;

/// Plausible widths of a sensor, mm.
const PLAUSIBLE_WIDTH_MM: std::ops::RangeInclusive<f64> = 2.0..=70.0;

/// Two values of the sensor's width agree when they differ by less than this share.
const SAME_SIZE: f64 = 0.1;

/// The camera data in a file.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct PhotoFacts {
    /// Pixels along the longer and the shorter side.
    pub pixels: Option<(u32, u32)>,
    /// Sensor's longer and shorter side, mm.
    pub size_mm: Option<(f64, f64)>,
    /// True focal length, mm.
    pub focal_mm: Option<f64>,
    /// f-number.
    pub f_number: Option<f64>,
}

/// Why there is no camera data.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhotoError {
    /// It is not a picture with EXIF data.
    NotAPhoto,
    /// It has EXIF data, but no field that is used.
    NothingOfUse,
}

impl std::fmt::Display for PhotoError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            Self::NotAPhoto => {
                "this file holds no camera data; try a JPEG or a raw file straight from the camera"
            }
            Self::NothingOfUse => {
                "this file does not say which sensor or lens made it; type them instead"
            }
        })
    }
}

impl PhotoFacts {
    /// Reads the bytes of a JPEG or of a TIFF-based raw file.
    ///
    /// The sensor's size comes from the focal-plane resolution where the file
    /// has it (good to 2 %), else from the full-frame equivalent of the focal
    /// length (good to 3 %, as makers round it).
    pub fn read(bytes: &[u8]) -> Result<Self, PhotoError> {
        let facts = Self::from_fields(&read_exif_fields(bytes).ok_or(PhotoError::NotAPhoto)?);
        if facts == Self::default() {
            Err(PhotoError::NothingOfUse)
        } else {
            Ok(facts)
        }
    }

    /// From the fields of EXIF data; all `None` where nothing is of use.
    pub(crate) fn from_fields(fields: &[Field]) -> Self {
        let pixels = pixels(fields);
        let focal_mm = positive(number(fields, Tag::FocalLength));
        Self {
            pixels,
            size_mm: pixels.and_then(|pixels| size(fields, pixels, focal_mm)),
            focal_mm,
            f_number: positive(number(fields, Tag::FNumber)),
        }
    }

    /// The sensor, where the file has both its size and its pixels.
    pub fn sensor(self) -> Option<Sensor> {
        let ((across, down), (width_mm, height_mm)) = (self.pixels?, self.size_mm?);
        Some(Sensor {
            width_mm,
            height_mm,
            pixels_across: across,
            pixels_down: down,
        })
    }
}

/// The EXIF fields of a JPEG, PNG, TIFF or TIFF-based raw file. Where they are damaged, those that can
/// be read. `None` without any.
pub(crate) fn read_exif_fields(bytes: &[u8]) -> Option<Vec<Field>> {
    let mut reader = exif::Reader::new();
    reader.continue_on_error(true);
    // A TIFF-based file is EXIF data from its first byte; in a JPEG it is one segment.
    let parsed = if bytes.starts_with(JPEG_START) {
        let segment = exif::get_exif_attr_from_jpeg(&mut Cursor::new(bytes)).ok()?;
        reader.read_raw(segment)
    } else {
        reader.read_from_container(&mut Cursor::new(bytes))
    };
    let exif = parsed
        .or_else(|error| error.distill_partial_result(|_| {}))
        .ok()?;
    let fields: Vec<Field> = exif.fields().cloned().collect();
    (!fields.is_empty()).then_some(fields)
}

fn number(fields: &[Field], tag: Tag) -> Option<f64> {
    let wanted = |field: &&Field| field.tag == tag && field.ifd_num == In::PRIMARY;
    let field = fields.iter().find(wanted)?;
    match &field.value {
        Value::Rational(list) => list.first().map(exif::Rational::to_f64),
        other => other.get_uint(0).map(f64::from),
    }
}

fn positive(value: Option<f64>) -> Option<f64> {
    value.filter(|value| *value > 0.0 && value.is_finite())
}

/// Pixels, longer side first. A raw file's own image can be a thumbnail, so the largest pair of
/// sizes in it is used.
fn pixels(fields: &[Field]) -> Option<(u32, u32)> {
    let pairs = [
        (Tag::PixelXDimension, Tag::PixelYDimension),
        (Tag::ImageWidth, Tag::ImageLength),
    ];
    let largest = |tag: Tag| {
        let sizes = fields.iter().filter(|field| field.tag == tag);
        sizes.filter_map(|field| field.value.get_uint(0)).max()
    };
    pairs
        .into_iter()
        .filter_map(|(across, down)| Some((largest(across)?, largest(down)?)))
        .filter(|(across, down)| *across > 0 && *down > 0)
        .max_by_key(|(across, down)| u64::from(*across) * u64::from(*down))
        .map(|(across, down)| (across.max(down), across.min(down)))
}

/// The sensor's size by either method. A downscaled picture keeps the resolution tag of the
/// original and so implies a smaller sensor; where the two disagree the equivalent is used.
fn size(fields: &[Field], pixels: (u32, u32), focal_mm: Option<f64>) -> Option<(f64, f64)> {
    let by_resolution = size_by_resolution(fields, pixels);
    let by_equivalent = size_by_equivalent(fields, pixels, focal_mm);
    match (by_resolution, by_equivalent) {
        (Some(one), Some(other)) if (one.0 / other.0 - 1.0).abs() > SAME_SIZE => Some(other),
        (Some(one), _) => Some(one),
        (None, other) => other,
    }
}

fn size_by_resolution(fields: &[Field], (across, down): (u32, u32)) -> Option<(f64, f64)> {
    let per_unit = positive(number(fields, Tag::FocalPlaneXResolution))?;
    let unit_mm = match number(fields, Tag::FocalPlaneResolutionUnit) {
        Some(3.0) => MM_PER_CM,
        Some(4.0) => 1.0,
        // 2 is the inch, and the standard's default
        _ => MM_PER_INCH,
    };
    let pixel_mm = unit_mm / per_unit;
    plausible(f64::from(across) * pixel_mm, f64::from(down) * pixel_mm)
}

fn size_by_equivalent(
    fields: &[Field],
    (across, down): (u32, u32),
    focal_mm: Option<f64>,
) -> Option<(f64, f64)> {
    let equivalent = positive(number(fields, Tag::FocalLengthIn35mmFilm))?;
    let diagonal = FULL_FRAME_DIAGONAL_MM * focal_mm? / equivalent;
    let (across, down) = (f64::from(across), f64::from(down));
    let pixel_mm = diagonal / across.hypot(down);
    plausible(across * pixel_mm, down * pixel_mm)
}

fn plausible(width_mm: f64, height_mm: f64) -> Option<(f64, f64)> {
    PLAUSIBLE_WIDTH_MM
        .contains(&width_mm)
        .then_some((width_mm, height_mm))
}

#[cfg(test)]
mod tests {
    use super::*;
    use exif::Rational;
    use exif::experimental::Writer;

    fn field(tag: Tag, value: Value) -> Field {
        Field {
            tag,
            ifd_num: In::PRIMARY,
            value,
        }
    }

    fn ratio(num: u32, denom: u32) -> Value {
        Value::Rational(vec![Rational { num, denom }])
    }

    /// A TIFF file holding just these fields, as a raw file does.
    fn tiff(fields: &[Field]) -> Vec<u8> {
        let mut writer = Writer::new();
        for field in fields {
            writer.push_field(field);
        }
        let mut file = Cursor::new(Vec::new());
        writer.write(&mut file, false).expect("writes to memory");
        file.into_inner()
    }

    /// The same as the smallest JPEG that contains it (JFIF marker layout: ITU-T T.81; EXIF in
    /// APP1: CIPA DC-008).
    fn jpeg(fields: &[Field]) -> Vec<u8> {
        let body = tiff(fields);
        let mut file = vec![0xFF, 0xD8, 0xFF, 0xE1];
        let length = u16::try_from(body.len() + 8).expect("a small file");
        file.extend(length.to_be_bytes());
        file.extend(b"Exif\0\0");
        file.extend(body);
        file.extend([0xFF, 0xD9]);
        file
    }

    fn full_frame_fields() -> Vec<Field> {
        vec![
            field(Tag::PixelXDimension, Value::Long(vec![6000])),
            field(Tag::PixelYDimension, Value::Long(vec![4000])),
            field(Tag::FocalPlaneXResolution, ratio(6000, 36)),
            field(Tag::FocalPlaneYResolution, ratio(4000, 24)),
            field(Tag::FocalPlaneResolutionUnit, Value::Short(vec![4])),
            field(Tag::FocalLength, ratio(20, 1)),
            field(Tag::FNumber, ratio(18, 10)),
        ]
    }

    #[test]
    fn reads_jpeg_and_raw_alike() {
        for file in [tiff(&full_frame_fields()), jpeg(&full_frame_fields())] {
            let facts = PhotoFacts::read(&file).expect("camera data");
            assert_eq!(facts.pixels, Some((6000, 4000)));
            assert_eq!((facts.focal_mm, facts.f_number), (Some(20.0), Some(1.8)));
            let sensor = facts.sensor().expect("size and pixels");
            assert!((sensor.pitch_um() - 6.0).abs() < 1e-9, "{sensor:?}");
        }
    }

    #[test]
    fn the_equivalent_gives_the_size_where_the_resolution_does_not() {
        let fields = [
            field(Tag::PixelXDimension, Value::Long(vec![4000])),
            field(Tag::PixelYDimension, Value::Long(vec![6000])),
            field(Tag::FocalLength, ratio(16, 1)),
            field(Tag::FocalLengthIn35mmFilm, Value::Short(vec![24])),
        ];
        let facts = PhotoFacts::read(&tiff(&fields)).expect("camera data");
        let sensor = facts.sensor().expect("size and pixels");
        assert_eq!((sensor.pixels_across, sensor.pixels_down), (6000, 4000));
        assert!((sensor.width_mm - 24.0).abs() < 1e-9, "{sensor:?}");
        assert_eq!(facts.f_number, None);
    }

    /// Half the pixels at the resolution of the whole: the sensor is still 36 mm.
    #[test]
    fn a_picture_made_smaller_keeps_its_sensor() {
        let mut fields = full_frame_fields();
        fields[0] = field(Tag::PixelXDimension, Value::Long(vec![3000]));
        fields[1] = field(Tag::PixelYDimension, Value::Long(vec![2000]));
        fields.push(field(Tag::FocalLengthIn35mmFilm, Value::Short(vec![20])));
        let facts = PhotoFacts::read(&tiff(&fields)).expect("camera data");
        let (width, _) = facts.size_mm.expect("a size");
        assert!((width - 36.0).abs() < 0.01, "{width} mm");
    }

    #[test]
    fn an_inch_and_a_centimetre_are_told_apart() {
        for (unit, per_unit) in [(2, 6000.0 / 36.0 * 25.4), (3, 6000.0 / 3.6)] {
            let mut fields = full_frame_fields();
            fields[2] = field(
                Tag::FocalPlaneXResolution,
                ratio((per_unit * 1000.0) as u32, 1000),
            );
            fields[4] = field(Tag::FocalPlaneResolutionUnit, Value::Short(vec![unit]));
            let facts = PhotoFacts::read(&tiff(&fields)).expect("camera data");
            let (width, _) = facts.size_mm.expect("a size");
            assert!((width - 36.0).abs() < 1e-3, "unit {unit}: {width} mm");
        }
    }

    #[test]
    fn misprints_and_rubbish_are_refused() {
        assert_eq!(
            PhotoFacts::read(b"not a picture"),
            Err(PhotoError::NotAPhoto)
        );
        assert_eq!(PhotoFacts::read(&[]), Err(PhotoError::NotAPhoto));
        let empty = tiff(&[field(Tag::Orientation, Value::Short(vec![1]))]);
        assert_eq!(PhotoFacts::read(&empty), Err(PhotoError::NothingOfUse));
        let mut fields = full_frame_fields();
        fields[2] = field(Tag::FocalPlaneXResolution, ratio(1, 0));
        let facts = PhotoFacts::read(&tiff(&fields)).expect("camera data");
        assert_eq!(facts.size_mm, None, "division by zero in the file");
    }

    /// Every prefix of a valid file, and every corruption of one byte, gives data or an error.
    #[test]
    fn a_damaged_file_never_panics() {
        let good = jpeg(&full_frame_fields());
        for end in 0..good.len() {
            let _ = PhotoFacts::read(&good[..end]);
            let mut invalid = good.clone();
            invalid[end] ^= 0xFF;
            let _ = PhotoFacts::read(&invalid);
        }
    }
}
