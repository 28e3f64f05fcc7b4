//! The built page in a browser, from end to end.
#![cfg(not(target_arch = "wasm32"))]

mod accessibility;
mod address;
mod arrival;
mod back;
mod browser;
mod built;
mod card;
mod choices;
mod device;
mod doors;
mod exposure;
mod failures;
mod focus_order;
mod frame_timings;
mod framing;
mod glance;
mod input;
mod key;
mod layout;
mod night;
mod notices;
mod offline;
mod offline_copy;
mod persistence;
mod phone;
mod pictures;
mod red;
#[path = "../rendered/mod.rs"]
mod rendered;
mod server;
mod share;
mod shown;
mod site_sheet;
mod skyline;
mod starts;
mod stopwatch;
mod swipes;
mod tabs;
mod tasks;
mod temp_folder;
mod test_frame;
mod themes;
mod thumb;
mod tile;
mod timings;
mod tracking;
mod two_tabs;
mod worker;

/// The two screens the page is made for, CSS px.
const SCREENS: [(u32, u32); 2] = [(360, 780), (320, 640)];

/// The key of the next longer focal length.
const LONGER: &str = "[aria-label='focal length: more']";
