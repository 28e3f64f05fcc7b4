//! A question about electrons, ISO and the histogram.

use serde::Serialize;
use tarnlight::light::brightness::SurfaceBrightness;
use tarnlight::light::exposure::{exposure_level, middle_iso, suggested_iso};
use tarnlight::light::photons::Pixel;

use super::field::{Field, FieldError};

/// A number that is not finite is written as null.
#[derive(Serialize)]
pub struct PixelAnswer {
    electrons_s: f64,
    electrons: f64,
    luminance_cd_m2: f64,
    middle_grey_iso: f64,
    suggested_iso: u32,
    iso: f64,
    stops_from_middle_grey: f64,
    of_white: f64,
    in_histogram: f64,
}

/// Answers it, from the field `pixel`.
pub fn answer(question: &Field) -> Result<PixelAnswer, FieldError> {
    let surface = SurfaceBrightness::from_magnitude(question.at("surface_v").number(-15.0..=40.0)?);
    let pixel = Pixel {
        pitch_um: question.at("pitch_um").number(0.1..=1000.0)?,
        f_number: question.at("f_number").number(0.1..=1000.0)?,
        transmitted: question.at("transmitted").number_or(0.0..=1.0, 1.0)?,
        quantum: question.at("quantum").number_or(0.0..=1.0, 1.0)?,
    };
    let exposure_s = question.at("exposure_s").number_or(1e-6..=86_400.0, 1.0)?;
    let middle_iso = middle_iso(surface.luminance_cd_m2(), pixel.f_number, exposure_s);
    let suggested_iso = suggested_iso(middle_iso);
    let iso = question
        .at("iso")
        .number_or(1.0..=1e7, suggested_iso.into())?;
    let placed = exposure_level(middle_iso, iso);
    let electrons_s = pixel.electrons_s(surface);
    Ok(PixelAnswer {
        electrons_s,
        electrons: electrons_s * exposure_s,
        luminance_cd_m2: surface.luminance_cd_m2(),
        middle_grey_iso: middle_iso,
        suggested_iso,
        iso,
        stops_from_middle_grey: placed.stops,
        of_white: placed.of_white,
        in_histogram: placed.in_histogram,
    })
}
