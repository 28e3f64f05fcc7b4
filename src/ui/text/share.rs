//! Words about what is shared and imported.

use crate::outing::plan::Outing;
use crate::outing::plan::kit::MOST_KITS;
use crate::outing::plan::site::MOST_SITES;
use crate::outing::share::file::{ImportCounts, SharedFile};
use crate::ui::state::document::import::ImportReport;
use crate::ui::text::night::site;

/// What became of a file's contents.
pub fn imported(report: ImportReport, file: &SharedFile) -> String {
    let mut sentences = Vec::new();
    if report.outing {
        sentences.push("The outing is in use now; Undo brings back the one before.".to_owned());
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
        existing,
        no_room,
    } = counts;
    let mut sentences = Vec::new();
    if new > 0 {
        sentences.push(format!("{new} {what}{} taken in.", plural(new)));
    }
    if existing > 0 {
        sentences.push(format!(
            "{existing} {what}{} here already.",
            plural(existing)
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

/// What an outing is called: by the name of its site, else by its coordinates.
pub fn outing_name(outing: &Outing) -> String {
    if outing.site.name.is_empty() {
        site(&outing.site)
    } else {
        outing.site.name.clone()
    }
}
