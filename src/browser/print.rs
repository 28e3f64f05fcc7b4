//! Printing, through whatever the phone offers for it.

/// Opens the browser's own way to print; where there is none, nothing happens.
pub fn print() {
    if let Some(window) = web_sys::window() {
        // one that refuses says so itself
        let _ = window.print();
    }
}
