//! Interfaces of the browser: storage, the address, files, the wake lock, the offline copy and
//! others.
//!
//! Everything here can fail on some phone; it then reports an error message or changes nothing.

pub mod arrow_keys;
pub mod clipboard;
pub mod current_time;
pub mod deferred_code;
pub mod file_source;
pub mod frame_file;
pub mod gazetteer;
pub mod geolocation;
pub mod offline;
pub mod orientation;
pub mod page_file;
pub mod page_load;
pub mod paint;
pub mod persistence;
pub mod persistent_storage;
pub mod print;
pub mod session_history;
pub mod share_file;
pub mod shared_picture;
pub mod storage;
pub mod text_file;
pub mod theme;
pub mod time_zone;
pub mod url_hash;
pub mod viewport;
pub mod wake_lock;
pub mod worker;
pub mod worker_client;
