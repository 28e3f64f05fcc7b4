//! Temperature and humidity while only one of them is typed.

use super::document::Edit;
use crate::outing::plan::Weather;

/// What is typed of the air, while it is half known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WeatherDraft {
    /// Temperature, °C.
    pub celsius: Option<f64>,
    /// Relative humidity, %.
    pub humidity_percent: Option<f64>,
}

impl WeatherDraft {
    /// Takes what is typed, with the edit that follows: the air is known once both are.
    pub fn reduce(&mut self, typed: Self) -> Edit {
        match (typed.celsius, typed.humidity_percent) {
            (Some(celsius), Some(humidity_percent)) => {
                *self = Self::default();
                Edit::Weather(Some(Weather {
                    celsius,
                    humidity_percent,
                }))
            }
            _ => {
                *self = typed;
                Edit::Weather(None)
            }
        }
    }
}
