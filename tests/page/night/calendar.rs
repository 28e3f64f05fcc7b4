//! Nights as files for a calendar.

use serde_json::json;

use super::season::cell;
use super::{ALPS, show_night};
use crate::phone::Phone;
use crate::server::Server;

/// Keeps what the page hands out as a file: `window.handed` is a promise of its text.
pub const HANDED: &str = "const make = URL.createObjectURL;
     URL.createObjectURL = blob => { window.handed = blob.text(); return make.call(URL, blob); };";

/// The window as a file: downloaded, since the browser has no share sheet.
#[tokio::test]
async fn the_window_goes_into_a_calendar() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(HANDED).await;
    show_night(&phone, &server, ALPS).await;
    phone.tap("#to-calendar").await;
    phone.wait_until("the file", "window.handed").await;
    let file = phone.run("return await window.handed").await;
    let file = file.as_str().expect("a text").replace("\r\n ", "");
    for line in [
        "BEGIN:VCALENDAR\r\nVERSION:2.0",
        "UID:20270604T215",
        "DTSTART:20270604T215",
        "DTEND:20270605T004",
        "GEO:46.520000;9.910000",
        "END:VEVENT\r\nEND:VCALENDAR\r\n",
    ] {
        assert!(file.contains(line), "{line}: {file}");
    }
    assert_eq!(phone.errors().await, json!([]));
}

/// Kept nights go to the calendar together, and are kept in the storage.
#[tokio::test]
async fn kept_nights_go_to_the_calendar_together() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(HANDED).await;
    show_night(&phone, &server, ALPS).await;
    phone.open_sheet("#open-season").await;
    for day in [4, 8] {
        phone.tap_at(cell(&phone, "Jun", day).await).await;
        phone.tap("#keep-night").await;
    }
    assert_eq!(phone.text("#keep-night").await, "Kept");
    let kept = "Object.keys(localStorage).filter(key => key.startsWith('tarnlight.night.')).length";
    phone
        .wait_until("both in the storage", &format!("{kept} === 2"))
        .await;
    phone.tap("#kept-to-calendar").await;
    phone.wait_until("the file", "window.handed").await;
    let file = phone.run("return await window.handed").await;
    let file = file.as_str().expect("a text");
    assert_eq!(file.matches("BEGIN:VEVENT").count(), 2, "{file}");
    for start in ["DTSTART:20270604T21", "DTSTART:20270608T2"] {
        assert!(file.contains(start), "{start}: {file}");
    }
    assert_eq!(phone.errors().await, json!([]));
}
