//! The page: state, screens, sheets, widgets and words.
//!
//! [`state`] holds the inputs and their reducers; `screens` and `sheets` draw what is derived
//! from them, with the parts in `widgets`; all words stand in [`text`].

mod app;
mod deferred;
mod effects;
pub mod layout;
pub mod palette;
#[cfg(test)]
mod random_actions;
mod screens;
mod sheets;
pub mod state;
pub mod text;
pub mod widgets;

/// Starts the page in the document's body.
pub fn mount() {
    yew::Renderer::<app::App>::new().render();
}
