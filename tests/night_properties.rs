//! What must hold for every night on Earth, through the JSON-lines interface.
//!
//! Inputs are drawn at random; a failure prints the smallest input that still fails.
#![cfg(not(target_arch = "wasm32"))]

mod answer;

use chrono::NaiveDate;
use proptest::prelude::*;
use serde_json::{Value, json};

const NIGHT_S: f64 = 86_400.0;

/// An hour of clock less the time in which the stars turn by 15°, s: 3600 (1 − 1/1.002 737 91).
const SIDEREAL_GAIN_S: f64 = 9.829_56;

/// The Moon's declination changes by up to 6.5° a day, as fast as the sky's turning lifts and
/// lowers it a degree from the pole.
const NEAR_A_POLE_DEG: f64 = 88.9;

/// Seconds of arc the sky turns in a second.
const TURN_ARCSEC: f64 = 15.041_07;

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn latitudes() -> impl Strategy<Value = f64> {
    let marked = [-90.0, -89.999, -66.56, 0.0, 60.99, 66.56, 89.999, 90.0];
    prop_oneof![3 => -90.0..=90.0, 1 => prop::sample::select(marked.to_vec())]
}

fn longitudes() -> impl Strategy<Value = f64> {
    let marked = [-180.0, -179.999, 0.0, 179.999, 180.0];
    prop_oneof![4 => -180.0..=180.0, 1 => prop::sample::select(marked.to_vec())]
}

fn dates() -> impl Strategy<Value = String> {
    let drawn = (1950..=2100, 1..=12, 1..=28);
    drawn.prop_map(|(year, month, day)| format!("{year}-{month:02}-{day:02}"))
}

prop_compose! {
    /// A night anywhere from 1950 to 2100, with ridges.
    fn nights()(
        latitude in latitudes(),
        longitude in longitudes(),
        height_m in -400.0..=8800.0,
        date in dates(),
        ridges in prop::collection::vec(-5.0..=90.0, 0..3),
    ) -> Value {
        json!({
            "site": {"lat_deg": latitude, "lon_deg": longitude, "elev_m": height_m},
            "night": {"date_lmt": date},
            "ridge_alt_deg": ridges,
        })
    }
}

fn ask(question: &Value) -> Value {
    let answer = answer::reply(&question.to_string());
    assert!(answer.get("error").is_none(), "{question}: {answer}");
    answer
}

fn number(value: &Value, key: &str) -> f64 {
    let number = value[key].as_f64();
    number.unwrap_or_else(|| panic!("no number {key:?} in {value}"))
}

fn rows<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    let rows = value[key].as_array();
    rows.unwrap_or_else(|| panic!("no list {key:?} in {value}"))
}

/// The core as it crosses a height.
#[derive(Debug)]
struct Met {
    /// Seconds since 1970.
    at_s: f64,
    bearing_deg: f64,
    deg_per_min: f64,
}

fn core_crossings(latitude: f64, longitude: f64, date: NaiveDate, height_deg: f64) -> Vec<Met> {
    let site = json!({"lat_deg": latitude, "lon_deg": longitude});
    let night = json!({"date_lmt": date.to_string()});
    let answer = ask(&json!({"site": site, "night": night, "ridge_alt_deg": [height_deg]}));
    // the noon it begins at, which is given to a tenth of a second only
    let days = date.signed_duration_since(NaiveDate::default()).num_days() as f64;
    let start_s = NIGHT_S * (days + 0.5 - longitude / 360.0);
    let events = rows(&answer["core"]["ridge"][0]["geometric"], "events").iter();
    let met = events.map(|event| Met {
        at_s: start_s + number(event, "t_s"),
        bearing_deg: number(event, "az_deg"),
        deg_per_min: number(event, "rate_deg_per_min"),
    });
    met.collect()
}

/// Every block of an answer: what crosses one line.
fn blocks(value: &Value) -> Vec<&Value> {
    match value {
        Value::Object(object) if object.contains_key("at_start") => vec![value],
        Value::Object(object) => object.values().flat_map(blocks).collect(),
        Value::Array(list) => list.iter().flat_map(blocks).collect(),
        _ => Vec::new(),
    }
}

/// A missing number is written as null, and so is one that is none. These may be missing: words and
/// clocks, and heights below the horizon's air. Near a pole what moves among the stars may rise or
/// sink all night, without a turning point.
fn assert_no_number_is_missing(value: &Value, key: &str, at_a_pole: bool) {
    const MAY_BE_NULL: [&str; 5] = ["id", "label", "local", "alt_apparent_deg", "no_window"];
    const AT_A_POLE: [&str; 3] = [
        "closest_extremum_margin_deg",
        "max_alt_geom_deg",
        "min_alt_geom_deg",
    ];
    match value {
        Value::Null => assert!(
            MAY_BE_NULL.contains(&key) || at_a_pole && AT_A_POLE.contains(&key),
            "{key} is missing"
        ),
        Value::Array(list) => {
            for value in list {
                assert_no_number_is_missing(value, key, at_a_pole);
            }
        }
        Value::Object(object) => {
            for (key, value) in object {
                assert_no_number_is_missing(value, key, at_a_pole);
            }
        }
        _ => (),
    }
}

/// Which side of a line a body is on at a time of the night, by its events.
fn is_above(block: &Value, t_s: f64) -> bool {
    let gone = rows(block, "events").iter();
    let gone = gone.filter(|event| number(event, "t_s") <= t_s).count();
    (block["at_start"] == "above") == (gone % 2 == 0)
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn events_alternate_and_no_number_is_missing(question in nights()) {
        let answer = ask(&question);
        let at_a_pole = number(&question["site"], "lat_deg").abs() > NEAR_A_POLE_DEG;
        assert_no_number_is_missing(&answer, "", at_a_pole);
        let blocks = blocks(&answer);
        prop_assert_eq!(blocks.len(), 7 + 2 * rows(&question, "ridge_alt_deg").len());
        for block in blocks {
            let events = rows(block, "events");
            prop_assert_eq!(block["state"] == "crosses", !events.is_empty());
            let mut last_s = 0.0;
            let mut above = block["at_start"] == "above";
            for event in events {
                let t_s = number(event, "t_s");
                prop_assert!((last_s..NIGHT_S).contains(&t_s), "{}", event);
                let kind = event["kind"].as_str().unwrap_or_default();
                let up = ["rise", "clears", "dawn"].iter().any(|up| kind.ends_with(up));
                prop_assert_eq!(up, !above, "{}", block);
                (last_s, above) = (t_s, up);
            }
        }
        for (_, windows) in answer["windows"].as_object().expect("windows") {
            let mut last_s = 0.0;
            for window in windows.as_array().expect("a list") {
                if window.get("alt_deg").is_some() {
                    continue;
                }
                let [start_s, end_s] = ["start_s", "end_s"].map(|key| number(window, key));
                prop_assert!(last_s <= start_s && start_s < end_s && end_s <= NIGHT_S);
                last_s = end_s;
            }
        }
    }

    /// Events and windows against the positions, at random moments: a body that is above a line has
    /// come up through it.
    #[test]
    fn places_stand_on_the_side_the_events_say(
        question in nights(),
        shares in prop::collection::vec(0.0..1.0, 4),
    ) {
        // a place this near the line may be on either side of it by rounding
        const NEAR_DEG: f64 = 1e-4;
        let mut question = question;
        let start = ask(&question)["night"]["start_utc"].clone();
        let start = start.as_str().and_then(|text| text.parse().ok());
        let start: chrono::DateTime<chrono::Utc> = start.expect("an instant");
        let at = |share: &f64| start + chrono::TimeDelta::seconds((share * NIGHT_S) as i64);
        question["instants"] = shares.iter().map(at).map(|at| json!(at.to_rfc3339())).collect();
        let answer = ask(&question);
        assert_no_number_is_missing(&answer["instants"], "", false);
        for seen in rows(&answer, "instants") {
            let t_s = number(seen, "t_s");
            let height = |body: &str| number(&seen[body], "alt_geom_deg");
            let moon_line = -34.0 / 60.0 - number(&seen["moon"], "semidiameter_topo_deg");
            let sun = |key: &str| &answer["sun"][key];
            for (height, line, block) in [
                (height("core"), 0.0, &answer["core"]["geometric"]),
                (height("sun"), -50.0 / 60.0, sun("rise_set")),
                (height("sun"), -6.0, sun("civil")),
                (height("sun"), -12.0, sun("nautical")),
                (height("sun"), -18.0, sun("astronomical")),
                (height("moon"), moon_line, &answer["moon"]["rise_set"]),
            ] {
                let over = height - line;
                prop_assume!(over.abs() > NEAR_DEG);
                prop_assert_eq!(over > 0.0, is_above(block, t_s), "{} at {}: {}", height, t_s, block);
            }
            let within = |key: &str| {
                let mut windows = rows(&answer["windows"], key).iter();
                windows.any(|window| number(window, "start_s") <= t_s && t_s < number(window, "end_s"))
            };
            let dark = height("sun") < -18.0;
            let core_up = height("core") > 0.0;
            let moon_down = height("moon") < moon_line;
            prop_assert_eq!(within("dark"), dark);
            prop_assert_eq!(within("dark_core_up"), dark && core_up);
            prop_assert_eq!(within("dark_core_up_moon_down"), dark && core_up && moon_down);
            prop_assert_eq!(within("dark_moon_down"), dark && moon_down);
        }
    }

    /// Fifteen degrees to the east noon is an hour earlier, and the stars an hour less what they
    /// gain on the Sun.
    #[test]
    fn fifteen_degrees_of_longitude_are_an_hour_less_the_sidereal_gain(
        latitude in -85.0..60.0,
        longitude in -180.0..165.0,
        date in dates(),
    ) {
        let at = |longitude: f64| {
            let site = json!({"lat_deg": latitude, "lon_deg": longitude});
            ask(&json!({"site": site, "night": {"date_lmt": date}, "ridge_alt_deg": [5.0]}))
        };
        let (here, east) = (at(longitude), at(longitude + 15.0));
        let mut compared = 0;
        let [here, east] = [&here, &east].map(|answer| {
            let core = &answer["core"];
            let transits = rows(core, "upper_transit").iter();
            let events = blocks(core).into_iter().flat_map(|block| rows(block, "events"));
            transits.chain(events).collect::<Vec<_>>()
        });
        for event in here {
            let want_s = number(event, "t_s") + SIDEREAL_GAIN_S;
            let height = number(event, "alt_geom_deg");
            let alike = east.iter().filter(|other| {
                let near = (number(other, "alt_geom_deg") - height).abs() < 1e-3;
                near && other["kind"] == event["kind"]
            });
            let off = alike.map(|other| (number(other, "t_s") - want_s).abs());
            let off = off.fold(f64::INFINITY, f64::min);
            // a moving Earth shifts the core by 0.02″ in the hour
            let rate = number(event, "rate_deg_per_min").abs() * 60.0;
            let slow = if event["kind"] == "upper_transit" { 1.0 } else { TURN_ARCSEC / rate };
            let beyond = want_s >= NIGHT_S - 1.0 || slow > 100.0;
            prop_assert!(off < 0.005 * slow || beyond, "{} is {} s off", event, off);
            compared += 1;
        }
        prop_assert!(compared > 0, "the core is up some time south of 60° N");
    }

    /// A star rises as long before it is highest as it sets after, and as far from south.
    #[test]
    fn the_core_sets_as_it_rises(latitude in -60.0..60.0, longitude in -180.0..180.0, date in dates()) {
        let site = json!({"lat_deg": latitude, "lon_deg": longitude});
        let answer = ask(&json!({"site": site, "night": {"date_lmt": date}}));
        let core = &answer["core"];
        let (events, top) = (rows(&core["geometric"], "events"), &rows(core, "upper_transit")[0]);
        let of = |kind: &str| events.iter().find(|event| event["kind"] == kind);
        let (Some(rise), Some(set)) = (of("rise"), of("set")) else {
            return Ok(());
        };
        const SIDEREAL_DAY_S: f64 = 86_164.09;
        let from_top = |event: &Value| number(event, "t_s") - number(top, "t_s");
        let before = (-from_top(rise)).rem_euclid(SIDEREAL_DAY_S);
        let after = from_top(set).rem_euclid(SIDEREAL_DAY_S);
        let slow = TURN_ARCSEC / (number(set, "rate_deg_per_min").abs() * 60.0);
        prop_assert!((before - after).abs() < 0.1 * slow, "{} s, {} s", before, after);
        let bearings = number(rise, "az_deg") + number(set, "az_deg");
        prop_assert!((bearings - 360.0).abs() < 1e-3 * slow, "{}°", bearings);
    }

    /// On the other side of the Earth up is down: what comes up through a height here goes down
    /// there through as much below the horizon, at the same moment and at the mirrored bearing.
    /// That is exact, but for the turning Earth: it carries the two sites opposite ways, and light
    /// seems to come from ahead, in the east, by 0.32″ at each. So near the horizon it shifts along
    /// it.
    #[test]
    fn the_other_side_of_the_earth_mirrors(
        // the core crosses every such height there
        latitude in -50.0..=50.0,
        longitude in longitudes(),
        date in dates(),
        height_deg in -5.0..=5.0,
    ) {
        const ALONG_ARCSEC: f64 = 0.65;
        const UP_ARCSEC: f64 = 0.06;
        // twice what a crossing is closed in on
        const CLOSE_S: f64 = 0.002;
        let date: NaiveDate = date.parse().expect("a date");
        let next = date.succ_opt().expect("a next day");
        let here = core_crossings(latitude, longitude, date, height_deg);
        // noon there is half a day earlier
        let there: Vec<Met> = [date, next]
            .into_iter()
            .flat_map(|date| core_crossings(-latitude, longitude + 180.0, date, -height_deg))
            .collect();
        prop_assert!(!here.is_empty());
        for one in here {
            let allowed_s = UP_ARCSEC / (one.deg_per_min.abs() * 60.0) + CLOSE_S;
            let other = there.iter().find(|other| (other.at_s - one.at_s).abs() < allowed_s);
            let Some(other) = other else {
                return Err(TestCaseError::fail(format!("{one:?} is not among {there:?}")));
            };
            let rates = one.deg_per_min + other.deg_per_min;
            prop_assert!(rates.abs() < 1e-5, "{:?}, {:?}", one, other);
            let bearings = (one.bearing_deg + other.bearing_deg + 180.0).rem_euclid(360.0) - 180.0;
            let turned_deg = (TURN_ARCSEC * allowed_s + ALONG_ARCSEC) / 3600.0;
            prop_assert!(bearings.abs() < turned_deg, "{:?}, {:?}", one, other);
        }
    }

    /// A ridge that the core only just clears, and one it only just does not: a short appearance
    /// between two samples is not missed.
    #[test]
    fn a_short_appearance_is_not_missed(
        latitude in -75.0..60.0,
        longitude in -180.0..180.0,
        date in dates(),
        by_deg in 0.0005..0.1,
    ) {
        const WELL_WITHIN_S: std::ops::Range<f64> = 7200.0..NIGHT_S - 7200.0;
        let mut question = json!({
            "site": {"lat_deg": latitude, "lon_deg": longitude},
            "night": {"date_lmt": date},
        });
        let core = &ask(&question)["core"];
        let highest = number(core, "max_alt_geom_deg");
        // no ridge is beyond the zenith
        prop_assume!(highest + by_deg <= 90.0);
        prop_assume!(WELL_WITHIN_S.contains(&number(&core["upper_transit"][0], "t_s")));
        question["ridge_alt_deg"] = json!([highest - by_deg, highest + by_deg]);
        let answer = ask(&question);
        let [lower, upper] = [0, 1].map(|place| &answer["core"]["ridge"][place]["geometric"]);
        prop_assert_eq!(rows(lower, "events").len(), 2, "{}", lower);
        prop_assert_eq!(&upper["state"], "always_below");
        for block in [lower, upper] {
            let margin = number(block, "closest_extremum_margin_deg");
            let off: f64 = margin - by_deg;
            prop_assert!(off.abs() < 1e-6, "{} of {}", margin, by_deg);
            prop_assert_eq!(block["grazing"] == true, by_deg < 0.02);
        }
    }

    /// A midsummer night is as long in the north as in the south, but for what the Sun's day is
    /// longer in December: half a minute in a day, and as much again for the year's shift of dates.
    #[test]
    fn midsummer_nights_mirror(latitude in 0.0..45.0, longitude in -180.0..180.0, year in 1950..=2100) {
        let dark_min = |latitude: f64, day: &str| {
            let site = json!({"lat_deg": latitude, "lon_deg": longitude});
            let answer = ask(&json!({"site": site, "night": {"date_lmt": format!("{year}-{day}")}}));
            let dark = rows(&answer["windows"], "dark").iter();
            dark.map(|window| number(window, "minutes")).sum::<f64>()
        };
        let (north, south) = (dark_min(latitude, "06-21"), dark_min(-latitude, "12-21"));
        prop_assert!((north - south).abs() < 1.0, "{} min, {} min", north, south);
        let (north, south) = (dark_min(latitude, "12-21"), dark_min(-latitude, "06-21"));
        prop_assert!((north - south).abs() < 1.0, "{} min, {} min", north, south);
    }
}
