//! Words about what is shared and imported.

use chrono::Datelike;

use crate::outing::plan::Outing;
use crate::outing::plan::kit::MOST_KITS;
use crate::outing::plan::site::MOST_SITES;
use crate::outing::share::file::{ImportCounts, SharedFile};
use crate::outing::share::short_link::LeftOut;
use crate::ui::state::document::import::ImportReport;
use crate::ui::text::night::{month, site};
use crate::ui::text::units::{degrees, f_stop, focal};

/// After an outing came into use that was not the one edited before.
pub const OUTING_IN_USE: &str = "The outing is in use now; Undo brings back the one before.";

/// What became of a file's contents.
pub fn imported(report: ImportReport, file: &SharedFile) -> String {
    let mut sentences = Vec::new();
    if report.outing {
        sentences.push(OUTING_IN_USE.to_owned());
    }
    sentences.extend(counts(report.kits, "kit", MOST_KITS));
    sentences.extend(counts(report.sites, "site", MOST_SITES));
    if *file == SharedFile::default() {
        sentences.push("This file holds nothing.".to_owned());
    }
    sentences.extend(file.errors.iter().map(|error| format!("{error}.")));
    sentences.join(" ")
}

fn counts(counts: ImportCounts, what: &str, most: usize) -> Vec<String> {
    let plural = |count: usize| if count == 1 { "" } else { "s" };
    let ImportCounts {
        new,
        existing: already_saved,
        no_room,
    } = counts;
    let mut sentences = Vec::new();
    if new > 0 {
        sentences.push(format!("{new} {what}{} taken in.", plural(new)));
    }
    if already_saved > 0 {
        sentences.push(format!(
            "{already_saved} {what}{} here already.",
            plural(already_saved)
        ));
    }
    if no_room > 0 {
        sentences.push(format!(
            "{no_room} {what}{} left out: {most} are kept at most.",
            plural(no_room)
        ));
    }
    sentences
}

/// What the code lacks of an outing; `None` where it has all of it.
pub fn left_out(left_out: LeftOut) -> Option<String> {
    match left_out {
        LeftOut::Nothing => None,
        LeftOut::Detail(within) => Some(format!(
            "The skyline is drawn to {} in the code; the link has all of it.",
            degrees(within)
        )),
        LeftOut::Skyline => {
            Some("The skyline does not fit into the code; the link has all of it.".to_owned())
        }
        LeftOut::Names => Some(
            "The skyline and the names do not fit into the code; the link has them.".to_owned(),
        ),
    }
}

/// What an outing is called: by the name of its site, else by its coordinates.
pub fn outing_name(outing: &Outing) -> String {
    if outing.site.name.is_empty() {
        site(&outing.site)
    } else {
        outing.site.name.clone()
    }
}

/// An outing's lens and night in a line: `20 mm f/1.8 · 4 Jun 2027`.
pub fn kit_and_night(outing: &Outing) -> String {
    let night = outing.night.map_or_else(
        || "tonight".to_owned(),
        |date| format!("{} {} {}", date.day(), month(date), date.year()),
    );
    format!(
        "{} {} · {night}",
        focal(outing.kit.lens.focal_mm),
        f_stop(outing.f_number)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    #[test]
    fn an_outing_is_described_by_lens_and_evening() {
        let mut outing = Outing {
            f_number: 1.8,
            ..Outing::default()
        };
        outing.kit.lens.focal_mm = 20.0;
        assert_eq!(kit_and_night(&outing), "20\u{a0}mm f/1.8 · tonight");
        outing.night = NaiveDate::from_ymd_opt(2027, 6, 4);
        assert_eq!(kit_and_night(&outing), "20\u{a0}mm f/1.8 · 4 Jun 2027");
    }
}
