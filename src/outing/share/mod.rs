//! Sharing: the written form, files, short links, QR codes, calendar files.

pub mod file;
pub mod ics;
pub mod qr;
pub mod query;
pub mod short_link;
