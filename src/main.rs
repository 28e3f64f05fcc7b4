//! Mounts the page.

fn main() {
    tarnlight::page::mount();
}
