//! Licences of third-party work: which one a work is used under, and where its text is.

use std::collections::BTreeSet;

use spdx::{Expression, LicenseId, Licensee, ParseMode};

/// Licences that this project, itself under the MIT License, can be passed on with. Where a crate
/// offers several, the first of these is chosen.
pub const ACCEPTED: [&str; 10] = [
    "MIT",
    "0BSD",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "BSL-1.0",
    "Unlicense",
    "Unicode-3.0",
    "Apache-2.0",
];

/// The licences under which a work is used, of those it is offered under.
pub fn chosen(title: &str, terms: &str) -> Result<Vec<LicenseId>, String> {
    let unfit = |why: &dyn std::fmt::Display| format!("{title} is under {terms:?}: {why}");
    let mut accepted = Vec::new();
    for id in ACCEPTED {
        accepted.push(Licensee::parse(id).map_err(|error| unfit(&error))?);
    }
    let terms = Expression::parse_mode(terms, ParseMode::LAX).map_err(|error| unfit(&error))?;
    let needed = terms
        .minimized_requirements(&accepted)
        .map_err(|error| unfit(&error))?;
    needed
        .iter()
        .map(|one| one.license.id().ok_or_else(|| unfit(&"not in SPDX's list")))
        .collect()
}

/// How files with licences are called, in capitals.
const TITLES: [&str; 4] = ["LICENSE", "LICENCE", "COPYING", "UNLICENSE"];

/// Which files of a crate hold the text of a licence: those named after it, else those named after
/// none.
pub fn licence_files(files: &BTreeSet<String>, licence: LicenseId) -> Vec<&str> {
    let mark = match licence.name {
        "Apache-2.0" => "APACHE".to_owned(),
        "BSD-2-Clause" | "BSD-3-Clause" => "BSD".to_owned(),
        "BSL-1.0" => "BOOST".to_owned(),
        "Unicode-3.0" => "UNICODE".to_owned(),
        other => other.to_ascii_uppercase(),
    };
    let those = |fits: &dyn Fn(&[&str]) -> bool| -> Vec<&str> {
        let files = files.iter().filter(|file| {
            let file = file.to_ascii_uppercase();
            let words: Vec<_> = file.split(['-', '_', '.']).collect();
            TITLES.contains(&words[0]) && fits(&words[1..])
        });
        files.map(String::as_str).collect()
    };
    let named = those(&|words| words.contains(&mark.as_str()));
    if named.is_empty() {
        those(&|words| matches!(words, [] | ["MD" | "TXT"]))
    } else {
        named
    }
}

/// The text of a licence as SPDX has it, with the holders of the copyright, for a crate that does
/// not ship one.
pub fn standard_text(licence: LicenseId, holders: &str) -> String {
    let line = |line: &str| {
        if line.starts_with("Copyright (c) <year>") {
            format!("Copyright (c) {holders}")
        } else {
            line.to_owned()
        }
    };
    let lines: Vec<_> = licence.text().lines().map(line).collect();
    tidy(&lines.join("\n"))
}

/// A text without what differs by the editor it was written with, so that equal ones are equal.
pub fn tidy(text: &str) -> String {
    let text = text.trim_start_matches('\u{FEFF}');
    let lines: Vec<_> = text.lines().map(str::trim_end).collect();
    lines.join("\n").trim_matches('\n').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(terms: &str) -> Vec<&'static str> {
        let chosen = chosen("a 1.0", terms).expect("terms to be met");
        chosen.iter().map(|licence| licence.name).collect()
    }

    /// Expressions as in *SPDX Specification 2.3*, annex D, and with the slash of old manifests.
    #[test]
    fn one_licence_is_chosen_of_several() {
        for terms in [
            "MIT",
            "Apache-2.0 OR MIT",
            "MIT/Apache-2.0",
            "Unlicense OR MIT",
        ] {
            assert_eq!(names(terms), ["MIT"], "{terms}");
        }
        assert_eq!(names("Apache-2.0 OR BSL-1.0"), ["BSL-1.0"]);
        assert_eq!(
            names("(MIT OR Apache-2.0) AND Unicode-3.0"),
            ["MIT", "Unicode-3.0"]
        );
        assert_eq!(names("GPL-3.0-only OR Zlib"), ["Zlib"]);
        for terms in ["GPL-3.0-only", "MIT AND MPL-2.0", "mine", ""] {
            let sentence = chosen("a 1.0", terms).expect_err("terms that are not met");
            assert!(sentence.contains("a 1.0"), "{sentence}");
        }
    }

    #[test]
    fn texts_are_found_by_the_names_of_files() {
        let mit = spdx::license_id("MIT").expect("in the list");
        let bsd = spdx::license_id("BSD-2-Clause").expect("in the list");
        let found = |files: &[&str], licence| -> Vec<String> {
            let files = files.iter().map(|&file| file.to_owned()).collect();
            let found = licence_files(&files, licence);
            found.into_iter().map(str::to_owned).collect()
        };
        let both = ["Cargo.toml", "LICENSE", "LICENSE-APACHE", "license-mit.md"];
        assert_eq!(found(&both, mit), ["license-mit.md"]);
        assert_eq!(found(&both, bsd), ["LICENSE"]);
        assert_eq!(found(&["COPYING", "limits.rs"], mit), ["COPYING"]);
        assert_eq!(
            found(&["LICENSE.txt", "LICENSE-0BSD"], bsd),
            ["LICENSE.txt"]
        );
        assert!(found(&["LICENSE-APACHE", "summit.md"], mit).is_empty());
    }

    #[test]
    fn a_standard_text_names_the_holders() {
        let licence = spdx::license_id("MIT").expect("in the list");
        let text = standard_text(licence, "A & B");
        assert!(text.contains("\nCopyright (c) A & B\n"), "{text}");
        assert!(text.contains("Permission is hereby granted"), "{text}");
        assert!(!text.contains("<year>"), "{text}");
    }
}
