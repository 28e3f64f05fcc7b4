//! What is seen at a glance: the settings on the first screen, few words, small controls, and
//! nothing that runs wide.

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

/// Every division of the window, CSS px.
const WINDOWS: [(u32, u32); 6] = [
    (320, 640),
    (360, 780),
    (780, 360),
    (820, 1180),
    (1366, 768),
    (1920, 1080),
];

/// Buttons of the screens.
const SCREENS: [&str; 5] = [
    "#show-exposure",
    "#show-night",
    "#show-framing",
    "#show-tracking",
    "#show-more",
];

/// A July night in the mountains with a skyline, and a June night at 69° N without darkness.
const JULY: &str = "v=1&lat=46.52&lon=9.91&high=1980&zone=Europe/Zurich&place=Tarn+below+the+pass\
                    &line=0*4_50*7_100*6_150*4_200*2.6_250*5.5_300*8&night=2026-07-09&minute=726";
const JUNE_69N: &str = "v=1&lat=69.3&lon=18.4&zone=Europe/Oslo&place=Fjord&night=2026-06-20";

/// Most words before anything is unfolded: in sight, and with what one can scroll to.
const MOST_IN_SIGHT: u64 = 60;
const MOST_IN_ALL: u64 = 250;

/// Counts the words of the page: in sight, and all that are not folded away. Numbers, letters of
/// the compass, months and units are none.
const COUNT_WORDS: &str = "
    const months = 'jan feb mar apr may jun jul aug sep oct nov dec january february march april '
        + 'june july august september october november december';
    const units = 's px mm m km min h mag lx gb mb iso up in mag/arcsec² °c';
    const none = new Set((months + ' ' + units).split(' '));
    const compass = /^[NESW]{1,3}$/;
    const words = text => text.split(/[\\s\\u00a0]+/).filter(word => /\\p{L}/u.test(word)
        && !/\\d/.test(word) && !compass.test(word.replace(/[^\\p{L}]/gu, ''))
        && !none.has(word.toLowerCase().replace(/[^\\p{L}/°²]/gu, '')));
    const deck = document.querySelector('.phone .deck');
    const foot = deck ? deck.getBoundingClientRect().top : innerHeight;
    const walker = document.createTreeWalker(document.querySelector('.page'), NodeFilter.SHOW_TEXT);
    let inSight = 0, all = 0, seen = [];
    while (walker.nextNode()) {
        const node = walker.currentNode;
        const parent = node.parentElement;
        if (!node.data.trim() || parent.closest('.unseen, [hidden]')) continue;
        const folded = parent.closest('details:not([open])');
        if (folded && !parent.closest('summary')) continue;
        const range = document.createRange();
        range.selectNode(node);
        const box = range.getBoundingClientRect();
        if (box.width === 0 || getComputedStyle(parent).visibility === 'hidden') continue;
        const found = words(node.data);
        all += found.length;
        const under = !parent.closest('.deck, .questions') && box.top >= foot;
        if (box.top >= 0 && box.bottom <= innerHeight && !under) {
            inSight += found.length;
            seen.push(...found);
        }
    }
    return {inSight, all, seen: seen.join(' ')}";

#[tokio::test]
async fn a_screen_has_few_words() {
    let server = Server::from_dist();
    for form in [JULY, JUNE_69N] {
        let phone = Phone::new(360, 780).await;
        phone
            .open_link(&format!("{}#{form}", server.address()))
            .await;
        for screen in SCREENS {
            phone.tap(screen).await;
            let count = phone.run(COUNT_WORDS).await;
            let in_sight = count["inSight"].as_u64().expect("a number");
            let all = count["all"].as_u64().expect("a number");
            println!("{screen}: {in_sight} words in sight, {all} in all");
            assert!(in_sight <= MOST_IN_SIGHT, "{screen}: {count}");
            assert!(all <= MOST_IN_ALL, "{screen}: {count}");
        }
    }
}

#[tokio::test]
async fn deck_and_questions_leave_room_for_the_picture() {
    let server = Server::from_dist();
    for (width, height) in WINDOWS {
        let phone = Phone::new(width, height).await;
        phone
            .open_link(&format!("{}#{JULY}", server.address()))
            .await;
        for screen in &SCREENS[..4] {
            phone.tap(screen).await;
            let taken = phone
                .run(
                    "const box = one => document.querySelector(one)?.getBoundingClientRect();
                     const area = box => box ? box.width * box.height : 0;
                     const [deck, bar] = [box('.deck'), box('.questions')];
                     return {
                         share: (area(deck) + area(bar)) / (innerWidth * innerHeight),
                         high: (deck?.height ?? 0) + bar.height,
                         wide: document.documentElement.scrollWidth - innerWidth,
                     }",
                )
                .await;
            let share = taken["share"].as_f64().expect("a number");
            assert!(share <= 0.25, "{width}×{height}, {screen}: {taken}");
            if (width, height) == (360, 780) {
                let high = taken["high"].as_f64().expect("a number");
                assert!(high <= 140.0, "{screen}: {taken}");
            }
            assert!(
                taken["wide"].as_i64() <= Some(0),
                "{width}×{height}: {taken}"
            );
        }
    }
}

/// Shutter, f-number, ISO and frames are in sight above the deck as soon as the page opens.
#[tokio::test]
async fn the_first_screen_has_all_four_settings() {
    let server = Server::from_dist();
    for (width, height) in WINDOWS {
        let phone = Phone::new(width, height).await;
        phone
            .open_link(&format!("{}#{JULY}", server.address()))
            .await;
        let shown = phone
            .run(
                "const deck = document.querySelector('.phone .deck');
                 const foot = deck ? deck.getBoundingClientRect().top : innerHeight;
                 const headline = document.querySelector('.headline');
                 const box = headline.getBoundingClientRect();
                 return {
                     text: headline.innerText.replace(/\\s+/g, ' '),
                     inside: box.top >= 0 && box.bottom <= foot + 1 && box.right <= innerWidth + 1,
                 }",
            )
            .await;
        let text = shown["text"].as_str().expect("words");
        for setting in ["8 s", "f/1.8", "ISO", "frames", "whole frame"] {
            let spaceless = |text: &str| text.replace([' ', '\u{a0}'], "");
            assert!(
                spaceless(text).contains(&spaceless(setting)),
                "{width}×{height}: no {setting} in {text}"
            );
        }
        assert_eq!(shown["inside"], json!(true), "{width}×{height}: {shown}");
    }
}

/// A screen that is scrolled is found again as it was left; a tap on its own question leads to
/// its top.
#[tokio::test]
async fn each_question_keeps_its_place() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    phone
        .open_link(&format!("{}#{JULY}", server.address()))
        .await;
    let top = "document.querySelector('.screen').scrollTop";
    phone
        .run("document.querySelector('.screen').scrollTop = 120")
        .await;
    phone
        .wait_until("it is scrolled", &format!("{top} === 120"))
        .await;
    phone.tap("#show-tracking").await;
    phone
        .wait_until("the other from its top", &format!("{top} === 0"))
        .await;
    phone.tap("#show-exposure").await;
    phone
        .wait_until("it is as it was left", &format!("{top} === 120"))
        .await;
    phone.tap("#show-exposure").await;
    phone
        .wait_until("it is at its top", &format!("{top} === 0"))
        .await;
}

/// At double text size, with a long name and the system's own colours, nothing runs wide, and
/// what is chosen is told by more than colour.
#[tokio::test]
async fn nothing_runs_wide_with_large_text_long_names_and_forced_colours() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    let features = json!({"features": [{"name": "forced-colors", "value": "active"}]});
    phone.cdp("Emulation.setEmulatedMedia", features).await;
    phone
        .add_init_script(
            "addEventListener('DOMContentLoaded',
                 () => document.documentElement.classList.add('large'));
             const sheet = new CSSStyleSheet();
             sheet.replaceSync('html { font-size: 32px !important }');
             document.adoptedStyleSheets = [sheet];",
        )
        .await;
    let name = "Donaudampfschifffahrtsgesellschaftshuette";
    let form = JULY.replace("Tarn+below+the+pass", name);
    phone
        .open_link(&format!("{}#{form}", server.address()))
        .await;
    for screen in SCREENS {
        phone.tap(screen).await;
        let wide = phone
            .run(
                "const edge = document.documentElement.clientWidth;
                 const faults = [];
                 for (const one of document.querySelectorAll('.page *')) {
                     if (one.closest('svg, .unseen') || !one.checkVisibility()) continue;
                     const {left, right, width} = one.getBoundingClientRect();
                     if (width > 0 && (right > edge + 1 || left < -1))
                         faults.push(one.className + ' ' + one.id + ' ' + Math.round(right));
                 }
                 return faults.slice(0, 5)",
            )
            .await;
        assert_eq!(wide, json!([]), "{screen}");
        let told = phone
            .run(
                "return [...document.querySelectorAll('[aria-pressed=true], [aria-current=page]')]
                     .filter(one => {
                         const style = getComputedStyle(one);
                         return style.outlineStyle === 'none' && !parseFloat(style.outlineWidth);
                     }).map(one => one.id || one.innerText)",
            )
            .await;
        assert_eq!(told, json!([]), "{screen}: chosen, and not told");
    }
}
