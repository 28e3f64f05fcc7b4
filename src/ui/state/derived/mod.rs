//! Values derived from the state, computed when a screen or sheet needs them.

pub mod selected_night;
pub mod tracking_analysis;
