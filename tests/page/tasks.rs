//! Whole tasks, from a first launch in red, with every tap, swipe and keystroke counted.

use std::cell::Cell;

use serde_json::{Value, json};

use super::night::HANDED;
use super::phone::Phone;
use super::server::Server;
use super::themes::store;

/// A phone in a hand that counts what it does.
struct Hand {
    phone: Phone,
    /// Taps and drags, and swipes to what was out of sight.
    touches: Cell<u32>,
    keystrokes: Cell<u32>,
}

impl Hand {
    /// The page opened for the first time, in red; `script` runs before it.
    async fn first_launch(server: &Server, script: &str) -> Self {
        let phone = Phone::new(360, 780).await;
        phone.add_init_script(&store("red")).await;
        phone.add_init_script(script).await;
        phone.open(&server.address()).await;
        Self {
            phone,
            touches: Cell::new(0),
            keystrokes: Cell::new(0),
        }
    }

    fn touched(&self) {
        self.touches.set(self.touches.get() + 1);
    }

    /// Taps an element; a swipe to it counts where it is not in sight.
    async fn tap(&self, locator: &str) {
        let there = format!("locate({})", json!(locator));
        self.phone.wait_until(locator, &there).await;
        let in_sight = format!(
            "await Promise.allSettled(document.getAnimations().map(one => one.finished));
             const element = locate({});
             if (!element) return false;
             const box = element.getBoundingClientRect();
             const hit = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
             return element.contains(hit)",
            json!(locator)
        );
        if self.phone.run(&in_sight).await != json!(true) {
            self.touched();
        }
        self.touched();
        self.phone.tap(locator).await;
    }

    /// Taps a point of the screen.
    async fn tap_at(&self, at: (f64, f64)) {
        self.touched();
        self.phone.tap_at(at).await;
    }

    /// Holds a key, which runs, until the page is as wanted.
    async fn hold_until(&self, locator: &str, wanted: &str) {
        self.touched();
        self.phone.press(locator).await;
        self.phone.wait_until("what is wanted", wanted).await;
        self.phone.release().await;
    }

    /// Types with the phone's keyboard into what has the focus.
    async fn type_keys(&self, text: &str) {
        for key in text.chars() {
            self.keystrokes.set(self.keystrokes.get() + 1);
            for kind in ["keyDown", "keyUp"] {
                let typed = (kind == "keyDown").then_some(key);
                let event = json!({"type": kind, "key": key, "text": typed});
                let event: Value = match typed {
                    Some(_) => event,
                    None => json!({"type": kind, "key": key}),
                };
                self.phone.cdp("Input.dispatchKeyEvent", event).await;
            }
        }
    }

    /// Checks what it took.
    async fn took_at_most(&self, touches: u32, keystrokes: u32) {
        let took = (self.touches.get(), self.keystrokes.get());
        println!("{} taps, drags and swipes, {} keystrokes", took.0, took.1);
        assert!(
            took.0 <= touches && took.1 <= keystrokes,
            "{took:?} against {:?}",
            (touches, keystrokes)
        );
        assert_eq!(self.phone.errors().await, json!([]));
    }
}

/// A phone's clock that stands still.
fn clock_at(time: &str) -> String {
    format!("const now = Date.parse({time:?}); Date.now = () => now;")
}

/// A Four Thirds body and a 9 mm f/1.7: the four settings of the camera. A pixel of such a body of 20
/// to 25 million is 3.0 to 3.4 µm; two of them pass in 10.4 to 11.7 s in the middle of the frame at the
/// core's declination (2 · pitch / (ω · 9 mm · cos 29°), ω = 7.292e-5 rad/s), a little less where the
/// core is off the middle.
#[tokio::test]
async fn four_settings_for_another_kit() {
    let server = Server::from_dist();
    let hand = Hand::first_launch(&server, "").await;
    hand.tap("#show-more").await;
    hand.tap("#open-kit").await;
    hand.tap("text=Four Thirds").await;
    hand.tap("#focal").await;
    hand.type_keys("9").await;
    hand.tap("#widest").await;
    hand.type_keys("1.7").await;
    hand.tap("#sheet-done").await;
    hand.tap("#show-exposure").await;
    let phone = &hand.phone;
    let dial = phone.text("#answer .figure").await;
    assert!(["8s", "10s"].contains(&dial.as_str()), "{dial}");
    let settings = phone.text(".settings").await;
    for part in ["f/1.7", "ISO ", " frames"] {
        assert!(settings.contains(part), "{part}: {settings}");
    }
    assert_eq!(phone.focal_length().await, "9 mm");
    phone.show("more").await;
    let kit = phone.text("#open-kit .name").await;
    assert!(kit.contains("MP Four Thirds"), "{kit}");
    hand.took_at_most(8, 4).await;
}

/// Eight points of a skyline, tapped on the strip, whose lines tell heights every five degrees and whose
/// middle is due south; it shows 4.4 px a degree, and the point stands 56 px over the thumb.
#[tokio::test]
async fn a_skyline_of_eight_points_by_thumb() {
    const POINTS: [(f64, f64); 8] = [
        (144.0, 3.0),
        (154.0, 6.5),
        (164.0, 9.0),
        (174.0, 12.0),
        (184.0, 8.0),
        (194.0, 5.0),
        (204.0, 7.0),
        (216.0, 2.0),
    ];
    let server = Server::from_dist();
    let hand = Hand::first_launch(&server, "").await;
    let phone = &hand.phone;
    hand.tap("#show-framing").await;
    hand.tap("#open-skyline").await;
    phone.wait_for_sheet().await;
    let scale = phone
        .run(
            "const strip = document.querySelector('#skyline-strip').getBoundingClientRect();
             const line = [...document.querySelectorAll('#skyline-strip path.height')]
                 .map(line => line.getBoundingClientRect().y);
             return [strip.x + strip.width / 2, line[0], (line[0] - line[1]) / 5]",
        )
        .await;
    let [middle, level, up_px]: [f64; 3] = serde_json::from_value(scale).expect("a scale");
    for (bearing, height) in POINTS {
        let at = (
            middle + (bearing - 180.0) * 4.4,
            level - height * up_px + 56.0,
        );
        hand.tap_at(at).await;
    }
    hand.tap("#sheet-done").await;
    phone
        .wait_until("it stored", "storedOuting().includes('line=')")
        .await;
    let stored = phone.eval("decodeURIComponent(storedOuting())").await;
    let stored = stored.as_str().expect("an outing");
    let line = stored.split("line=").nth(1).expect("a skyline");
    let line = line.split('&').next().expect("points");
    let points = line.split('_').map(|point| {
        let (bearing, height) = point.split_once('*').expect("a sighting");
        let degrees = |text: &str| text.parse::<f64>().expect("degrees");
        (degrees(bearing), degrees(height))
    });
    let points: Vec<_> = points.collect();
    assert_eq!(points.len(), POINTS.len(), "{line}");
    for ((bearing, height), (to, up)) in points.iter().zip(POINTS) {
        let close = (bearing - to).abs() <= 1.0 && (height - up).abs() <= 0.2;
        assert!(close, "{to}°, {up}°: {line}");
    }
    hand.took_at_most(12, 0).await;
}

/// The tallest bar of July among those within the limits, by the drawing of the year: its cell on the
/// screen, and the day of the month.
const TALLEST_OF_JULY: &str = "
    const drawing = document.querySelector('.season .drawing');
    const box = drawing.getBoundingClientRect();
    const row = [...drawing.querySelectorAll('.caption')].find(word => word.textContent === 'Jul');
    const foot = Number(row.getAttribute('y')) + 1;
    const numbers = drawing.querySelector('.limited').getAttribute('d').match(/-?[0-9.]+/g).map(Number);
    let best = null;
    for (let at = 0; at + 8 <= numbers.length; at += 8) {
        const [left, low, , high, right] = numbers.slice(at, at + 5);
        if (Math.abs(low - foot) < 1 && !(best && low - high <= best.tall))
            best = {tall: low - high, x: (left + right) / 2, y: (low + high) / 2};
    }
    return [box.x + best.x, box.y + best.y]";

/// In spring, the best night of July goes to the calendar: the tallest bar of its row. Night by night
/// under When?, no other evening of July has a longer window.
#[tokio::test]
async fn the_best_night_of_july_to_the_calendar() {
    let server = Server::from_dist();
    let spring = clock_at("2027-03-10T18:00:00Z");
    let hand = Hand::first_launch(&server, &[&spring, HANDED].concat()).await;
    let phone = &hand.phone;
    hand.tap("#show-night").await;
    hand.tap("#open-season").await;
    phone.wait_for_sheet().await;
    let cell = phone.run(TALLEST_OF_JULY).await;
    hand.tap_at(serde_json::from_value(cell).expect("a cell"))
        .await;
    hand.tap("#open-night").await;
    phone.wait_for_no_sheet().await;
    hand.tap("#to-calendar").await;
    phone.wait_until("the file", "window.handed").await;
    let file = phone.run("return await window.handed").await;
    let file = file.as_str().expect("a text");
    let starts = file.split("DTSTART:").nth(1).expect("an event");
    let chosen = phone.night_shown().await;

    let other = Phone::new(360, 780).await;
    other
        .open_link(&server.address_with("v=1&night=2027-07-01"))
        .await;
    other.show("night").await;
    let (mut longest, mut found) = (0.0, None);
    for day in 1..=31_u32 {
        let night = other.night_shown().await;
        assert!(night.starts_with(&day.to_string()), "{night}");
        let minutes = other
            .eval("document.querySelector('#answer .second')?.innerText ?? '0 min'")
            .await;
        let minutes = minutes_of(minutes.as_str().expect("a text"));
        longest = f64::max(longest, minutes);
        if night == chosen {
            found = Some((day, minutes));
        }
        // a click, as a screen reader sends it, is one step however long it takes
        other
            .run("document.querySelector(`[aria-label='night: more']`).click()")
            .await;
        let next =
            format!("document.querySelector('.strip .where .quiet').innerText !== '{night}'");
        other.wait_until("the night after", &next).await;
    }
    let (day, minutes) = found.expect("an evening of July");
    // told in whole minutes
    assert!(
        minutes > 60.0 && minutes + 1.0 >= longest,
        "{minutes} of {longest} min"
    );
    let dates = [day, day + 1].map(|day| format!("202707{day:02}T"));
    assert!(dates.iter().any(|date| starts.starts_with(date)), "{file}");
    hand.took_at_most(6, 0).await;
}

/// Minutes of a length such as `2 h 56 min`.
fn minutes_of(length: &str) -> f64 {
    let words: Vec<_> = length.split_whitespace().collect();
    let parts = words.chunks(2).map(|part| match part {
        [hours, "h"] => hours.parse::<f64>().map(|hours| 60.0 * hours),
        [minutes, ..] => minutes.parse(),
        [] => Ok(0.0),
    });
    parts.map(|part| part.expect("a number")).sum()
}

/// A panorama of five frames in one row, at a minute of the shot window at which the arch is low enough
/// for it: both are told by the page, the window under When?, the arch in the notes of the sheet.
#[tokio::test]
async fn a_panorama_of_five_frames_at_the_right_time() {
    let server = Server::from_dist();
    let hand = Hand::first_launch(&server, &clock_at("2027-05-05T18:00:00Z")).await;
    let phone = &hand.phone;
    phone.show("night").await;
    let window = phone.text("#answer .figure").await;
    phone.show("exposure").await;

    hand.tap("#show-framing").await;
    hand.tap("#open-panorama").await;
    phone.wait_for_sheet().await;
    let told = phone.text("dialog .readout").await;
    assert!(
        !told.starts_with("5 frames") || rows(phone).await > 1,
        "{told}"
    );
    let one = phone
        .run(
            "const hour = [...document.querySelectorAll('dialog .timeline .caption')]
                 .find(hour => hour.textContent === '01').getBoundingClientRect();
             return [hour.x + hour.width / 2, hour.y]",
        )
        .await;
    hand.tap_at(serde_json::from_value(one).expect("a place"))
        .await;
    // more overlap until there are five
    let five = "document.querySelector('dialog .frames').innerText === '5 frames'";
    hand.hold_until("[aria-label='overlap: more']", five).await;
    let told = phone.text("dialog .readout").await;
    assert!(!told.contains("out of the frames"), "{told}");
    assert_eq!(rows(phone).await, 1);
    hand.tap("#panorama-start").await;
    let mut turns = Vec::new();
    for frame in 1..=5 {
        let told = phone.text(".field-frame").await;
        assert!(told.starts_with(&format!("frame {frame} of 5")), "{told}");
        turns.push(phone.text(".turn-to").await);
        // in the field it is one tap a frame
        phone.tap("#panorama-next").await;
    }
    turns.dedup();
    assert_eq!(turns.len(), 5, "{turns:?}");
    let time = phone.time_shown().await;
    let notes = phone
        .eval("document.querySelector('dialog').textContent")
        .await;
    let notes = notes.as_str().expect("a text");
    let low = notes
        .split("Low enough for one row, in the dark: ")
        .nth(1)
        .and_then(|rest| rest.split(['.', ',']).next())
        .expect("when one row is enough");
    for span in [window.as_str(), low] {
        let (from, to) = span.split_once('–').expect("a span");
        let within = minutes_from_noon(from)..=minutes_from_noon(to);
        assert!(
            within.contains(&minutes_from_noon(&time)),
            "{time} in {span}"
        );
    }
    hand.took_at_most(6, 0).await;
}

/// How many rows the plan of the panorama's sheet has.
async fn rows(phone: &Phone) -> usize {
    let notes = phone
        .eval("document.querySelector('dialog').textContent")
        .await;
    notes.as_str().expect("a text").matches("Tilted ").count()
}

/// Minutes from noon to a time of the clock.
fn minutes_from_noon(time: &str) -> u32 {
    let (hour, minute) = time.split_once(':').expect("a time");
    let number = |text: &str| text.parse::<u32>().expect("a number");
    (number(hour) + 12) % 24 * 60 + number(minute)
}
