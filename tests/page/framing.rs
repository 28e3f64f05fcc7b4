//! The view through the lens: where the core clears a skyline, and what the frame holds.

use serde_json::json;

use super::SCREENS;
use super::key::Key;
use super::phone::Phone;
use super::server::Server;

/// A high pass in the Alps in June, with a flat horizon.
pub const ALPS: &str =
    "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04";

pub async fn open_framing(server: &Server, hash: &str) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(hash)).await;
    show_framing(&phone).await;
    phone
}

/// Shows Where? and waits for its picture.
pub async fn show_framing(phone: &Phone) {
    phone.show("framing").await;
    phone
        .wait_until("the view", "document.querySelector('#frame .thirds')")
        .await;
}

/// The value of the stepper that turns the camera.
async fn bearing(phone: &Phone) -> String {
    phone
        .text("[aria-label='bearing of the camera'] .step-word")
        .await
}

/// The aim stands first, as the stepper has it, and the picture fills the screen down to the deck with
/// the core in the frame.
#[tokio::test]
async fn the_aim_and_the_view_stand_first() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    for (width, height) in SCREENS {
        phone.resize(width, height).await;
        let aim = phone.text("#answer").await;
        let turned = bearing(&phone).await;
        assert!(aim.starts_with(&turned) && aim.contains("(S"), "{aim}");
        let label = phone
            .eval("document.querySelector('#frame').getAttribute('aria-label')")
            .await;
        let label = label.as_str().expect("a label");
        assert!(
            label.contains(&aim) && label.contains("the core in the "),
            "{label}"
        );
        // a picture takes its size from the window a moment after that has changed
        let fits = "(() => {
             const box = css => document.querySelector(css).getBoundingClientRect();
             const deck = box('.deck').top;
             return box('.headline').bottom < deck && box('#frame').width === innerWidth
                 && box('#frame').height > 300 && box('#frame').bottom <= deck + 0.5
                 && document.documentElement.scrollWidth <= innerWidth;
         })()";
        phone.wait_until(&format!("it fits {width} px"), fits).await;
        assert_eq!(phone.errors().await, json!([]));
    }
}

/// Frames towards the celestial equator decide how long a panorama's frames may be: the sheet names
/// one, and the card has the same exposure.
#[tokio::test]
async fn a_panorama_is_exposed_as_its_own_frames_allow() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    phone.open_sheet("#open-panorama").await;
    let told = phone.text("dialog .readout .quiet").await;
    let exposure = told.split(" each").next().expect("an exposure").to_owned();
    assert!(
        exposure.ends_with(" s") && told.contains("in all"),
        "{told}"
    );
    phone.tap_text("Notes").await;
    let dialog = phone.text("dialog").await;
    assert!(
        dialog.contains("Each frame's own sky counts: frame "),
        "{dialog}"
    );
    phone.close_sheet().await;
    phone.open_sheet("#open-card").await;
    let card = phone.text(".field-card").await;
    assert!(
        card.contains(&format!("frames of {exposure}")),
        "{exposure}: {card}"
    );
    assert_eq!(phone.errors().await, json!([]));
}

/// In the field: one frame after the other, each with where to turn, and back to the plan.
#[tokio::test]
async fn a_panorama_is_taken_one_tap_a_frame() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    phone.open_sheet("#open-panorama").await;
    let told = phone.text("dialog .frames").await;
    let count = told.split(' ').next().and_then(|count| count.parse().ok());
    let count: usize = count.expect("a number of frames");
    assert!(count > 2, "{told}");
    phone.tap("#panorama-start").await;
    let mut turns = Vec::new();
    for frame in 1..=count {
        let told = phone.text(".field-frame").await;
        assert!(
            told.starts_with(&format!("frame {frame} of {count}")),
            "{told}"
        );
        turns.push(phone.text(".turn-to").await);
        phone.tap("#panorama-next").await;
    }
    let mut apart = turns.clone();
    apart.dedup();
    assert_eq!(apart.len(), count, "each is turned to: {turns:?}");
    assert_eq!(phone.text("dialog .frames").await, told, "the plan again");
    assert_eq!(phone.errors().await, json!([]));
}

/// The core's place in the frame, shares from the left and from the top: its sign against the thirds,
/// which end at the frame's edges.
const CORE: &str = "(() => {
    const box = css => document.querySelector('#frame ' + css).getBBox();
    const core = box('.core-sign'), frame = box('.thirds');
    return [(core.x + core.width / 2 - frame.x) / frame.width,
        (core.y + core.height / 2 - frame.y) / frame.height];
})()";

/// The trails in core, middle and worst corner of the frame, as the notes of How long? have them.
async fn exact_trails(phone: &Phone) -> String {
    phone.show("exposure").await;
    phone.notes().await;
    phone.text(".notes details p").await
}

/// Steppers, keys and a thumb turn the camera; the core goes to a third; How long? takes the frame.
#[tokio::test]
async fn the_camera_is_turned_and_the_frame_is_kept() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    let first = bearing(&phone).await;
    let exactly = exact_trails(&phone).await;
    show_framing(&phone).await;
    let first_deg: f64 = first.trim_end_matches('°').parse().expect("degrees");
    assert!((155.0..205.0).contains(&first_deg), "{first}");
    phone
        .tap("[aria-label='bearing of the camera: more']")
        .await;
    assert_eq!(bearing(&phone).await, format!("{}°", first_deg + 1.0));
    phone.run("document.querySelector('#frame').focus()").await;
    phone.key(Key::Left).await;
    phone
        .wait_until(
            "the first bearing",
            &format!(
                "document.querySelector(`[aria-label='bearing of the camera'] .step-word`).innerText === '{first}'"
            ),
        )
        .await;
    // a thumb drags the sky to the right: the camera turns left
    let from = phone.point_of("#frame", (0.4, 0.5)).await;
    phone.drag(from, (from.0 + 40.0, from.1)).await;
    let dragged = bearing(&phone).await;
    let degrees: f64 = dragged.trim_end_matches('°').parse().expect("degrees");
    let turned_deg = first_deg - degrees;
    assert!((4.0..20.0).contains(&turned_deg), "{dragged}");
    phone.wait_for_rest().await;
    phone.draw_up().await;
    phone.wait_until("the drawer", "locate('text=right')").await;
    phone.tap_text("right").await;
    phone
        .wait_until(
            "the core on the right third",
            &format!("Math.abs({CORE}[0] - 2 / 3) < 0.01"),
        )
        .await;
    let core = phone.eval(&format!("{CORE}[1]")).await;
    let core = core.as_f64().expect("a share");
    let off = (core - 1.0 / 3.0).abs().min((core - 2.0 / 3.0).abs());
    assert!(off < 0.01, "{core}");
    let aim = phone.text(".aim").await;
    let framed = exact_trails(&phone).await;
    assert_ne!(framed, exactly, "How long? takes the frame");
    phone.reload().await;
    assert_eq!(exact_trails(&phone).await, framed, "kept");
    show_framing(&phone).await;
    assert_eq!(phone.text(".aim").await, aim, "kept");
    phone.draw_up().await;
    phone.tap("#follow-core").await;
    assert_eq!(bearing(&phone).await, first);
    assert_eq!(exact_trails(&phone).await, exactly);
    show_framing(&phone).await;
    phone.tap("#core-third").await;
    let third = phone.eval(CORE).await;
    let third: [f64; 2] = serde_json::from_value(third).expect("a place");
    let on_a_third = |share: f64| (share - 1.0 / 3.0).abs().min((share - 2.0 / 3.0).abs()) < 0.01;
    assert!(third.iter().all(|share| on_a_third(*share)), "{third:?}");
    assert_eq!(phone.errors().await, json!([]));
}
