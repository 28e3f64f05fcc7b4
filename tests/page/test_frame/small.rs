//! How the sheet stands on small screens, and what it leaves out.

use serde_json::json;

use super::super::SCREENS;
use super::super::server::Server;
use super::{COMA, COMA_OUTING, FRAME, MEASURED, OUTING, frame, opened, wait_for_words};

/// Stars that are not identified offer nothing, and nothing is asked of their clock.
#[tokio::test]
async fn refused_frames_offer_nothing() {
    let server = Server::from_dist();
    let phone = opened(&server, OUTING, "dusk", (360, 780)).await;
    for (name, verdict) in [
        ("open-none-2.jpg", "Stars not identified"),
        ("dusk.png", "No stars"),
    ] {
        phone.choose_file("#frame", &frame(name)).await;
        wait_for_words(&phone, verdict).await;
        let left =
            "document.querySelectorAll('.offers, .offer, #which-clock, #compare-frame').length";
        assert_eq!(phone.eval(left).await, json!(0), "{name}");
    }
    assert_eq!(phone.errors().await, json!([]));
}

/// The key for another picture stands under all that was told of the last one.
#[tokio::test]
async fn a_second_frame_is_told_of_where_it_is_seen() {
    const VERDICT_IN_SIGHT: &str = "(() => {
            const verdict = document.querySelector('.verdict')?.getBoundingClientRect();
            const body = document.querySelector('.sheet-body').getBoundingClientRect();
            return verdict && verdict.top >= body.top - 1 && verdict.bottom <= body.bottom;
        })()";
    let server = Server::from_dist();
    for screen in SCREENS {
        let phone = opened(&server, OUTING, "dusk", screen).await;
        phone.choose_file("#frame", &frame(FRAME)).await;
        phone.wait_until("the verdict", MEASURED).await;
        phone
            .run("document.querySelector('.sheet-body').scrollTo(0, 1e6)")
            .await;
        assert!(!phone.holds(VERDICT_IN_SIGHT).await, "{screen:?}");
        phone.choose_file("#frame", &frame("open-none-2.jpg")).await;
        wait_for_words(&phone, "Stars not identified").await;
        assert!(phone.holds(VERDICT_IN_SIGHT).await, "{screen:?}");
        assert_eq!(phone.errors().await, json!([]));
    }
}

/// The clock is asked for over the offers that depend on it, with where the camera pointed by either:
/// at 124.4°, 53.2° up, by the site's time, which is 1 h ahead of UTC.
#[tokio::test]
async fn the_zone_is_asked_with_what_follows() {
    let server = Server::from_dist();
    let phone = opened(&server, OUTING, "dusk", (360, 780)).await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.wait_until("the verdict", MEASURED).await;
    let below = "document.querySelector('#which-clock').nextElementSibling.className";
    assert_eq!(phone.eval(below).await, json!("offers"));
    let lines = phone
        .eval("[...document.querySelectorAll('#which-clock .line')].map(one => one.innerText)")
        .await;
    let lines: Vec<&str> = lines
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|line| line.as_str())
        .collect();
    assert!(
        lines.len() == 2 && lines[0].contains("124") && lines[0].contains("53"),
        "{lines:?}"
    );
    assert_ne!(lines[0], lines[1]);
    assert_eq!(phone.errors().await, json!([]));
}

/// Five stars leave no hole: the corners' in the outer columns, the middle's between them.
#[tokio::test]
async fn five_stars_stand_as_in_the_picture() {
    const BOXES: &str =
        "['top-left', 'top-right', 'bottom-left', 'bottom-right', 'middle'].map(zone => {
            const box = document.querySelector(`.frame-stars .${zone}`).getBoundingClientRect();
            return [box.left, box.top, box.right, box.bottom].map(Math.round);
        })";
    let server = Server::from_dist();
    for screen in SCREENS {
        let phone = opened(&server, COMA_OUTING, "dusk", screen).await;
        phone.choose_file("#frame", &frame(COMA)).await;
        phone.wait_until("the verdict", MEASURED).await;
        let boxes = phone.eval(BOXES).await;
        let side = |zone: usize, side: usize| boxes[zone][side].as_i64().expect("px");
        assert_eq!(side(0, 0), side(2, 0), "{screen:?}: {boxes}");
        assert_eq!(side(1, 2), side(3, 2), "{screen:?}: {boxes}");
        assert_eq!(side(0, 1), side(1, 1), "{screen:?}: {boxes}");
        assert!(
            side(4, 0) > side(0, 2) && side(4, 2) < side(1, 0),
            "{screen:?}: {boxes}"
        );
        let off = side(4, 1) + side(4, 3) - side(0, 1) - side(2, 3);
        assert!(off.abs() <= 2, "{screen:?}: {boxes}");
        // the outer columns reach the margins
        assert!(side(0, 0) <= 17, "{boxes}");
        assert!(
            side(1, 2) >= i64::from(screen.0) - 19,
            "{screen:?}: {boxes}"
        );
    }
}

/// What is done is told in one line.
#[tokio::test]
async fn the_busy_line_does_not_wrap() {
    const WATCH: &str = "window.tallest = [];
        new MutationObserver(() => {
            const words = document.querySelector('.waits span');
            if (!words) return;
            const row = words.parentElement.getBoundingClientRect();
            const box = words.getBoundingClientRect();
            const stop = document.querySelector('#stop-frame').getBoundingClientRect();
            const line = parseFloat(getComputedStyle(words).fontSize) * 1.8;
            if (box.height > line || box.right > stop.left || stop.right > row.right + 1)
                window.tallest.push(`${words.innerText}: ${box.height}, ${box.right}, ${stop.left}`);
            window.told = (window.told ?? 0) + 1;
        }).observe(document.body, {subtree: true, childList: true, characterData: true});";
    let server = Server::from_dist();
    let phone = opened(&server, OUTING, "dusk", (320, 640)).await;
    phone.run(WATCH).await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.wait_until("the verdict", MEASURED).await;
    assert_eq!(phone.eval("window.tallest").await, json!([]));
    assert!(phone.holds("window.told >= 1").await);
}

/// The code is to be photographed: all of it is in sight as soon as it is asked for, with a frame over it
/// and without.
#[tokio::test]
async fn all_of_the_code_is_in_sight() {
    const IN_SIGHT: &str = "(() => {
            const code = document.querySelector('#clock-squares .code')?.getBoundingClientRect();
            if (!code) return false;
            const body = document.querySelector('.sheet-body').getBoundingClientRect();
            // what is scrolled stands between pixels
            return code.height > 200 && code.top >= body.top - 1
                && code.bottom <= Math.min(body.bottom, innerHeight) + 1
                && code.left >= 0 && code.right <= innerWidth;
        })()";
    let server = Server::from_dist();
    for screen in SCREENS {
        let phone = opened(&server, OUTING, "dusk", screen).await;
        phone.tap("#clock-code").await;
        phone.wait_until("all of the code", IN_SIGHT).await;
        phone.tap("#clock-code").await;
        phone.choose_file("#frame", &frame(FRAME)).await;
        phone.wait_until("the verdict", MEASURED).await;
        phone.tap("#clock-code").await;
        phone.wait_until("all of the code", IN_SIGHT).await;
        assert_eq!(phone.errors().await, json!([]));
    }
}
