//! The built page in Firefox and in WebKitGTK: what it does in Chromium, in short, by WebDriver.
#![cfg(not(target_arch = "wasm32"))]

#[path = "../page/built.rs"]
#[allow(dead_code, reason = "the tests in Chromium use the rest")]
mod built;
#[path = "../page/doors.rs"]
mod doors;
mod engine;
mod engine_fault;
mod files;
mod offline;
mod page;
mod plan;
mod process;
#[path = "../page/server.rs"]
#[allow(dead_code, reason = "the tests in Chromium use the rest")]
mod server;
mod share;
mod sheets;
#[path = "../page/temp_folder.rs"]
mod temp_folder;
mod touch;

/// Makes a test in each engine of each function.
macro_rules! in_each_engine {
    ($($name:ident),* $(,)?) => {
        mod firefox {
            $(#[tokio::test]
            async fn $name() {
                super::$name(crate::engine::Engine::Firefox).await;
            })*
        }
        mod webkit_gtk {
            $(#[test]
            fn $name() {
                crate::engine_fault::again_after_a_fault(|| {
                    super::$name(crate::engine::Engine::WebKitGtk)
                });
            })*
        }
    };
}

use in_each_engine;
