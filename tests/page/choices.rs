//! Everything that can be chosen or typed survives a reload right after it, and is undone.

use std::time::Duration;

use serde_json::json;

use super::phone::Phone;
use super::site::Site;

/// Longer than a change rests before it is written.
const WRITTEN: Duration = Duration::from_millis(500);

/// One choice: the sheet it stands in, what is tapped or typed there, and what then stands in the
/// address instead of what.
struct Choice {
    door: &'static str,
    made: Made,
    before: &'static str,
    after: &'static str,
}

enum Made {
    /// A word is tapped.
    Word(&'static str),
    /// A text is typed into a box.
    Text(&'static str, &'static str),
    /// An entry is taken from a list.
    Entry(&'static str, usize),
}

const fn choice(
    door: &'static str,
    made: Made,
    before: &'static str,
    after: &'static str,
) -> Choice {
    Choice {
        door,
        made,
        before,
        after,
    }
}

const CHOICES: [Choice; 18] = [
    choice("", Made::Word("upright"), "", "&held=upright"),
    choice("", Made::Word("distance"), "", "&focus=10m"),
    choice(
        "",
        Made::Text("#focus-distance", "7,5"),
        "&focus=10m",
        "&focus=7.5m",
    ),
    choice(
        "Site",
        Made::Text("#latitude", "33 52 S"),
        "lat=36&",
        "lat=-33.8667",
    ),
    choice(
        "sharp:",
        Made::Word("Declination"),
        "keep=core",
        "keep=dec-29.0",
    ),
    choice(
        "sharp:",
        Made::Text("#declination", "-12.5"),
        "keep=dec-29.0",
        "keep=dec-12.5",
    ),
    choice("sharp:", Made::Word("A print"), "sharp=2&", "sharp=print"),
    choice(
        "sharp:",
        Made::Text("#seen-width", "123"),
        "sharp=print",
        "sharp=print123x",
    ),
    choice("Kit", Made::Entry("#format", 2), "sensor=36x24", "sensor="),
    choice("Kit", Made::Entry("#projection", 1), "", "&lens=equisolid"),
    choice("Kit", Made::Text("#focal", "12.5"), "mm=20&", "mm=12.5&"),
    choice("Kit", Made::Text("#widest", "f/2.8"), "f=1.8&", "f=2.8&"),
    choice(
        "Kit",
        Made::Text("#kit-name", "Ridge & sea"),
        "",
        "&kit=Ridge+%26+sea",
    ),
    choice("Kit", Made::Text("#across", "5000"), "px=", "px=5000x"),
    choice("Kit", Made::Text("#k1", "-0.03"), "", "&distort=-0.03_0"),
    choice(
        "Kit",
        Made::Text("#k2", "0,01"),
        "&distort=-0.03_0",
        "&distort=-0.03_0.01",
    ),
    choice(
        "Kit",
        Made::Text("#star-centre", "1.5"),
        "",
        "&star=1.5_1.5",
    ),
    choice("Kit", Made::Text("#falloff", "2"), "", "&falloff=2"),
];

async fn hash(phone: &Phone) -> String {
    let hash = phone.see("location.hash").await;
    hash.as_str().expect("the address is a text").to_owned()
}

async fn make(phone: &Phone, choice: &Choice) {
    if !choice.door.is_empty() {
        phone.tap_word(choice.door).await;
        phone
            .until("the sheet", "document.querySelector('dialog[open]')")
            .await;
    }
    match choice.made {
        Made::Word(word) => phone.tap_word(word).await,
        Made::Text(css, text) => phone.fill(css, text).await,
        Made::Entry(css, place) => {
            phone
                .run(&format!(
                    "const list = document.querySelector('{css}');
                     list.selectedIndex = {place};
                     list.dispatchEvent(new Event('change', {{bubbles: true}}))"
                ))
                .await;
        }
    }
}

#[tokio::test]
async fn each_survives_a_reload_at_once() {
    let site = Site::of_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&site.address()).await;
    for choice in &CHOICES {
        tokio::time::sleep(WRITTEN).await;
        let old = hash(&phone).await;
        assert!(
            old.contains(choice.before),
            "want {:?} in {old}",
            choice.before
        );
        make(&phone, choice).await;
        phone.reload().await;
        // what stands in the address by now was written from what the page restored
        tokio::time::sleep(WRITTEN).await;
        let new = hash(&phone).await;
        assert!(
            new.contains(choice.after),
            "want {:?} in {new}",
            choice.after
        );
        assert_ne!(new, old, "{:?} changed something", choice.after);
        let said = phone.text(".notices").await;
        assert_eq!(said, "", "after {:?}", choice.after);
    }
    assert_eq!(phone.wrong().await, json!([]));
    phone.put_away().await;
}

#[tokio::test]
async fn each_is_undone_and_done_again() {
    let site = Site::of_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&site.address()).await;
    for choice in &CHOICES {
        // a reload ends a run of changes of one kind
        phone.reload().await;
        tokio::time::sleep(WRITTEN).await;
        let old = hash(&phone).await;
        make(&phone, choice).await;
        tokio::time::sleep(WRITTEN).await;
        let new = hash(&phone).await;
        assert!(
            new.contains(choice.after),
            "want {:?} in {new}",
            choice.after
        );
        if !choice.door.is_empty() {
            phone.tap_word("Done").await;
        }
        phone.tap_word("Undo").await;
        tokio::time::sleep(WRITTEN).await;
        assert_eq!(hash(&phone).await, old, "{:?} undone", choice.after);
        phone.tap_word("Undo").await;
        tokio::time::sleep(WRITTEN).await;
        assert_eq!(hash(&phone).await, new, "{:?} done again", choice.after);
    }
    phone.put_away().await;
}
