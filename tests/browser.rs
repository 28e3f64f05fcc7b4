//! The built page in a browser, from end to end.
#![cfg(not(target_arch = "wasm32"))]

use std::path::Path;

#[test]
fn the_build_is_sealed() {
    let dist = Path::new(env!("CARGO_MANIFEST_DIR")).join("dist");
    let front = std::fs::read_to_string(dist.join("index.html")).expect("make build has run");
    assert!(front.contains("Content-Security-Policy"));
    assert!(dist.join("sw.js").exists());
}
