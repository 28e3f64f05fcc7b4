//! Layout of each screen and sheet at every division of the window, with larger text and long values.

use serde_json::{Value, json};

use super::doors::DOORS;
use super::phone::Phone;
use super::server::Server;

/// Usual and narrow phones, one on its side, a tablet, a desk, CSS px.
const WINDOWS: [(u32, u32); 5] = [(360, 780), (320, 640), (780, 360), (820, 1180), (1366, 768)];

/// The longest values a camera may have, in every place that shows one.
const LONG: &str = "v=1&lat=-89.99&sensor=149.99x149.98&px=59999x59998&mm=1999&f=63.99&sharp=99.9px\
                    &keep=dec-89.99&held=upright&lens=stereographic&focus=99999.9m\
                    &kit=A+very+long+name+of+an+old+camera+and+of";

/// The shortest shutter time.
const SHORT: &str = "v=1&lat=89.99&mm=3000&f=0.95&sharp=0.1px&px=60000x40000&keep=frame";

/// Nights whose dates and limits are long, with a skyline and without a window.
const SKYLINE: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich\
                       &place=A+very+long+name+of+a+pass+above+a+lake+in+the+Alps&night=2027-05-31\
                       &line=130*6_150*9_170*12_180*8_195*14_215*10_230*5&air=-10_85&iso=25600&mins=600";
const WINTER: &str =
    "v=1&lat=46.52&lon=9.91&zone=Europe/Zurich&night=2026-11-25&on=tracker&held=upright";

/// Faults listed of one place.
const MOST_TOLD: usize = 6;

/// Lists what is wrong with how the open sheet, or else the page, is laid out. A stepper counts as
/// one: its frame belongs to what a thumb can hit.
pub const FAULTS: &str = "
    const here = document.querySelector('dialog[open]') || document.body;
    const faults = [];
    const called = one => `${one.tagName.toLowerCase()} ${one.getAttribute('aria-label')
        || one.textContent.trim().slice(0, 40) || one.id}`;
    const box = one => one.getBoundingClientRect();
    const drawn = one => box(one).width > 0 && box(one).height > 0 && !one.closest('.unseen')
        && one.checkVisibility({visibilityProperty: true});
    const all = [...here.querySelectorAll('*')].filter(drawn);
    // not innerWidth: a phone zooms out until what is too wide fits
    const edge = document.documentElement.clientWidth;
    const wide = document.documentElement.scrollWidth;
    if (wide > edge) faults.push(`the page is ${wide} px wide`);
    // these have edges of their own to scroll or to stand over
    const loose = 'input, select, textarea, .stepper, .step-value, .step-value *';
    const shortened = one => getComputedStyle(one).textOverflow === 'ellipsis';
    for (const one of all.filter(one => !one.ownerSVGElement)) {
        const {left, right} = box(one);
        if (left < -0.5 || right > edge + 0.5) faults.push(`beyond the edge: ${called(one)}`);
        const spills = one.clientWidth > 0 && one.scrollWidth > one.clientWidth + 1;
        if (spills && !one.matches(loose) && !shortened(one))
            faults.push(`too long for its place: ${called(one)}`);
    }
    const pressed = all.filter(one => one.matches('a, button, select, summary, label.wide, .field input, [role=slider]'));
    for (const one of pressed) {
        const whole = one.matches('.step-value') ? one.closest('.stepper') : one;
        const high = box(one.closest('.stepper, .stepped') || one).height;
        const across = box(whole).width;
        if (high < 55.9) faults.push(`${high.toFixed(1)} px high: ${called(one)}`);
        if (across < 55.9) faults.push(`${across.toFixed(1)} px wide: ${called(one)}`);
    }
    const scale = one => one.ownerSVGElement ? one.getScreenCTM().a : 1;
    const worded = one => [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim());
    const captions = 'svg text, .step-caption, .quiet, .unit, .year, small, .target .name, .theme .line, .questions span';
    for (const one of all.filter(worded)) {
        const size = parseFloat(getComputedStyle(one).fontSize) * scale(one);
        if (size < (one.matches(captions) ? 13.95 : 15.95))
            faults.push(`text of ${size.toFixed(1)} px: ${called(one)}`);
    }
    const apart = (a, b) => a.right <= b.left + 0.5 || b.right <= a.left + 0.5
        || a.bottom <= b.top + 0.5 || b.bottom <= a.top + 0.5;
    for (const stepper of all.filter(one => one.matches('.stepper'))) {
        const value = document.createRange();
        value.selectNodeContents(stepper.querySelector('.step-word'));
        for (const sign of stepper.querySelectorAll('.step path'))
            if (box(sign).width > 0 && !apart(box(value), box(sign))) faults.push(`${value} over a sign of ${called(stepper)}`);
        const typed = stepper.querySelector('button.step-value');
        for (const key of typed ? stepper.querySelectorAll('.step') : []) {
            const {x, y, width, height} = box(key);
            const middle = new DOMRect(x + width / 2, y + height / 2, 0, 0);
            if (!apart(middle, box(typed))) faults.push(`the value lies over ${called(key)}`);
        }
    }
    // what is scrolled under head, foot or deck is not seen there
    const part = one => one.closest('.sheet-head, .sheet-keys, .sheet-body, .drawer, .deck, .screen, .stage, .column, .strip, .questions');
    // keys may lie on a picture that is itself pressed, a value on the middle of its stepper
    const rivals = pressed.filter(one => !one.matches('[role=slider], .step-value, #strip'));
    rivals.forEach((one, place) => rivals.slice(place + 1).forEach(other => {
        const nested = one.contains(other) || other.contains(one);
        const meet = part(one) === part(other) && !apart(box(one), box(other));
        if (!nested && meet) faults.push(`${called(one)} over ${called(other)}`);
    }));
    return faults";

/// Lists what of the headline and of the deck is not on the screen at once, or stands under the deck.
const UNSEEN: &str = "
    const box = one => one.getBoundingClientRect();
    const whole = one => one.top >= 0 && one.left >= 0 && one.bottom <= innerHeight + 0.5
        && one.right <= innerWidth + 0.5;
    document.querySelector('main').scrollTo(0, 0);
    const deck = document.querySelector('.deck');
    const faults = [];
    for (const one of document.querySelectorAll('.headline .figure, .headline #answer')) {
        const under = deck && box(one).bottom > box(deck).top && box(one).right > box(deck).left;
        if (!whole(box(one)) || under) faults.push(`${one.innerText} is not seen whole`);
    }
    const keys = '.deck .keys > *, .questions button, .column .keys > *';
    for (const one of document.querySelectorAll(keys))
        if (!whole(box(one))) faults.push(`${one.innerText} is not seen whole`);
    return faults";

/// The faults a script finds, each with its place.
pub async fn faults(phone: &Phone, script: &str, place: &str) -> Vec<String> {
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

async fn unfold_all(phone: &Phone) {
    phone
        .run(
            "const here = document.querySelector('dialog') || document;
             here.querySelectorAll('details').forEach(one => one.open = true);
             await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))",
        )
        .await;
}

/// The faults of each screen, at rest, drawn up and unfolded, and of each sheet, whose key to close
/// it must be visible.
async fn all_faults(phone: &Phone, place: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (screen, doors) in DOORS {
        phone.show(screen).await;
        let place = format!("{place}, {screen}");
        found.extend(faults(phone, UNSEEN, &place).await);
        found.extend(first(faults(phone, FAULTS, &place).await));
        phone.draw_up().await;
        unfold_all(phone).await;
        let unfolded = format!("{place}, unfolded");
        found.extend(first(faults(phone, FAULTS, &unfolded).await));
        for door in doors {
            // without a finger, which misses on a page that is zoomed out because it does not fit
            let there = format!(
                "const door = locate({}); door?.click(); return !!door",
                json!(door)
            );
            if phone.run(&there).await != json!(true) {
                continue;
            }
            phone.wait_for_sheet().await;
            unfold_all(phone).await;
            let place = format!("{place}, {}", phone.text("#sheet-title").await);
            found.extend(first(faults(phone, FAULTS, &place).await));
            let back = "(() => {
                const back = document.querySelector('#sheet-done').getBoundingClientRect();
                return back.top >= 0 && back.bottom <= innerHeight && back.right <= innerWidth;
            })()";
            if phone.eval(back).await != json!(true) {
                found.push(format!("{place}: the way back is out of sight"));
            }
            phone
                .run("document.querySelector('#sheet-done').click()")
                .await;
            phone.wait_for_no_sheet().await;
        }
    }
    found
}

#[tokio::test]
async fn every_screen_and_sheet_fits_every_window() {
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in WINDOWS {
        let phone = Phone::new(width, height).await;
        for (values, hash) in [
            ("usual", "v=1"),
            ("long", LONG),
            ("short", SHORT),
            ("a night in spring", SKYLINE),
            ("a night in winter", WINTER),
        ] {
            phone.open_blank().await;
            phone.open_link(&server.address_with(hash)).await;
            let complaints = phone.eval("document.querySelectorAll('.notice').length");
            assert_eq!(complaints.await, json!(0), "{hash} is read");
            let place = format!("{values} values at {width} px");
            found.extend(all_faults(&phone, &place).await);
        }
        assert_eq!(phone.errors().await, json!([]));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[tokio::test]
async fn larger_text_fits_too() {
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in WINDOWS {
        let phone = Phone::new(width, height).await;
        phone
            .add_init_script(
                "const sheet = new CSSStyleSheet();
                 sheet.replaceSync('html { font-size: 150% !important }');
                 document.adoptedStyleSheets = [sheet];",
            )
            .await;
        phone.open_link(&server.address_with(SKYLINE)).await;
        let place = format!("text at 150 % at {width} px");
        found.extend(all_faults(&phone, &place).await);
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// What the card opens.
#[tokio::test]
async fn the_sheets_of_the_card_fit() {
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in WINDOWS {
        let phone = Phone::new(width, height).await;
        phone.open_link(&server.address_with(SKYLINE)).await;
        for (key, title) in [("#card-share", "Share"), ("#card-lists", "Lists")] {
            phone.open_sheet("#open-card").await;
            phone.run(&format!("locate('{key}').click()")).await;
            let rest = format!(
                "document.querySelector('#sheet-title')?.innerText === '{title}'
                     && !document.getAnimations().length"
            );
            phone.wait_until("the sheet at rest", &rest).await;
            unfold_all(&phone).await;
            let place = format!("{title} at {width} px");
            found.extend(first(faults(&phone, FAULTS, &place).await));
            phone.close_sheets().await;
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// A frame of the panorama, as it is read in the field.
#[tokio::test]
async fn the_frames_of_a_panorama_fit() {
    let server = Server::from_dist();
    let mut found = Vec::new();
    for (width, height) in WINDOWS {
        let phone = Phone::new(width, height).await;
        phone.open_link(&server.address_with(SKYLINE)).await;
        phone.show("framing").await;
        phone.open_sheet("#open-panorama").await;
        phone.tap_text("Take the frames").await;
        phone
            .wait_until("the frame", "document.querySelector('.field-frame')")
            .await;
        let place = format!("a frame at {width} px");
        found.extend(first(faults(&phone, FAULTS, &place).await));
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
    unfold_all(&phone).await;
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
    phone.show("more").await;
    phone
        .run(
            "document.querySelector('#open-kit .word').style.fontSize = '15px';
             document.querySelector('#undo').style.cssText = 'min-height: 40px; height: 40px';
             document.querySelector('#redo').style.cssText = 'width: 50px; min-width: 0';
             document.querySelector('#open-site').style.width = '400px';
             document.querySelector('#open-share').style.marginTop = '-30px'",
        )
        .await;
    let found = faults(&phone, FAULTS, "spoilt").await;
    for kind in [
        "text of 15.0 px",
        "40.0 px high",
        "50.0 px wide",
        "beyond the edge",
        " over ",
    ] {
        let told = found.iter().any(|fault| fault.contains(kind));
        assert!(told, "{kind:?} in {found:?}");
    }
}
