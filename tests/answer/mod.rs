//! The JSON-lines interface: one function from a question's line to its answer, for the example
//! `answer` and for tests. `README.md` describes every field.

mod camera;
mod drift;
mod field;
mod frame;
mod night;
mod noise;
mod pixel;
mod reply;
mod site;
mod sky;
mod skyline;
mod stars;
mod time;
mod tracker;

pub use reply::reply;
