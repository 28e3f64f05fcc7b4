//! When?: the night's window, what follows the clock, the limits, the season and the calendar.

mod calendar;
mod clock;
mod limits;
mod season;
mod window;

use super::phone::Phone;
use super::server::Server;
pub use calendar::HANDED;

/// A high pass in the Alps in June: the core clears a ridge of 8° at 23:54.
pub const ALPS: &str =
    "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&ridge=8&night=2027-06-04";

pub async fn open_night(server: &Server, hash: &str) -> Phone {
    let phone = Phone::new(360, 780).await;
    show_night(&phone, server, hash).await;
    phone
}

async fn show_night(phone: &Phone, server: &Server, hash: &str) {
    phone.open_link(&server.address_with(hash)).await;
    phone.show("night").await;
    phone
        .wait_until(
            "the night",
            "document.querySelector('.night-picture canvas')",
        )
        .await;
}
