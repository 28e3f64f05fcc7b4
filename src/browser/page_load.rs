//! How the page came to be loaded.
//!
//! Source: W3C, *Navigation Timing*, section 4.2 (`PerformanceNavigation`).

use web_sys::PerformanceNavigation;

/// Whether the page was reloaded, not opened or restored with its tab.
pub fn is_reload() -> bool {
    let performance = web_sys::window().and_then(|window| window.performance());
    performance.is_some_and(|performance| {
        performance.navigation().type_() == PerformanceNavigation::TYPE_RELOAD
    })
}
