//! Why track?: what a tracker or a stack buys, with pictures of it.

use serde_json::json;

use super::SCREENS;
use super::phone::Phone;
use super::server::Server;

/// A high pass in the Alps in June, a moonless night.
const ALPS: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04&f=2.8&minute=795";

const LONGER: &str = "[aria-label='lens looked at: more']";
const LENS: &str = "[aria-label='lens looked at'] .step-value";

async fn open_tracking(server: &Server, hash: &str) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address_with(hash)).await;
    phone.tap_text("Why track?").await;
    phone
        .wait_until("the chart", "document.querySelector('.reach .tripod')")
        .await;
    phone
}

/// How much the pixels of each picture differ from one another: their standard deviations.
const SPREADS: &str = "[...document.querySelectorAll('.way canvas')].map(canvas => {
    const {data} = canvas.getContext('2d').getImageData(0, 0, 64, 64);
    const reds = [...data].filter((_, at) => at % 4 === 0);
    const mean = reds.reduce((a, b) => a + b) / reds.length;
    return Math.sqrt(reds.reduce((sum, red) => sum + (red - mean) ** 2, 0) / reds.length);
})";

async fn pictures_drawn(phone: &Phone) {
    phone
        .wait_until(
            "four pictures",
            &format!("{SPREADS}.filter(spread => spread > 5).length === 4"),
        )
        .await;
}

/// The clean times shown are those of the worked table: 6 µm, 2 px at the core's declination, 20 mm
/// 9.41 s, 135 mm 1.39 s (first principles, as in tests of the drift).
#[tokio::test]
async fn a_plain_sentence_opens_it() {
    let server = Server::from_dist();
    let phone = open_tracking(&server, ALPS).await;
    for (width, height) in SCREENS {
        phone.resize(width, height).await;
        let lead = phone.text(".lead").await.replace('\u{a0}', " ");
        assert_eq!(
            lead,
            "At 20 mm stars like the core, in mid-frame, stay round for 9.4 s; at 135 mm for 1.39 s."
        );
        assert_eq!(
            phone.text(".answer .for").await.replace('\u{a0}', " "),
            "for 20 mm"
        );
        let fits = phone
            .eval(
                "document.querySelector('.verdict').getBoundingClientRect().bottom
                     < document.querySelector('.deck').getBoundingClientRect().top
                 && document.documentElement.scrollWidth <= innerWidth",
            )
            .await;
        assert_eq!(fits, json!(true), "at {width} px");
        assert_eq!(phone.errors().await, json!([]));
    }
}

/// What a tracker saves depends on read noise and on the gap between frames: a range while they are
/// unknown, one number once they are entered.
#[tokio::test]
async fn an_unknown_body_has_a_range() {
    let server = Server::from_dist();
    let typed = format!("{ALPS}&noise=1600*2_6400*1.8&write=0.5");
    for (hash, range) in [(ALPS, true), (typed.as_str(), false)] {
        let phone = open_tracking(&server, hash).await;
        let figure = phone.text(".beside .figure").await;
        assert!(figure.ends_with('×'), "{figure}");
        assert_eq!(figure.contains('–'), range, "{figure}");
        let told = phone.text("main").await;
        assert_eq!(
            told.contains("The range is for 1.2 to 2.5 e⁻"),
            range,
            "{told}"
        );
        assert_eq!(phone.errors().await, json!([]));
    }
}

#[tokio::test]
async fn the_lens_moves_under_a_thumb_by_button_and_by_key() {
    let server = Server::from_dist();
    let phone = open_tracking(&server, ALPS).await;
    let lens = || async { phone.text(LENS).await.replace('\u{a0}', " ") };
    assert_eq!(lens().await, "20 mm");
    phone.tap(LONGER).await;
    phone
        .wait_until(
            "21 mm",
            &format!("document.querySelector({LENS:?}).innerText.includes('21')"),
        )
        .await;
    // three quarters of the way along, and no further than the end
    for (share, least, most) in [
        (0.75, 120.0, 220.0),
        (5.0, 600.0, 600.0),
        (-5.0, 10.0, 10.0),
    ] {
        phone
            .run(&format!(
                "const chart = document.querySelector('.reach');
                 const box = chart.getBoundingClientRect();
                 const at = {{bubbles: true, buttons: 1, pointerId: 1, clientY: box.top + 40,
                              clientX: box.left + {share} * box.width}};
                 chart.dispatchEvent(new PointerEvent('pointerdown', at))"
            ))
            .await;
        let value = phone
            .eval("Number(document.querySelector('.reach').getAttribute('aria-valuenow'))")
            .await;
        let value = value.as_f64().expect("a focal length");
        assert!((least..=most).contains(&value), "{share}: {value} mm");
    }
    phone
        .run(
            "document.querySelector('.reach').dispatchEvent(
                 new KeyboardEvent('keydown', {key: 'ArrowRight', bubbles: true}))",
        )
        .await;
    assert_eq!(lens().await, "11 mm");
    // the lens in use is not touched, and a tap goes back to it
    let kit = phone.text("main .line").await;
    assert!(kit.starts_with("20 mm"), "{kit}");
    phone.tap(LENS).await;
    assert_eq!(lens().await, "20 mm");
}

/// A long lens on a tripod is noisier after the same time than on a tracker, to be seen in the
/// pictures: where there are no stars, pixels scatter more.
#[tokio::test]
async fn the_pictures_show_what_is_told() {
    let server = Server::from_dist();
    let phone = open_tracking(&server, ALPS).await;
    pictures_drawn(&phone).await;
    let wide = phone.eval(SPREADS).await;
    phone.tap_text("Lagoon").await;
    phone
        .wait_until(
            "a long lens",
            "Number(document.querySelector('.reach').getAttribute('aria-valuenow')) > 400",
        )
        .await;
    phone
        .wait_until(
            "new pictures",
            &format!("JSON.stringify({SPREADS}) !== {:?}", wide.to_string()),
        )
        .await;
    let spreads = phone.eval(SPREADS).await;
    let at = |place: usize| spreads[place].as_f64().expect("a spread");
    assert!(at(1) > 1.2 * at(2), "stack and tracker: {spreads}");
    assert_eq!(phone.text(".answer .figure").await, "tracker");
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn figures_have_their_assumptions_and_charts_a_table() {
    let server = Server::from_dist();
    let phone = open_tracking(&server, ALPS).await;
    for (word, inside) in [
        ("The same in numbers", "Half rate"),
        ("The four in numbers", "drawn by lot"),
        ("Every usual lens", "equation of the CCD"),
        ("What it rests on", "ISO 2720"),
        ("At 20", "twice the focal length"),
        ("In ", "uncertain by their root"),
        ("A stack adds up", "What you lose"),
    ] {
        phone.tap_text(word).await;
        phone
            .wait_until(
                word,
                &format!("[...document.querySelectorAll('details[open]')].some(one => one.innerText.includes({inside:?}))"),
            )
            .await;
    }
    // the row of 135 mm: clean for 1.3 s
    let row = "[...document.querySelectorAll('.lenses tr')].find(row => row.innerText.startsWith('135')).innerText";
    let row = phone.eval(row).await;
    assert!(row.as_str().unwrap_or_default().contains("1.3"), "{row}");
}

#[tokio::test]
async fn the_tracker_is_typed_and_survives() {
    let server = Server::from_dist();
    let phone = open_tracking(&server, ALPS).await;
    let limit = "document.querySelector('.reach').getAttribute('aria-valuetext')";
    phone.tap_text("Eagle").await;
    phone
        .wait_until(
            "a long lens",
            "Number(document.querySelector('.reach').getAttribute('aria-valuenow')) > 400",
        )
        .await;
    let before = phone.eval(limit).await;
    phone.tap_text("Tracker: ").await;
    phone.wait_for_sheet().await;
    phone.fill("#polar-up", "700").await;
    assert!(
        phone
            .text("dialog")
            .await
            .contains("error at the pole must be from -600 to 600")
    );
    phone.fill("#polar-up", "60").await;
    phone.tap_text("Done").await;
    let after = phone.eval(limit).await;
    assert_ne!(
        before, after,
        "a degree beside the pole shortens the frames"
    );
    phone.reload().await;
    phone.tap_text("Why track?").await;
    let page = phone.text("main").await;
    assert!(page.contains("60′ off the pole"), "{page}");
}
