//! The sheets that slide over a screen, one file or folder each.

pub mod checklists;
pub mod display;
pub mod field_card;
pub mod frames;
pub mod kit;
pub mod night;
pub mod number_entry;
pub mod panorama;
pub mod season;
pub mod share;
pub mod sharpness;
pub mod site;
pub mod skyline;
pub mod tracker;
