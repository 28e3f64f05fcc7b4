//! How the page came to be loaded, and how long ago.
//!
//! Sources: W3C, *Navigation Timing*, section 4.2 (`PerformanceNavigation`); *High Resolution Time*,
//! section 7 (`now`).

use web_sys::{Performance, PerformanceNavigation};

use super::storage;

/// Where the page's front notes that it starts the program anew; see `index.html`.
const RESTARTED: &str = "tarnlight.restarted";

fn performance() -> Option<Performance> {
    web_sys::window()?.performance()
}

/// Time since the page began to load, ms; it runs on evenly when the phone's clock is set.
pub fn age_ms() -> f64 {
    performance().map_or(0.0, |performance| performance.now())
}

/// Whether the page was reloaded, not opened or restored with its tab.
pub fn is_reload() -> bool {
    performance().is_some_and(|performance| {
        performance.navigation().type_() == PerformanceNavigation::TYPE_RELOAD
    })
}

/// Whether the page was loaded anew because its program had stopped at a fault. Asked once.
pub fn is_restart() -> bool {
    let restarted = storage::tab_get(RESTARTED).is_some();
    storage::tab_remove(RESTARTED);
    restarted
}
