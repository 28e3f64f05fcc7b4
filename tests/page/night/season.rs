//! The season sheet.

use serde_json::json;

use super::{ALPS, open_night};
use crate::phone::Phone;
use crate::server::Server;

/// The sheet, a cell of the year, and the key that opens its night.
#[tokio::test]
async fn a_night_of_the_season_is_three_taps_away() {
    let server = Server::from_dist();
    let phone = open_night(&server, ALPS).await;
    phone.open_sheet("#open-season").await;
    // names of the months at the left, a year's number where one begins, numbers of days along the top
    let months = "[...document.querySelectorAll('.season .drawing g .caption')]
        .filter(word => /^(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec|20..)$/.test(word.textContent))";
    assert_eq!(phone.eval(&format!("{months}.length")).await, json!(12));
    let fits = phone
        .eval(&format!(
            "{months}.every(month => month.getBoundingClientRect().bottom
                 <= document.querySelector('.sheet-keys').getBoundingClientRect().top)"
        ))
        .await;
    assert_eq!(fits, json!(true), "twelve months on one screen");
    phone.tap_at(cell(&phone, "Jun", 8).await).await;
    let chosen = phone.text(".season-keys .step-value").await;
    assert!(chosen.starts_with('8'), "{chosen}");
    phone.tap("#open-night").await;
    phone.wait_for_no_sheet().await;
    phone.wait_for_night("8–9 Jun").await;
    let when = "document.querySelector('.page.night')";
    assert_eq!(phone.eval(&format!("!!{when}")).await, json!(true));
    // one of the best nights is as near
    phone.open_sheet("#open-season").await;
    let best = phone
        .eval("document.querySelector('.best-night').ariaLabel")
        .await;
    let best = best.as_str().expect("a label");
    let night = best.split(':').next().expect("a night").to_owned();
    phone.tap(".best-night").await;
    phone.tap("#open-night").await;
    phone.wait_for_no_sheet().await;
    phone.wait_for_night(&night).await;
    phone.tap("#undo-last").await;
    phone.wait_for_night("8–9 Jun").await;
    assert_eq!(phone.errors().await, json!([]));
}

/// The middle of a night's cell in the season sheet, by the words of its row and the numbers over its
/// column.
pub(super) async fn cell(phone: &Phone, month: &str, day: u32) -> (f64, f64) {
    let place = phone
        .run(&format!(
            "const words = [...document.querySelectorAll('.season .drawing .caption')];
             const box = word => words.find(one => one.textContent === word).getBoundingClientRect();
             const middle = word => box(word).x + box(word).width / 2;
             const column = (middle('30') - middle('1')) / 29;
             const row = box('{month}');
             return [middle('1') + ({day} - 1) * column, row.y + row.height / 2]"
        ))
        .await;
    serde_json::from_value(place).expect("a cell")
}
