//! Everything that can be chosen or typed survives a reload right after it, and is undone.

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

/// One choice: where it is made, what is tapped or typed there, and what the stored outing contains
/// before and after it.
struct Choice {
    place: Place,
    made: Made,
    before: &'static str,
    after: &'static str,
}

/// A screen, and what is tapped there to open a sheet; empty, where the choice is on the screen.
type Place = (&'static str, &'static str);

const NOTES: Place = ("exposure", "");
const HELD: Place = ("framing", "");
const SITE: Place = ("more", "#open-site");
const KIT: Place = ("more", "#open-kit");
const SHARP: Place = ("exposure", "[aria-label='trail allowed'] .step-value");

enum Made {
    /// A button with this text is tapped.
    Button(&'static str),
    /// A text is typed into a box.
    Text(&'static str, &'static str),
    /// An entry is taken from a list.
    Entry(&'static str, usize),
}

const fn choice(place: Place, made: Made, before: &'static str, after: &'static str) -> Choice {
    Choice {
        place,
        made,
        before,
        after,
    }
}

const CHOICES: [Choice; 18] = [
    choice(HELD, Made::Button("portrait"), "", "&held=upright"),
    choice(NOTES, Made::Button("distance"), "", "&focus=10m"),
    choice(
        NOTES,
        Made::Text("#focus-distance", "7,5"),
        "&focus=10m",
        "&focus=7.5m",
    ),
    choice(
        SITE,
        Made::Text("#latitude", "33 52 S"),
        "lat=36&",
        "lat=-33.8667",
    ),
    choice(
        SHARP,
        Made::Button("Declination"),
        "keep=core",
        "keep=dec-29.0",
    ),
    choice(
        SHARP,
        Made::Text("#declination", "-12.5"),
        "keep=dec-29.0",
        "keep=dec-12.5",
    ),
    choice(SHARP, Made::Button("A print"), "sharp=2&", "sharp=print"),
    choice(
        SHARP,
        Made::Text("#seen-width", "123"),
        "sharp=print",
        "sharp=print123x",
    ),
    choice(
        KIT,
        Made::Button("APS-C 1.5×"),
        "sensor=36x24",
        "sensor=23.5x15.6",
    ),
    choice(KIT, Made::Entry("#projection", 1), "", "&lens=equisolid"),
    choice(KIT, Made::Text("#focal", "12.5"), "mm=20&", "mm=12.5&"),
    choice(KIT, Made::Text("#widest", "f/2.8"), "f=1.8&", "f=2.8&"),
    choice(
        KIT,
        Made::Text("#kit-name", "Ridge & sea"),
        "",
        "&kit=Ridge+%26+sea",
    ),
    choice(KIT, Made::Text("#across", "5000"), "px=", "px=5000x"),
    choice(KIT, Made::Text("#k1", "-0.03"), "", "&distort=-0.03_0"),
    choice(
        KIT,
        Made::Text("#k2", "0,01"),
        "&distort=-0.03_0",
        "&distort=-0.03_0.01",
    ),
    choice(KIT, Made::Text("#star-centre", "1.5"), "", "&star=1.5_1.5"),
    choice(KIT, Made::Text("#falloff", "2"), "", "&falloff=2"),
];

async fn stored(phone: &Phone) -> String {
    let stored = phone.eval("storedOuting()").await;
    stored.as_str().expect("an outing is a text").to_owned()
}

async fn make(phone: &Phone, choice: &Choice) {
    let (screen, opens) = choice.place;
    phone.show(screen).await;
    phone.draw_up().await;
    if !opens.is_empty() {
        phone.open_sheet(opens).await;
    }
    match choice.made {
        Made::Button(text) => {
            phone.unfold(&format!("text={text}")).await;
            phone.tap_text(text).await;
        }
        Made::Text(css, text) => {
            phone.unfold(css).await;
            phone.fill(css, text).await;
        }
        Made::Entry(css, place) => {
            phone.unfold(css).await;
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

/// A phone with an outing that was stored.
async fn open(server: &Server) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with("v=1&iso=800")).await;
    phone
        .wait_until("it stored", "storedOuting().includes('iso=800')")
        .await;
    phone
}

#[tokio::test]
async fn each_survives_a_reload_at_once() {
    let server = Server::from_dist();
    let phone = open(&server).await;
    for choice in &CHOICES {
        let old = stored(&phone).await;
        assert!(
            old.contains(choice.before),
            "want {:?} in {old}",
            choice.before
        );
        make(&phone, choice).await;
        phone.reload().await;
        let new = stored(&phone).await;
        assert!(
            new.contains(choice.after),
            "want {:?} in {new}",
            choice.after
        );
        assert_ne!(new, old, "{:?} changed something", choice.after);
        let said = phone.text(".notices").await;
        assert_eq!(said, "", "after {:?}", choice.after);
    }
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn each_is_undone_and_done_again() {
    let server = Server::from_dist();
    let phone = open(&server).await;
    for choice in &CHOICES {
        // a reload ends a run of changes of one kind
        phone.reload().await;
        let old = stored(&phone).await;
        make(&phone, choice).await;
        let made = json!(choice.after);
        let made = format!(
            "storedOuting() !== {} && storedOuting().includes({made})",
            json!(old)
        );
        phone.wait_until(choice.after, &made).await;
        let new = stored(&phone).await;
        phone.close_sheets().await;
        phone.show("more").await;
        for (outing, button) in [(&old, "#undo"), (&new, "#redo")] {
            phone.tap(button).await;
            let stored = format!("storedOuting() === {}", json!(outing));
            let what = format!("{:?} {button}: {outing}", choice.after);
            phone.wait_until(&what, &stored).await;
        }
    }
}
