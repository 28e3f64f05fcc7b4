//! A question about signal and noise of a stack of frames.

use serde::Serialize;
use tarnlight::light::noise::{Frames, Rates};

use super::field::{Field, FieldError};

/// A number that is not finite is written as null.
#[derive(Serialize)]
pub struct NoiseAnswer {
    signal_to_noise: f64,
    long_enough_s: Option<f64>,
    read_excess: f64,
    time_penalty: f64,
    frames_to_match: Option<f64>,
}

/// Answers it, from the field `noise`.
pub fn answer(question: &Field) -> Result<NoiseAnswer, FieldError> {
    let rates = Rates {
        signal_e_s: question.at("signal_e_s").number(0.0..=1e9)?,
        sky_e_s: question.at("sky_e_s").number(0.0..=1e9)?,
        dark_e_s: question.at("dark_e_s").number_or(0.0..=1e9, 0.0)?,
        read_noise_e: question.at("read_noise_e").number(0.0..=1e9)?,
    };
    let frames = Frames {
        count: question.at("frames").number_or(0.0..=1e9, 1.0)?,
        each_s: question.at("each_s").number(1e-6..=86_400.0)?,
    };
    let excess = question.at("excess").number_or(1e-6..=100.0, 0.1)?;
    let against_s = question
        .at("against_s")
        .number_or(1e-6..=86_400.0, frames.each_s)?;
    let signal_to_noise = rates.signal_to_noise(frames);
    let wanted = question
        .at("wanted")
        .number_or(0.0..=1e9, signal_to_noise)?;
    Ok(NoiseAnswer {
        signal_to_noise,
        long_enough_s: rates.long_enough_s(excess),
        read_excess: rates.read_excess(frames.each_s),
        time_penalty: rates.time_penalty(frames.each_s, against_s),
        frames_to_match: rates.frames_to_match(wanted, frames.each_s),
    })
}
