//! Shot windows as an iCalendar file.
//!
//! The file is an iCalendar, RFC 5545 (B. Desruisseaux, *Internet Calendaring and Scheduling*,
//! 2009): an event for each window, from its first minute to its last, with the place as text and
//! as coordinates. Times are UTC, so that the calendar shows them in the phone's zone. The same window
//! always has the same UID, so that importing the file twice gives one entry.
//!
//! The file is written by hand: of the two libraries tried, one loops forever on folding some texts
//! and the other writes lines an octet too long; the rest would be the escaping of four characters.

use chrono::{DateTime, Datelike, Timelike, Utc};

use crate::angle::Angle;
use crate::decimal;

/// PRODID of the file.
const MAKER: &str = "-//Tarnlight//Tarnlight//EN";

/// Decimals of a degree in GEO (at most six by section 3.8.1.6).
const GEO_PLACES: usize = 6;
/// Decimals of a degree in the UID: 11 m.
const UID_PLACES: usize = 4;

/// Most letters of a title or place, and of the description.
const MOST_LETTERS: usize = 200;
const MOST_DESCRIPTION_LETTERS: usize = 4000;

/// Years of four digits, by section 3.3.4.
const YEARS: (i32, i32) = (1, 9999);

/// Octets of a line without its CRLF, at most (section 3.1).
const LINE_OCTETS: usize = 75;

/// A shot window as a calendar event.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Its summary.
    pub title: String,
    /// Its description, one item a line.
    pub description: Vec<String>,
    /// The place in words.
    pub location: String,
    /// Latitude of the place, −90° to 90°.
    pub latitude: Angle,
    /// Longitude of the place, −180° to 180°.
    pub longitude: Angle,
    /// When the window opens.
    pub start: DateTime<Utc>,
    /// When it closes.
    pub end: DateTime<Utc>,
    /// When the file is written.
    pub stamp: DateTime<Utc>,
}

/// The text of a calendar file with this one event; see [`calendar_file_of`].
pub fn calendar_file(event: &Event) -> String {
    calendar_file_of(std::slice::from_ref(event))
}

/// The text of a calendar file with these events.
///
/// Lines end in CRLF and are at most 75 octets. Control characters are removed from texts, white
/// space becomes blanks, a title or place is cut to 200 letters and the description to 4000; empty
/// texts are omitted. Without a valid place there is no GEO; a window that does not end after its
/// start has no end. Years are clamped to 1 to 9999. Events are transparent (free), since a window
/// is not an appointment. Of events with the same start and place, and so the same UID, only the
/// first is written. Never fails; of no events it makes an empty text, since a calendar must have
/// a component.
///
/// Source: RFC 5545, sections 3.1, 3.3.5, 3.3.11, 3.4, 3.6, 3.6.1 and 3.8.
///
/// ```text
/// 2026-08-14 21:30 UTC, 46.52° N 9.91° E  →  UID:20260814T213000Z_46.5200_9.9100@tarnlight
/// ```
pub fn calendar_file_of(events: &[Event]) -> String {
    let mut file = String::new();
    if events.is_empty() {
        return file;
    }
    folded(&mut file, "BEGIN", "VCALENDAR");
    folded(&mut file, "VERSION", "2.0");
    folded(&mut file, "PRODID", MAKER);
    for (place, event) in events.iter().enumerate() {
        let uid = uid(event);
        if !events[..place].iter().any(|other| self::uid(other) == uid) {
            put_event(&mut file, event, &uid);
        }
    }
    folded(&mut file, "END", "VCALENDAR");
    file
}

fn put_event(file: &mut String, event: &Event, uid: &str) {
    let mut put = |key: &str, value: &str| folded(file, key, value);
    put("BEGIN", "VEVENT");
    put("UID", uid);
    put("DTSTAMP", &utc(event.stamp));
    put("DTSTART", &utc(event.start));
    if event.end > event.start {
        put("DTEND", &utc(event.end));
    }
    put("TRANSP", "TRANSPARENT");
    if let Some(geo) = geo(event) {
        put("GEO", &geo);
    }
    let description = event.description.join("\n");
    for (key, text, most) in [
        ("SUMMARY", &event.title, MOST_LETTERS),
        ("LOCATION", &event.location, MOST_LETTERS),
        ("DESCRIPTION", &description, MOST_DESCRIPTION_LETTERS),
    ] {
        let text = escaped(text, key == "DESCRIPTION", most);
        if !text.is_empty() {
            put(key, &text);
        }
    }
    put("END", "VEVENT");
}

/// The event's UID, the same for the same start and place.
fn uid(event: &Event) -> String {
    let degrees = |angle: Angle| decimal::fixed(angle.degrees(), UID_PLACES);
    format!(
        "{}_{}_{}@tarnlight",
        utc(event.start),
        degrees(event.latitude),
        degrees(event.longitude)
    )
}

/// Latitude and longitude in degrees, unless they are not on Earth.
fn geo(event: &Event) -> Option<String> {
    let (latitude, longitude) = (event.latitude.degrees(), event.longitude.degrees());
    let on_earth = latitude.abs() <= 90.0 && longitude.abs() <= 180.0;
    on_earth.then(|| {
        let mut text = decimal::fixed(latitude, GEO_PLACES);
        text.push(';');
        decimal::put(&mut text, longitude, GEO_PLACES);
        text
    })
}

/// A time in the standard's form "date with UTC time".
fn utc(time: DateTime<Utc>) -> String {
    let year = time.year().clamp(YEARS.0, YEARS.1);
    format!(
        "{year:04}{:02}{:02}T{:02}{:02}{:02}Z",
        time.month(),
        time.day(),
        time.hour(),
        time.minute(),
        time.second()
    )
}

/// Adds a line of the file, folded so that none is above [`LINE_OCTETS`], broken
/// between letters (section 3.1).
fn folded(file: &mut String, key: &str, value: &str) {
    let mut octets = 0;
    for letter in key.chars().chain([':']).chain(value.chars()) {
        if octets + letter.len_utf8() > LINE_OCTETS {
            file.push_str("\r\n ");
            // the blank in front counts
            octets = 1;
        }
        file.push(letter);
        octets += letter.len_utf8();
    }
    file.push_str("\r\n");
}

/// Text in the standard's form (section 3.3.11): without control characters, white space as blanks,
/// special characters escaped.
fn escaped(text: &str, lines: bool, most: usize) -> String {
    let mut clean = String::new();
    let mut last = ' ';
    for letter in text.trim().chars().take(most) {
        match letter {
            // the second half of a line's end
            '\n' if last == '\r' => {}
            '\n' | '\r' | '\u{2028}' | '\u{2029}' if lines => clean.push_str("\\n"),
            '\\' | ';' | ',' => {
                clean.push('\\');
                clean.push(letter);
            }
            blank if blank.is_whitespace() => clean.push(' '),
            control if control.is_control() => {}
            other => clean.push(other),
        }
        last = letter;
    }
    clean
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(seconds: i64) -> DateTime<Utc> {
        DateTime::from_timestamp(seconds, 0).expect("a time")
    }

    fn event() -> Event {
        Event {
            title: "Core over the lake".to_owned(),
            description: vec!["20 mm, f/1.8".to_owned(), "13 s; ISO 3200".to_owned()],
            location: "Lägh dal Lunghin".to_owned(),
            latitude: Angle::from_degrees(46.52),
            longitude: Angle::from_degrees(9.91),
            // 2026-08-14 21:30 and 23:05 UTC
            start: at(1_786_743_000),
            end: at(1_786_748_700),
            stamp: at(1_784_116_800),
        }
    }

    /// The file's lines unfolded, as section 3.1 says, after checking every
    /// physical line against it.
    fn lines(file: &str) -> Vec<String> {
        assert!(file.ends_with("\r\n"), "the last line ends too");
        let bare = file.replace("\r\n", "");
        assert!(
            !bare.contains(|letter: char| letter.is_control()),
            "only CRLF and no other control characters: {file:?}"
        );
        for line in file.split("\r\n") {
            assert!(line.len() <= 75, "{} octets: {line:?}", line.len());
        }
        let unfolded = file.replace("\r\n ", "");
        unfolded
            .split_terminator("\r\n")
            .map(str::to_owned)
            .collect()
    }

    fn value(file: &str, key: &str) -> Option<String> {
        let found = lines(file).into_iter().filter_map(|line| {
            let (name, value) = line.split_once(':').expect("name and value");
            (name == key).then(|| value.to_owned())
        });
        let found: Vec<_> = found.collect();
        assert!(found.len() <= 1, "{key} stands once at most: {found:?}");
        found.into_iter().next()
    }

    /// Unescapes a text value by section 3.3.11.
    fn text(file: &str, key: &str) -> Option<String> {
        let value = value(file, key)?;
        let mut letters = value.chars();
        let mut plain = String::new();
        while let Some(letter) = letters.next() {
            assert!(!matches!(letter, ',' | ';'), "bare {letter}: {value:?}");
            plain.push(match letter {
                '\\' => match letters.next() {
                    Some('n' | 'N') => '\n',
                    Some(kept @ ('\\' | ',' | ';')) => kept,
                    other => panic!("escape of {other:?}: {value:?}"),
                },
                other => other,
            });
        }
        Some(plain)
    }

    /// The whole file, by sections 3.4, 3.6 and 3.6.1.
    #[test]
    fn has_what_the_standard_asks_for() {
        let file = calendar_file(&event());
        let lines = lines(&file);
        assert_eq!(lines.first().map(String::as_str), Some("BEGIN:VCALENDAR"));
        assert_eq!(lines.last().map(String::as_str), Some("END:VCALENDAR"));
        let table = [
            ("VERSION", "2.0"),
            ("PRODID", "-//Tarnlight//Tarnlight//EN"),
            ("UID", "20260814T213000Z_46.5200_9.9100@tarnlight"),
            ("DTSTAMP", "20260715T120000Z"),
            ("DTSTART", "20260814T213000Z"),
            ("DTEND", "20260814T230500Z"),
            ("TRANSP", "TRANSPARENT"),
            ("GEO", "46.520000;9.910000"),
            ("SUMMARY", "Core over the lake"),
            ("LOCATION", "Lägh dal Lunghin"),
            ("DESCRIPTION", r"20 mm\, f/1.8\n13 s\; ISO 3200"),
        ];
        for (key, want) in table {
            assert_eq!(value(&file, key).as_deref(), Some(want), "{key}");
        }
        // the table, and BEGIN and END of calendar and event
        assert_eq!(lines.len(), table.len() + 4, "nothing else: {lines:?}");
    }

    #[test]
    fn text_comes_back_as_it_went_in() {
        let texts = [
            r"comma, semicolon; backslash \ and \n that is no line",
            "Höhenweg über dem Nebelmeer zwischen Piz Grevasalvas und Lägh dal Lunghin, spät",
            "星空の湖を望む尾根道の上から天の川の中心を撮る場所で風を避けて待つ",
            "🌌🏔️🌌🏔️🌌🏔️🌌🏔️🌌🏔️🌌🏔️🌌🏔️🌌🏔️🌌🏔️🌌🏔️🌌🏔️",
            "BEGIN:VEVENT",
        ];
        for want in texts {
            for pad in 0..8 {
                let want = format!("{}{want}", "x".repeat(pad));
                let file = calendar_file(&Event {
                    title: want.clone(),
                    location: want.clone(),
                    description: vec![want.clone(), want.clone()],
                    ..event()
                });
                assert_eq!(text(&file, "SUMMARY"), Some(want.clone()));
                assert_eq!(text(&file, "LOCATION"), Some(want.clone()));
                let both = format!("{want}\n{want}");
                assert_eq!(text(&file, "DESCRIPTION"), Some(both));
            }
        }
    }

    #[test]
    fn hostile_text_stays_text() {
        let table = [
            ("a\r\nEND:VEVENT\rb\nc", "a END:VEVENT b c"),
            ("bell\u{7}, null\0, delete\u{7f}", "bell, null, delete"),
            ("own blank\u{1f}", "own blank"),
            ("tab\there\u{a0}there\u{2028}down", "tab here there down"),
            ("\r\n \u{2029}", ""),
        ];
        for (given, want) in table {
            let file = calendar_file(&Event {
                title: given.to_owned(),
                ..event()
            });
            let got = text(&file, "SUMMARY").unwrap_or_default();
            assert_eq!(got, want, "{given:?}");
        }
        let file = calendar_file(&Event {
            description: vec!["one\r\ntwo".to_owned(), "three\u{2028}four".to_owned()],
            ..event()
        });
        let got = text(&file, "DESCRIPTION");
        assert_eq!(got.as_deref(), Some("one\ntwo\nthree\nfour"));
    }

    /// Blanks and multi-octet letters at every distance from the fold.
    #[test]
    fn long_text_of_any_letters_is_folded_and_cut() {
        for letter in ['x', ' ', 'ä', '\u{a0}', '湖', '\u{3000}', '🌌'] {
            for lead in (0..80).step_by(3) {
                let mut title = "é".repeat(lead);
                for _ in 0..100 {
                    title.extend([letter, ' ', letter]);
                }
                let file = calendar_file(&Event {
                    title: title.clone(),
                    location: title.clone(),
                    description: vec![title.clone(); 2],
                    ..event()
                });
                let got = text(&file, "LOCATION").unwrap_or_default();
                assert!(got.chars().count() <= MOST_LETTERS, "{letter:?}: {got}");
            }
        }
    }

    #[test]
    fn the_name_follows_start_and_place_alone() {
        let name = |event: &Event| value(&calendar_file(event), "UID").expect("a name");
        let usual = name(&event());
        let mut other = Event {
            title: "Another".to_owned(),
            stamp: at(0),
            ..event()
        };
        assert_eq!(name(&other), usual, "title and stamp do not count");
        other.longitude = Angle::from_degrees(9.911);
        assert_ne!(name(&other), usual, "the place does");
        other = event();
        other.start = at(1_786_743_001);
        assert_ne!(name(&other), usual, "the start does");
    }

    #[test]
    fn odd_times_and_places_leave_a_sound_file() {
        for time in [DateTime::<Utc>::MIN_UTC, DateTime::<Utc>::MAX_UTC, at(-1)] {
            for degrees in [f64::NAN, f64::INFINITY, 1e300, -180.0, 180.1] {
                let file = calendar_file(&Event {
                    latitude: Angle::from_degrees(degrees),
                    longitude: Angle::from_degrees(degrees),
                    start: time,
                    end: time,
                    stamp: time,
                    ..event()
                });
                assert_eq!(value(&file, "GEO"), None, "{degrees}");
                assert_eq!(value(&file, "DTEND"), None, "{time}");
                let start = value(&file, "DTSTART").expect("a start");
                assert_eq!(start.len(), "20260814T213000Z".len(), "{start}");
            }
        }
    }
}
