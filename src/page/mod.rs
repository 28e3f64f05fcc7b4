//! What people see: screens, sheets, widgets and words.
//!
//! State and drawing only. Components get plain values and callbacks, report
//! what happened as an [`state::Action`], and leave all physics to the modules
//! above.

mod app;
mod body_fields;
mod care;
mod choice;
mod deck;
mod drift_map;
mod element;
mod entry_sheet;
mod field;
mod focus_card;
mod how_long;
mod kit_sheet;
mod lamp_sheet;
mod lens_fields;
mod loupe;
mod notices;
mod path;
mod photo_button;
mod ridges;
mod rules_table;
mod select;
mod sharp_sheet;
mod sheet;
mod site_sheet;
pub mod state;
mod stepper;
mod tap;
mod verdict;
pub mod words;

/// Starts the page in the document's body.
pub fn mount() {
    yew::Renderer::<app::App>::new().render();
}
