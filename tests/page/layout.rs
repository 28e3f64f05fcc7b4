//! Layout of each screen and sheet: on narrow screens, in landscape, with larger text and long values.

use serde_json::{Value, json};

use super::phone::Phone;
use super::server::Server;

/// Narrow and usual phones, and one on its side, CSS px.
const SCREENS: [(u32, u32); 3] = [(360, 780), (320, 640), (780, 360)];

/// The longest values a camera may have, in every place that shows one.
const LONG: &str = "v=1&lat=-89.99&sensor=149.99x149.98&px=59999x59998&mm=1999&f=63.99&sharp=99.9px\
                    &keep=dec-89.99&held=upright&lens=stereographic&focus=99999.9m\
                    &kit=A+very+long+name+of+an+old+camera+and+of";

/// The shortest shutter time.
const SHORT: &str = "v=1&lat=89.99&mm=3000&f=0.95&sharp=0.1px&px=60000x40000&keep=frame";

/// Faults listed of one place.
const MOST_TOLD: usize = 6;

/// What opens each sheet.
const DOORS: [&str; 7] = [
    "[aria-label='focal length'] .step-value",
    "[aria-label='f-number'] .step-value",
    ".keep",
    "text=Kit",
    "text=Site",
    "text=Card",
    "text=Display",
];

/// Lists what is wrong with how the open sheet, or else the page, is laid out. A stepper counts as
/// one: its frame belongs to what a thumb can hit.
const FAULTS: &str = "
    const here = document.querySelector('dialog[open]') || document.body;
    const faults = [];
    const called = one => `${one.tagName.toLowerCase()} ${one.getAttribute('aria-label')
        || one.textContent.trim().slice(0, 40) || one.id}`;
    const box = one => one.getBoundingClientRect();
    const drawn = one => box(one).width > 0 && box(one).height > 0 && !one.closest('.unseen');
    const all = [...here.querySelectorAll('*')].filter(drawn);
    // not innerWidth: a phone zooms out until what is too wide fits
    const edge = document.documentElement.clientWidth;
    const wide = document.documentElement.scrollWidth;
    if (wide > edge) faults.push(`the page is ${wide} px wide`);
    // these have edges of their own to scroll or to stand over
    const loose = 'input, select, .stepper, .step-value';
    for (const one of all.filter(one => !one.ownerSVGElement)) {
        const {left, right} = box(one);
        if (left < -0.5 || right > edge + 0.5) faults.push(`beyond the edge: ${called(one)}`);
        const spills = one.clientWidth > 0 && one.scrollWidth > one.clientWidth + 1;
        if (spills && !one.matches(loose)) faults.push(`too long for its place: ${called(one)}`);
    }
    const pressed = all.filter(one => one.matches('a, button, select, summary, label.wide, .field input'));
    for (const one of pressed) {
        const high = box(one.closest('.stepper') || one).height;
        if (high < 55.9) faults.push(`${high.toFixed(1)} px high: ${called(one)}`);
    }
    const scale = one => one.ownerSVGElement ? one.getScreenCTM().a : 1;
    const worded = one => [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim());
    for (const one of all.filter(worded)) {
        const size = parseFloat(getComputedStyle(one).fontSize) * scale(one);
        if (size < 15.95) faults.push(`text of ${size.toFixed(1)} px: ${called(one)}`);
    }
    const apart = (a, b) => a.right <= b.left + 0.5 || b.right <= a.left + 0.5
        || a.bottom <= b.top + 0.5 || b.bottom <= a.top + 0.5;
    for (const stepper of all.filter(one => one.matches('.stepper'))) {
        const value = document.createRange();
        value.selectNodeContents(stepper.querySelector('.step-value'));
        for (const sign of stepper.querySelectorAll('.step span'))
            if (!apart(box(value), box(sign))) faults.push(`${value} over ${sign.textContent}`);
    }
    const rivals = pressed.filter(one => here !== document.body || one.closest('.deck'));
    // what is scrolled under the foot of a sheet is not seen there
    const part = one => one.closest('.sheet-body, .sheet-foot, .deck');
    rivals.forEach((one, place) => rivals.slice(place + 1).forEach(other => {
        const nested = one.contains(other) || other.contains(one);
        const meet = part(one) === part(other) && !apart(box(one), box(other));
        if (!nested && meet) faults.push(`${called(one)} over ${called(other)}`);
    }));
    return faults";

/// Lists what of the answers and of the deck is not on the screen at once, or stands under it.
const UNSEEN: &str = "
    scrollTo(0, 0);
    const box = one => one.getBoundingClientRect();
    const whole = one => one.top >= 0 && one.left >= 0 && one.bottom <= innerHeight && one.right <= innerWidth;
    const deck = box(document.querySelector('.deck'));
    const faults = [];
    for (const css of ['.answer .figure', '.answer .for', '.beside .figure', '.beside .for']) {
        const one = box(document.querySelector(css));
        const under = one.bottom > deck.top && one.right > deck.left;
        if (!whole(one) || under) faults.push(`${css} is not seen whole`);
    }
    for (const one of document.querySelectorAll('.deck .stepper, .deck button'))
        if (!whole(box(one))) faults.push(`${one.innerText} is not seen whole`);
    return faults";

/// The faults a script finds, each with its place.
async fn faults(phone: &Phone, script: &str, place: &str) -> Vec<String> {
    let found = phone.run(script).await;
    let found = found.as_array().expect("a list of faults");
    let found = found.iter().filter_map(Value::as_str);
    found.map(|fault| format!("{place}: {fault}")).collect()
}

/// The first few: one thing that is too wide makes much else so.
fn first(mut faults: Vec<String>) -> Vec<String> {
    faults.truncate(MOST_TOLD);
    faults
}

/// The faults of the page and of each sheet, whose button to close it must be visible.
async fn all_faults(phone: &Phone, place: &str) -> Vec<String> {
    let mut found = faults(phone, UNSEEN, place).await;
    found.extend(first(faults(phone, FAULTS, place).await));
    for door in DOORS {
        // without a finger, which misses on a page that is zoomed out because it does not fit
        phone.run(&format!("locate(\"{door}\").click()")).await;
        phone.wait_for_sheet().await;
        phone
            .run("document.querySelectorAll('details').forEach(one => one.open = true)")
            .await;
        let place = format!("{place}, {}", phone.text("#sheet-title").await);
        found.extend(first(faults(phone, FAULTS, &place).await));
        let back = "(() => {
            const back = document.querySelector('.sheet-foot button').getBoundingClientRect();
            return back.top >= 0 && back.bottom <= innerHeight;
        })()";
        if phone.eval(back).await != json!(true) {
            found.push(format!("{place}: the way back is out of sight"));
        }
        phone
            .run("document.querySelector('.sheet-foot button').click()")
            .await;
        phone.wait_for_no_sheet().await;
    }
    found
}

#[tokio::test]
async fn every_sheet_fits_every_screen() {
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in SCREENS {
        let phone = Phone::new(width, height).await;
        for (values, hash) in [("usual", "v=1"), ("long", LONG), ("short", SHORT)] {
            phone.open_blank().await;
            phone.open_link(&server.address_with(hash)).await;
            let complaints = phone.eval("document.querySelectorAll('.notice').length");
            assert_eq!(complaints.await, json!(0), "{hash} is read");
            let place = format!("{values} values at {width} px");
            found.extend(all_faults(&phone, &place).await);
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[tokio::test]
async fn larger_text_fits_too() {
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in SCREENS {
        let phone = Phone::new(width, height).await;
        phone.open(&server.address()).await;
        phone
            .run("document.documentElement.style.fontSize = '150%'")
            .await;
        let place = format!("text at 150 % at {width} px");
        found.extend(all_faults(&phone, &place).await);
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[tokio::test]
async fn sentences_and_unfolded_rules_fit() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    phone
        .open(&server.address_with("v=1&mm=-4&lat=999&x=%3Cscript%3E"))
        .await;
    let said = phone.text(".notices").await;
    assert!(said.contains("The link was not taken"), "{said}");
    assert_eq!(
        said.split("; ").count(),
        3,
        "each wrong key is told: {said}"
    );
    let rules = phone.eval("document.querySelectorAll('.rules button').length");
    let rules = rules.await.as_u64().expect("a number of rules");
    assert!(rules > 0, "there are rules");
    for rule in 0..rules {
        phone
            .run(&format!(
                "document.querySelectorAll('.rules button')[{rule}].click()"
            ))
            .await;
        phone
            .wait_until("its note", "document.querySelector('.rules .note')")
            .await;
        let found = faults(&phone, FAULTS, &format!("rule {rule}")).await;
        assert!(found.is_empty(), "{}", found.join("\n"));
    }
}

/// Checks the measure itself: it finds a layout that does not fit.
#[tokio::test]
async fn the_measure_sees_what_does_not_fit() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone
        .run(
            "document.querySelector('.sentence').style.fontSize = '15px';
             document.querySelector('.keep').style.minHeight = '40px';
             document.querySelector('.keep').style.height = '40px';
             document.querySelector('.map').style.width = '400px';
             document.querySelector('.doors button').style.marginRight = '-30px'",
        )
        .await;
    let found = faults(&phone, FAULTS, "spoilt").await;
    for kind in [
        "text of 15.0 px",
        "40.0 px high",
        "beyond the edge",
        " over ",
    ] {
        let told = found.iter().any(|fault| fault.contains(kind));
        assert!(told, "{kind:?} in {found:?}");
    }
}

/// The card with every line it can have, and the sheets it opens.
#[tokio::test]
async fn the_card_and_its_sheets_fit() {
    const FULL: &str = "lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&night=2027-06-04\
                        &place=A+very+long+name+of+a+pass+above+a+lake+in+the+Alps\
                        &line=130*6_150*9_170*12_180*8&air=-10_85&on=tracker&iso=25600&mins=600";
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in SCREENS {
        let phone = Phone::new(width, height).await;
        for (values, hash) in [
            ("usual", FULL.to_owned()),
            ("large text", FULL.to_owned()),
            ("quick", format!("{FULL}&mm=3000&f=0.95&sharp=0.1px")),
            ("slow", format!("{FULL}&keep=dec-90&mb=999&charge=1")),
        ] {
            phone.open_blank().await;
            phone
                .open_link(&server.address_with(&format!("v=1&{hash}")))
                .await;
            if values == "large text" {
                phone
                    .run("document.documentElement.style.fontSize = '150%'")
                    .await;
            }
            for sheet in ["Card", "Lists", "Frames and ISO"] {
                let name = json!(sheet);
                phone
                    .run(&format!(
                        "const open = document.querySelector('dialog') || document;
                         [...open.querySelectorAll('button')]
                             .find(one => one.innerText === {name}).click()"
                    ))
                    .await;
                let title = if sheet == "Card" { "Field card" } else { sheet };
                let rest = format!(
                    "document.querySelector('#sheet-title')?.innerText === '{title}'
                         && !document.getAnimations().length"
                );
                phone.wait_until("the sheet at rest", &rest).await;
                phone
                    .run("document.querySelectorAll('details').forEach(one => one.open = true)")
                    .await;
                let place = format!("{sheet}, {values} at {width} px");
                found.extend(first(faults(&phone, FAULTS, &place).await));
                if sheet != "Card" {
                    phone
                        .run("document.querySelector('.sheet-foot button').click()")
                        .await;
                    phone
                        .wait_until("the card", "document.querySelector('.field-card')")
                        .await;
                }
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// Where? and its sheets, the camera level and upright.
#[tokio::test]
async fn the_view_and_its_sheets_fit() {
    const SKYLINE: &str = "lat=46.52&lon=9.91&zone=Europe/Zurich&place=Pass&night=2027-06-04\
                           &line=130*6_150*9_170*12_180*8_195*14_215*10_230*5";
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in SCREENS {
        let phone = Phone::new(width, height).await;
        for held in ["level", "upright"] {
            phone.open_blank().await;
            let hash = format!("v=1&{SKYLINE}&held={held}");
            phone.open_link(&server.address_with(&hash)).await;
            phone.tap_text("Where?").await;
            phone
                .wait_until("the view", "document.querySelector('.lens .star')")
                .await;
            let place = format!("Where? {held} at {width} px");
            found.extend(first(faults(&phone, FAULTS, &place).await));
            for sheet in ["Skyline", "The arch"] {
                phone.tap_text(sheet).await;
                phone.wait_for_sheet().await;
                let place = format!("{place}, {sheet}");
                found.extend(first(faults(&phone, FAULTS, &place).await));
                phone.tap_text("Done").await;
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// The thumb's row under When?, on nights with long names.
#[tokio::test]
async fn every_night_fits_the_thumbs_row() {
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in SCREENS {
        let phone = Phone::new(width, height).await;
        for night in ["2026-11-25", "2026-10-31", "2026-05-31"] {
            phone.open_blank().await;
            let hash = format!("v=1&lat=46.52&lon=9.91&zone=Europe/Zurich&night={night}");
            phone.open_link(&server.address_with(&hash)).await;
            phone.tap_text("When?").await;
            phone
                .wait_until("the night", "document.querySelector('.readout')")
                .await;
            let place = format!("When? of {night} at {width} px");
            found.extend(first(faults(&phone, FAULTS, &place).await));
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// Why track?, everything unfolded, and its sheet; a wide lens and a long one.
#[tokio::test]
async fn why_track_fits() {
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in SCREENS {
        let phone = Phone::new(width, height).await;
        for hash in ["v=1", "v=1&mm=600&f=11&sharp=0.5px", LONG] {
            phone.open_blank().await;
            phone.open_link(&server.address_with(hash)).await;
            phone.tap_text("Why track?").await;
            phone
                .wait_until("the chart", "document.querySelector('.reach .tripod')")
                .await;
            let place = format!("Why track? with {hash} at {width} px");
            found.extend(faults(&phone, UNSEEN, &place).await);
            phone
                .run("document.querySelectorAll('details').forEach(one => one.open = true)")
                .await;
            found.extend(first(faults(&phone, FAULTS, &place).await));
            phone.tap_text("Tracker: ").await;
            phone.wait_for_sheet().await;
            found.extend(first(
                faults(&phone, FAULTS, &format!("{place}, tracker")).await,
            ));
            phone.tap_text("Done").await;
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
