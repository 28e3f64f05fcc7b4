//! Parts that screens and sheets share.

pub mod aria;
pub mod below_fold;
pub mod bodies;
pub mod deck;
pub mod dialog;
pub mod dispatch;
pub mod folded;
pub mod horizon_strip;
pub mod labels;
pub mod notices;
pub mod question_bar;
pub mod ridge_ornament;
pub mod row;
pub mod safety_note;
pub mod scroll_area;
pub mod select;
pub mod sky_canvas;
pub mod slider;
pub mod small_frame;
pub mod stepper;
pub mod subject_choice;
pub mod svg_path;
pub mod symbol;
pub mod text_field;
pub mod toggle_group;
