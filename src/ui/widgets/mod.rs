//! Parts that screens and sheets share.

pub mod aria;
pub mod deck;
pub mod dialog;
pub mod dispatch;
pub mod element;
pub mod notices;
pub mod ridge_ornament;
pub mod safety_note;
pub mod select;
pub mod slider;
pub mod stepper;
pub mod subject_choice;
pub mod svg_path;
pub mod text_field;
pub mod toggle_group;
