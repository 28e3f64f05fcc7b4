//! Skylines of invented ground against closed forms, and of real ground against brute force.
#![cfg(not(target_arch = "wasm32"))]

mod closed_forms;
mod model_edge;
mod reference;
mod several_files;
#[path = "../tiles/mod.rs"]
mod tiles;

/// Mean radius of the Earth, m, and a degree of WGS84's equator, m: 6 378 137 π / 180.
const RADIUS_M: f64 = 6_371_000.0;
const EQUATOR_DEGREE_M: f64 = 111_319.490_793;
