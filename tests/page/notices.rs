//! The notices of third-party work in the built page.

use super::built::{Built, WORKER};

/// What is in the programs, and what only builds and tests them.
#[test]
fn the_notices_tell_whose_work_is_in_the_page() {
    let built = Built::from_dist();
    let notices = built.text("notices.html");
    for crate_inside in ["yew", "chrono", "sofars", "kamadak-exif", "tiff"] {
        let line = format!("\n<li>{crate_inside} ");
        assert_eq!(notices.matches(&line).count(), 1, "{crate_inside}");
    }
    for crate_outside in ["tarnlight", "seal", "lol_html", "fantoccini", "syn"] {
        let line = format!("\n<li>{crate_outside} ");
        assert!(!notices.contains(&line), "{crate_outside}");
    }
    for data in [
        "GeoNames",
        "Hipparcos",
        "Gaia DR3",
        "OpenNGC",
        "World Magnetic Model",
    ] {
        assert!(notices.contains(data), "{data}");
    }
    // each work stands in the list and above a text
    let (list, texts) = notices
        .split_once("<h2>Licences</h2>")
        .expect("texts follow the list");
    let (_, list) = list.split_once("<h2>Programs</h2>").expect("a list");
    let headings: Vec<_> = texts
        .lines()
        .filter_map(|line| line.strip_prefix("<h3>")?.strip_suffix("</h3>"))
        .flat_map(|titles| titles.split(", "))
        .collect();
    let works = list.lines().filter_map(|line| line.strip_prefix("<li>"));
    for work in works {
        let (title, _) = work.split_once(": ").expect("a work and its terms");
        assert!(headings.contains(&title), "{title}: no text");
    }
    assert_eq!(notices.matches("http-equiv").count(), 1, "policies");
    assert!(built.text(WORKER).contains("\"notices.html\":"));
}
