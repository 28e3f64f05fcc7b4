//! The skyline: sighted, pasted, measured with the phone or computed from a tile; its effect on the
//! night.

use std::time::{Duration, Instant};

use serde_json::json;

use super::framing::{ALPS, open_framing, show_framing};
use super::key::Key;
use super::phone::Phone;
use super::server::Server;
use super::temp_folder::TempFolder;
use super::tile;

/// The sightings listed under Numbers.
const LISTED: &str = "document.querySelectorAll('dialog .kits li').length";

/// Opens the sheet with one of its ways in, by the end of its key's id, and waits until it is drawn:
/// what the sheet tells may stand there before the tap has any effect.
pub async fn open_way_in(phone: &Phone, way: &str) {
    phone.open_sheet("#open-skyline").await;
    phone.tap(&format!("#skyline-{way}")).await;
    let drawn = format!("document.querySelector('#skyline-{way}[aria-pressed=true]')");
    phone.wait_until("a way in", &drawn).await;
}

/// Pastes a table of two bearings into the skyline's sheet and waits until the worker has read it.
pub async fn read_two_bearings(phone: &Phone) {
    open_way_in(phone, "table").await;
    phone.paste("#table", "150 8\n170 9").await;
    let read = "document.querySelector('dialog').innerText.includes('2 bearings read')";
    phone.wait_until("the worker's answer", read).await;
}

/// Three sightings shorten the night: the core clears a ridge later than the flat horizon.
#[tokio::test]
async fn three_sightings_shrink_the_window() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    phone.show("night").await;
    let before = phone.text("#answer .figure").await;
    phone.show("framing").await;
    open_way_in(&phone, "numbers").await;
    for (bearing, height) in [("140", "9"), ("175", "10.5"), ("215", "8")] {
        phone.fill("#bearing", bearing).await;
        phone.fill("#sighted", height).await;
        phone.tap_text("Add").await;
    }
    assert_eq!(phone.eval(LISTED).await, json!(3));
    // a height out of range is refused beside its field, and the sheet is not left with it
    phone.fill("#sighted", "95").await;
    let told = phone.text("dialog").await;
    assert!(told.contains("Height must be from -10 to 89°"), "{told}");
    phone.tap("#sheet-done").await;
    let focused = "document.activeElement.id";
    assert_eq!(
        phone.eval(focused).await,
        json!("sighted"),
        "Done goes there"
    );
    phone.fill("#sighted", "9").await;
    phone.close_sheet().await;
    let told = phone.notes().await;
    assert!(told.contains("clears the ridge at"), "{told}");
    phone.show("night").await;
    let after = phone.text("#answer .figure").await;
    assert_eq!(
        [before.as_str(), after.as_str()],
        ["23:48–02:49", "00:12–02:49"]
    );
    phone.reload().await;
    phone.show("night").await;
    assert_eq!(phone.text("#answer .figure").await, after, "kept");
}

/// A tap on the strip makes a sighting, a thumb pulls it, keys step it; the last one goes away again.
#[tokio::test]
async fn a_thumb_pulls_the_line() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    phone.open_sheet("#open-skyline").await;
    let height = || async {
        let told = phone.text("dialog .readout .figure").await;
        told.trim_end_matches('°').replace('−', "-").parse::<f64>()
    };
    assert_eq!(height().await, Ok(0.0));
    let strip = "#skyline-strip";
    // a browser that scrolls by it would take the thumb's pull away
    let scrolls = format!("getComputedStyle(document.querySelector('{strip}')).touchAction");
    assert_eq!(phone.eval(&scrolls).await, json!("none"));
    phone.tap_at(phone.point_of(strip, (0.3, 0.6)).await).await;
    let tapped = height().await.expect("a height");
    assert!(tapped > 1.0, "{tapped}");
    let bearing = phone.text("dialog .readout .second").await;
    // the thumb takes hold of the sighting under it and pulls it straight up
    let from = phone.point_of(strip, (0.3, 0.6)).await;
    phone.drag(from, (from.0, from.1 - 60.0)).await;
    let pulled = height().await.expect("a height");
    assert!(pulled > tapped + 1.0, "from {tapped}° to {pulled}°");
    assert_eq!(phone.text("dialog .readout .second").await, bearing);
    let told = phone.text("dialog .readout .figure").await;
    phone.tap("[aria-label='height: more']").await;
    let raised =
        format!("document.querySelector('dialog .readout .figure').innerText !== '{told}'");
    phone.wait_until("another height", &raised).await;
    assert_eq!(
        height()
            .await
            .map(|now| (now - pulled) * 10.0)
            .map(f64::round),
        Ok(1.0)
    );
    phone
        .run(&format!("document.querySelector('{strip}').focus()"))
        .await;
    phone.key(Key::Down).await;
    let back =
        format!("document.querySelector('dialog .readout .figure').innerText === '{pulled:.1}°'");
    phone.wait_until("a tenth less", &back).await;
    phone
        .wait_until("it stored", "storedOuting().includes('line=')")
        .await;
    phone.tap("#skyline-remove").await;
    phone
        .wait_until("none stored", "!storedOuting().includes('line=')")
        .await;
    assert_eq!(phone.errors().await, json!([]));
}

/// From 2240 m a plain at sea level ends 1.797′ · √2240 = 1.42° below level; that is no ridge.
#[tokio::test]
async fn a_high_site_is_offered_the_dip_of_a_plain() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    open_way_in(&phone, "numbers").await;
    assert_eq!(phone.text("#dip").await, "Over a plain from here: −1.4°");
    phone.tap("#dip").await;
    assert_eq!(
        phone.eval("document.querySelector('#ridge').value").await,
        json!("-1.42")
    );
    phone.close_sheet().await;
    phone.show("night").await;
    phone.tap("[aria-label='night'] .step-value").await;
    phone.wait_for_sheet().await;
    let sheet = phone.text("dialog").await;
    assert!(
        sheet.contains("Skyline: 1.4° below level all round"),
        "{sheet}"
    );
    phone.close_sheet().await;
    phone.open_sheet("#open-card").await;
    let card = phone.text(".field-card").await;
    assert!(card.contains("over a horizon 1.4° below level"), "{card}");
    assert!(!card.contains("ridge −"), "{card}");
}

/// Resolute, in the magnetic model's caution zone: a level field of 3400 nT.
#[tokio::test]
async fn near_the_magnetic_pole_a_compass_is_said_to_be_unreliable() {
    const ARCTIC: &str = "v=1&lat=74.72&lon=-94.97&zone=-6&place=Far%20north&night=2027-12-04";
    let server = Server::from_dist();
    for (hash, unreliable) in [(ARCTIC, true), (ALPS, false)] {
        let phone = open_framing(&server, hash).await;
        open_way_in(&phone, "numbers").await;
        phone.tap_text("compass north").await;
        phone
            .wait_until(
                "the model's answer",
                "document.querySelector('#declination').value !== '0'",
            )
            .await;
        let told = phone.text("dialog").await;
        assert_eq!(
            told.contains("a compass is unreliable"),
            unreliable,
            "{told}"
        );
    }
}

#[tokio::test]
async fn a_table_is_pasted_and_a_wrong_line_is_named() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    open_way_in(&phone, "table").await;
    phone
        .paste("#table", "bearing, height\n150, 8\n160, high\n")
        .await;
    phone
        .wait_until(
            "the complaint",
            "document.querySelector('dialog').innerText.includes('Line 3')",
        )
        .await;
    phone
        .paste("#table", "bearing, height\n150, 8\n160, 9\n170\t11")
        .await;
    phone
        .wait_until(
            "the rows",
            "document.querySelector('dialog').innerText.includes('3 bearings read')",
        )
        .await;
    phone.tap("#skyline-numbers").await;
    assert_eq!(phone.eval(LISTED).await, json!(3));
    phone.close_sheet().await;
    phone.undo().await;
    phone.show("framing").await;
    open_way_in(&phone, "numbers").await;
    assert_eq!(phone.eval(LISTED).await, json!(0), "taken back");
}

/// Holds the phone at an angle until the sheet shows it. A sensor reports many times a second, and the
/// page skips those that come too soon after the last.
async fn lean_until(phone: &Phone, beta_deg: f64, gamma_deg: f64, shown: &str) {
    let told = format!("document.querySelector('dialog').innerText.includes('{shown}')");
    let start = Instant::now();
    for report in 0.. {
        let alpha_deg = 200 + report % 3;
        let lean = json!({"alpha": alpha_deg, "beta": beta_deg, "gamma": gamma_deg});
        phone
            .cdp("DeviceOrientation.setDeviceOrientationOverride", lean)
            .await;
        if phone.eval(&told).await == json!(true) {
            return;
        }
        assert!(start.elapsed() < Duration::from_secs(15), "never {shown}");
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
}

#[tokio::test]
async fn the_phone_sights_along_its_edge() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    open_way_in(&phone, "tilt").await;
    lean_until(&phone, 1.5, 0.0, "1.5° up").await;
    phone.tap_text("It lies level").await;
    lean_until(&phone, 13.5, 4.0, "12.0° up").await;
    phone.tap_text("Use 12.0°").await;
    phone.tap("#skyline-numbers").await;
    assert_eq!(
        phone.eval("document.querySelector('#sighted').value").await,
        json!("12")
    );
    phone.tap("#skyline-tilt").await;
    lean_until(&phone, 13.5, 4.0, "12.0° up").await;
    // a compass that says where it points, set against the core
    phone
        .wait_until(
            "the compass",
            "dispatchEvent(Object.assign(new Event('deviceorientationabsolute'),
                 {alpha: 190, beta: 13.5, gamma: 0, absolute: true}))
             && document.querySelector('dialog').innerText.includes('compass 170°')",
        )
        .await;
    phone.tap_text("It points at the core").await;
    phone.tap_text("Take").await;
    phone.tap("#skyline-numbers").await;
    assert_eq!(phone.eval(LISTED).await, json!(1));
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_sensor_denied_or_missing_is_told() {
    let server = Server::from_dist();
    for (setting, told) in [
        (
            "DeviceOrientationEvent.requestPermission = async () => 'denied'",
            "not allowed",
        ),
        (
            "delete window.DeviceOrientationEvent",
            "does not tell how the phone is held",
        ),
    ] {
        let phone = Phone::new(360, 780).await;
        phone.add_init_script(setting).await;
        phone.open_link(&server.address_with(ALPS)).await;
        show_framing(&phone).await;
        open_way_in(&phone, "tilt").await;
        let told = format!("document.querySelector('dialog').innerText.includes('{told}')");
        phone.wait_until("the sentence", &told).await;
        phone.tap("#skyline-numbers").await;
        phone.fill("#bearing", "170").await;
        phone.tap_text("Add").await;
        assert_eq!(phone.eval(LISTED).await, json!(1));
    }
}

/// The wall stands 760 m higher than the site, 13 340 m away: 3.21° by the sphere with a bend of
/// 0.13 (worked by hand: 760 / 13340 − 0.87 · 13340 / 12742000).
#[tokio::test]
async fn a_tile_becomes_a_skyline() {
    let server = Server::from_dist();
    let folder = TempFolder::new("tiles");
    let tile = folder.write(tile::NAME, &tile::with_a_wall());
    let broken = folder.write("N47E009.hgt", &[1; 1000]);
    let rows = folder.write("skyline.csv", b"bearing,height\n150,8\n160,9\n");
    let phone = open_framing(&server, ALPS).await;
    open_way_in(&phone, "tile").await;
    phone.choose_file("#tiles", &broken).await;
    phone
        .wait_until(
            "the sentence",
            "document.querySelector('dialog').innerText.includes('N47E009.hgt')",
        )
        .await;
    // files are added to those named before
    let emptied = "document.querySelector('#tiles').value = ''";
    phone.run(emptied).await;
    phone.choose_file("#tiles", &tile).await;
    phone
        .wait_until(
            "the skyline",
            "document.querySelector('dialog').innerText.includes('bearings read')",
        )
        .await;
    phone.close_sheet().await;
    phone
        .wait_until("it stored", "storedOuting().includes('line=')")
        .await;
    let stored = phone.eval("decodeURIComponent(storedOuting())").await;
    let stored = stored.as_str().expect("an outing");
    let line = stored.split("line=").nth(1).expect("a skyline");
    let south = line.split(['_', '&']).filter_map(|point| {
        let (bearing, height) = point.split_once('*')?;
        Some((bearing.parse::<f64>().ok()?, height.parse::<f64>().ok()?))
    });
    let south: Vec<_> = south
        .filter(|(bearing, _)| (175.0..185.0).contains(bearing))
        .collect();
    for (bearing, height) in &south {
        assert!((height - 3.21).abs() < 0.06, "{bearing}°: {height}");
    }
    // a table through the same file field
    open_way_in(&phone, "tile").await;
    phone.run(emptied).await;
    phone.choose_file("#tiles", &rows).await;
    phone
        .wait_until(
            "the rows",
            "document.querySelector('dialog').innerText.includes('2 bearings read')",
        )
        .await;
    phone.tap("#skyline-numbers").await;
    assert_eq!(phone.eval(LISTED).await, json!(2));
    assert_eq!(phone.errors().await, json!([]));
}
