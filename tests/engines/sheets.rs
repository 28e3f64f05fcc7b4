//! Every screen and every sheet.

use serde_json::json;

use super::doors::DOORS;
use super::engine::Engine;
use super::page::Page;

/// A night in June with a tracker, a skyline and limits, so that every screen is full.
const FULL: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass\
                    &night=2027-05-31&line=130*6_150*9_170*12_180*8_195*14_215*10_230*5&on=tracker";

crate::in_each_engine!(every_screen_is_shown_and_every_sheet_opens);

async fn every_screen_is_shown_and_every_sheet_opens(engine: Engine) {
    let (page, _server) = Page::served(engine, FULL).await;
    page.close_sheets().await;
    for (screen, doors) in DOORS {
        page.show(screen).await;
        page.draw_up().await;
        let spills = "document.documentElement.scrollWidth > document.documentElement.clientWidth";
        assert!(
            !page.holds(spills).await,
            "{engine:?}: {screen} is too wide"
        );
        for door in doors {
            if !page.holds(&format!("locate({})", json!(door))).await {
                page.show("more").await;
            }
            page.open_sheet(door).await;
            let state = page
                .eval(
                    "(() => {
                         const dialog = document.querySelector('dialog');
                         const box = dialog.getBoundingClientRect();
                         const done = document.querySelector('#sheet-done').getBoundingClientRect();
                         const body = document.querySelector('.sheet-body');
                         return {
                             modal: dialog.matches(':modal'),
                             seen: box.height > 200 && done.top >= 0 && done.bottom <= innerHeight,
                             wide: body.scrollWidth > body.clientWidth + 1,
                             text: body.innerText.trim().length > 5,
                         };
                     })()",
                )
                .await;
            let whole = json!({"modal": true, "seen": true, "wide": false, "text": true});
            assert_eq!(state, whole, "{engine:?}: {screen}, {door}");
            page.close_sheet().await;
            if !page
                .holds(&format!("document.querySelector('.page.{screen}')"))
                .await
            {
                page.show(screen).await;
                page.draw_up().await;
            }
        }
    }
    page.finish().await;
}
