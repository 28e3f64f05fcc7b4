//! The browser under the page: what is kept, the address, files, the screen's
//! lock and the offline copy.
//!
//! Everything here can fail on some phone, and says so in a sentence or leaves
//! the page as it is.

pub mod address;
pub mod clipboard;
pub mod clock;
pub mod file_source;
pub mod gazetteer;
pub mod hand_over;
pub mod keeping;
pub mod lean;
pub mod location;
pub mod offline;
pub mod present;
pub mod printer;
pub mod storage;
pub mod text_file;
pub mod wake_lock;
pub mod worker;
pub mod worker_client;
