//! x
#![cfg(not(target_arch = "wasm32"))]
