//! The worker: a second program, run beside the page, that reads what is seldom
//! wanted: photos, tiles of heights, the magnetic model; and draws pictures of the sky and
//! links as codes.

fn main() {
    #[cfg(target_arch = "wasm32")]
    tarnlight::browser::worker::serve();
}
