//! The frame's stars beside the drawn ones in the loupes of How long?, and the kit it is measured with.

use serde_json::json;

use super::super::phone::Phone;
use super::super::server::Server;
use super::super::themes::ROUNDING;
use super::{
    AIM_DEG, FRAME, MEASURED, OUTING, assert_aim, frame, opened, wait_for_stored, wait_for_words,
};

const BESIDE: &str = "document.querySelector('.loupe .beside-drawn')";

/// Measures the frame, and looks at its stars in the loupes: its aim, lens and night are taken over on the way.
async fn compared(server: &Server, theme: &str, size: (u32, u32)) -> Phone {
    let phone = opened(server, OUTING, theme, size).await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.wait_until("the verdict", MEASURED).await;
    phone.tap_text("the site's time").await;
    let aimed = "document.querySelector('#use-aim')?.disabled === false";
    phone.wait_until("the aim", aimed).await;
    phone.tap("#compare-frame").await;
    phone.wait_for_no_sheet().await;
    phone.wait_until("a measured star", BESIDE).await;
    phone
}

/// They are there after the frame's shutter time, and gone with another, with another lens, and when the
/// frame is put away.
#[tokio::test]
async fn measured_stars_stand_beside_the_drawn_ones() {
    let server = Server::from_dist();
    let phone = compared(&server, "dusk", (360, 780)).await;
    let words = phone.eval(&format!("{BESIDE}.innerText")).await;
    let words = words.as_str().expect("words").replace('\u{a0}', " ");
    assert!(
        words.starts_with("measured ") && words.contains("px"),
        "{words}"
    );
    // 15 s by the file; its star is drawn at the scale of the other: pixels as wide
    assert!(phone.text(".loupe figcaption").await.contains("15"));
    let pixels = "[...document.querySelectorAll('.loupe:first-child .drawing .pixel')]
        .map(one => [!!one.closest('g'), /^M([-\\d.]+) [-\\d.]+L([-\\d.]+)/.exec(one.getAttribute('d'))])
        .filter(one => one[1]).map(([measured, [, left, right]]) => [measured, right - left])";
    let pixels = phone.eval(pixels).await;
    let pixels = pixels.as_array().expect("pixels");
    let width_px = |measured: bool| {
        let of = pixels.iter().find(|one| one[0] == json!(measured));
        of.and_then(|one| one[1].as_f64()).expect("a lit pixel")
    };
    // written to a hundredth
    assert!(
        (width_px(true) - width_px(false)).abs() < 0.03,
        "{pixels:?}"
    );
    phone.draw_up().await;
    phone.tap("[aria-label='shutter to try: more']").await;
    phone
        .wait_until("another time", &format!("!{BESIDE}"))
        .await;
    phone.tap("[aria-label='shutter to try: less']").await;
    phone.wait_until("the frame's time", BESIDE).await;
    phone.show("more").await;
    phone.open_sheet("#open-frame").await;
    phone.tap("#put-away").await;
    wait_for_words(&phone, "It stays on this phone.").await;
    phone.close_sheet().await;
    phone.show("exposure").await;
    assert!(!phone.holds(BESIDE).await);
    assert_eq!(phone.errors().await, json!([]));
}

/// All that is taken over is one step, and that is taken back as one.
#[tokio::test]
async fn what_is_taken_over_is_taken_back_together() {
    let server = Server::from_dist();
    let phone = compared(&server, "dusk", (360, 780)).await;
    assert_aim(&phone, &AIM_DEG).await;
    for part in [
        "&mm=13.83&",
        "&distort=-0.017",
        "&night=2026-09-20",
        "&minute=",
    ] {
        wait_for_stored(&phone, part).await;
    }
    phone.undo().await;
    wait_for_stored(&phone, "&mm=14&").await;
    let none = "!Object.values(localStorage).some(text => /&(aim|night|distort)=/.test(text))";
    phone.wait_until("none of it", none).await;
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn in_red_they_are_red() {
    let server = Server::from_dist();
    let phone = compared(&server, "red", (320, 640)).await;
    let stray = |pixel: &[u8; 3]| pixel[1] > ROUNDING || pixel[2] > ROUNDING;
    assert!(!phone.screenshot().await.iter().any(stray));
    assert_eq!(phone.errors().await, json!([]));
}

/// Words over stars stand on a plate of sky, with a contrast of 4.5 (WCAG 2.2, 1.4.3).
#[tokio::test]
async fn words_over_stars_can_be_read() {
    const CONTRAST: &str = "const light = color => {
            const [r, g, b] = color.match(/[\\d.]+/g).slice(0, 3).map(one => one / 255)
                .map(one => one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4);
            return 0.2126 * r + 0.7152 * g + 0.0722 * b;
        };
        return [...document.querySelectorAll('.frame-stars .loupe text')].map(text => {
            const style = getComputedStyle(text);
            const [one, other] = [light(style.fill), light(style.stroke)];
            const ratio = (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
            return style.paintOrder.startsWith('stroke') && parseFloat(style.strokeWidth) >= 5
                ? ratio : 0;
        })";
    let server = Server::from_dist();
    for theme in super::THEMES {
        let phone = opened(&server, OUTING, theme, (360, 780)).await;
        phone.choose_file("#frame", &frame(FRAME)).await;
        phone.wait_until("the verdict", MEASURED).await;
        let ratios = phone.run(CONTRAST).await;
        let ratios = ratios.as_array().expect("ratios");
        let read = |ratio: &serde_json::Value| ratio.as_f64().is_some_and(|ratio| ratio >= 4.5);
        assert!(
            !ratios.is_empty() && ratios.iter().all(read),
            "{theme}: {ratios:?}"
        );
    }
}

/// Of two saved kits the file points to the one that took it, and with that it is measured again.
#[tokio::test]
async fn the_kit_is_chosen_in_the_sheet() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(OUTING)).await;
    phone.open_sheet("#open-kit").await;
    phone.tap_text("Save this kit").await;
    phone.close_sheet().await;
    phone
        .open_link(&server.address_with(&OUTING.replace("&mm=14", "&mm=35")))
        .await;
    phone.close_sheets().await;
    phone.open_sheet("#open-kit").await;
    phone.tap_text("Save this kit").await;
    phone.close_sheet().await;
    phone.open_sheet("#open-frame").await;
    wait_for_words(&phone, "Measured against the kit").await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    wait_for_words(&phone, "The file says 14 mm: that is").await;
    let chip = "[...document.querySelectorAll('#frame-kits button')]
        .find(key => key.innerText.includes('14'))";
    phone.run(&format!("{chip}.click()")).await;
    let chosen = format!("{chip}?.getAttribute('aria-pressed') === 'true'");
    phone.wait_until("the kit", &chosen).await;
    let usable = "document.querySelector('#use-lens')?.disabled === false";
    phone.wait_until("the lens", usable).await;
    let hint = "document.querySelector('#frame-kits').innerText.includes('The file says')";
    assert!(!phone.holds(hint).await);
    assert_eq!(phone.errors().await, json!([]));
}
