//! The outing: everything the photographer has chosen, and what follows.

pub mod aim;
pub mod answer;
pub mod arch;
pub mod area;
pub mod body;
pub mod bounds;
pub mod bundle;
pub mod calendar;
pub mod clicks;
pub mod clock;
pub mod code;
pub mod evening;
pub mod fold;
pub mod form;
pub mod kit;
pub mod over_ridge;
pub mod panorama;
mod panorama_rows;
pub mod place_text;
pub mod places;
pub mod plan;
pub mod scene;
pub mod season;
pub mod short_link;
pub mod site;
