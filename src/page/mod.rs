//! What people see: screens, sheets, widgets and words.
//!
//! State and drawing only. Components get plain values and callbacks, report
//! what happened as an [`action::Action`], and leave all physics to the modules
//! above.

pub mod action;
mod aim_words;
mod app;
mod band;
mod body_fields;
mod calendar_button;
mod card_sheet;
pub mod card_words;
mod care;
pub mod carry;
mod carry_sheet;
mod choice;
mod corner_words;
mod deck;
pub mod draft;
mod drift_map;
mod element;
mod entry_sheet;
mod field;
mod focus_card;
mod frames_sheet;
mod grip;
mod histogram;
mod how_long;
pub mod kept;
mod kit_sheet;
mod lamp_sheet;
mod lens_fields;
mod lens_grip;
mod lens_view;
mod limits_fields;
mod lists_sheet;
mod loupe;
mod night_sheet;
pub mod night_words;
mod notices;
mod panorama_sheet;
mod patch_view;
mod path;
mod photo_button;
pub mod photo_words;
mod reach_chart;
mod reach_grip;
mod real_lens_fields;
mod ridges;
mod rules_table;
mod screens;
mod season_sheet;
mod select;
mod sharp_sheet;
mod sheet;
pub mod shown;
mod site_sheet;
mod skyline_sheet;
mod skyline_sources;
mod slider;
mod star_words;
pub mod state;
mod stepper;
mod tap;
mod targets_card;
mod tracker_sheet;
mod verdict;
mod ways_card;
mod when;
mod when_deck;
mod where_;
mod where_deck;
mod where_words;
mod why;
mod why_basis;
mod why_deck;
mod why_reasons;
mod why_shown;
mod why_tables;
mod why_words;
pub mod window_words;
mod words;

/// Starts the page in the document's body.
pub fn mount() {
    yew::Renderer::<app::App>::new().render();
}
