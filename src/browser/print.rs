//! Printing.

/// Opens the browser's print dialog, where there is one.
pub fn print() {
    if let Some(window) = web_sys::window() {
        // the browser reports a failure itself
        let _ = window.print();
    }
}
