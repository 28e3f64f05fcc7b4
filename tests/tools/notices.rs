//! Notices of third-party work: what others made that is in the built folder, and on what terms.
//!
//! The crates are those that cargo links into the page and the reader; of each the notices give name, version, the licences it is offered under and the text of the
//! one it is used under. What only runs while the page is built is not in them.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use cargo_metadata::{Metadata, MetadataCommand, Package};

use super::licences::{chosen, licence_files, standard_text, tidy};
use super::open_data::OPEN_DATA;
use super::policy::POLICY_MARK;

/// What the programs are compiled for.
pub const TARGET: &str = "wasm32-unknown-unknown";

/// What is in the built folder and is no crate: name, terms, authors.
const NO_CRATES: [(&str, &str, &str); 2] = [
    (
        "The Rust standard library",
        "MIT OR Apache-2.0",
        "The Rust Project contributors",
    ),
    (
        "The script by Trunk that starts the page",
        "MIT OR Apache-2.0",
        "Anthony Dodd, Jens Reimann",
    ),
];

/// Who worked out what the data do not hold.
const EPHEMERIDES: &str = "<p>Sun, Moon and the Earth's axis are worked out by the crate sofars. \
    It is derived from software of the IAU's Standards of Fundamental Astronomy (SOFA) Board, which \
    neither provides nor endorses this page.</p>\n";

/// The look chosen does not reach this page, so it is lit as eyes used to the dark can bear.
const STYLE: &str = "html{background:#000;color:#f00;font:16px/1.4 system-ui,sans-serif}\
                     body{margin:16px}a{color:inherit}h1{font-size:1.5rem}h2{font-size:1.25rem}\
                     h3{font-size:1rem}pre{white-space:pre-wrap;overflow-wrap:anywhere}";

/// Somebody's work that is in the programs.
#[derive(Debug)]
struct Work {
    /// Name, and version if it has one.
    title: String,
    /// The licences it is offered under, an SPDX expression.
    terms: String,
    /// Texts of those it is used under.
    texts: Vec<String>,
}

/// The notices as a page, with the mark of its policy, for the crate with this manifest.
///
/// Nothing is fetched: the crates must be there, as they are once the programs are built. The same
/// `Cargo.lock` gives the same page. Fails when cargo does, and when a crate is under no licence of
/// [`ACCEPTED`](super::licences::ACCEPTED).
pub fn page(manifest: &Path) -> Result<String, String> {
    let metadata = crates(manifest)?;
    let mut works = Vec::new();
    for (title, terms, authors) in NO_CRATES {
        let texts = chosen(title, terms)?
            .into_iter()
            .map(|licence| standard_text(licence, authors))
            .collect();
        works.push(Work {
            title: title.to_owned(),
            terms: terms.to_owned(),
            texts,
        });
    }
    for package in linked(manifest, &metadata)? {
        works.push(work(package)?);
    }
    Ok(written(&works))
}

// ------------------------------------------------------------------ crates

/// All crates that the one with this manifest knows of, without fetching any.
pub fn crates(manifest: &Path) -> Result<Metadata, String> {
    MetadataCommand::new()
        .manifest_path(manifest)
        .other_options(["--locked", "--offline", "--filter-platform", TARGET].map(String::from))
        .exec()
        .map_err(|error| format!("the crates in the programs are not known: {error}"))
}

/// The crates that are linked into the programs, by name and version.
///
/// `cargo tree` names them: unlike `cargo metadata` it leaves out what only other crates of the
/// workspace, tests and macros turn on.
pub fn linked<'a>(manifest: &Path, metadata: &'a Metadata) -> Result<Vec<&'a Package>, String> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let tree = Command::new(cargo)
        .args(["tree", "--locked", "--offline", "--target", TARGET])
        .args(["--edges", "normal,no-proc-macro", "--prefix", "none"])
        .args(["--format", "{p}", "--manifest-path"])
        .arg(manifest)
        .output()
        .map_err(|error| format!("cargo tree cannot be run: {error}"))?;
    if !tree.status.success() {
        let why = String::from_utf8_lossy(&tree.stderr);
        return Err(format!("cargo tree fails: {why}"));
    }
    let named = named(&String::from_utf8_lossy(&tree.stdout));
    let root = metadata
        .root_package()
        .ok_or("the manifest is no crate's")?;
    let mut packages: Vec<_> = metadata
        .packages
        .iter()
        .filter(|package| package.id != root.id)
        .filter(|package| named.contains(&title(package)))
        .collect();
    // the root is in the tree
    if packages.len() + 1 != named.len() {
        return Err("cargo tree and cargo metadata tell of different crates".to_owned());
    }
    packages.sort_by_key(|package| (&package.name, &package.version));
    Ok(packages)
}

/// Names and versions in the lines of a tree: `name v1.2.3`, and for some what they are.
fn named(tree: &str) -> BTreeSet<String> {
    tree.lines()
        .filter_map(|line| line.split_once(" v"))
        .filter_map(|(name, rest)| Some(format!("{name} {}", rest.split_whitespace().next()?)))
        .collect()
}

fn title(package: &Package) -> String {
    format!("{} {}", package.name, package.version)
}

fn work(package: &Package) -> Result<Work, String> {
    let title = title(package);
    let terms = package
        .license
        .as_deref()
        .ok_or_else(|| format!("{title} names no licence"))?;
    let folder = package
        .manifest_path
        .parent()
        .ok_or_else(|| format!("{title} has no folder"))?
        .as_std_path();
    let files = file_names(folder)?;
    let authors: Vec<_> = package
        .authors
        .iter()
        .map(|author| unmailed(author))
        .collect();
    let authors = match authors.as_slice() {
        [] => format!("the authors of {}", package.name),
        names => names.join(", "),
    };
    let mut texts = Vec::new();
    for licence in chosen(&title, terms)? {
        let found = licence_files(&files, licence);
        for file in &found {
            let text = fs::read_to_string(folder.join(file))
                .map_err(|error| format!("cannot read {file} of {title}: {error}"))?;
            texts.push(tidy(&text));
        }
        if found.is_empty() {
            texts.push(standard_text(licence, &authors));
        }
    }
    for file in files
        .iter()
        .filter(|file| file.to_ascii_uppercase().starts_with("NOTICE"))
    {
        let text = fs::read_to_string(folder.join(file))
            .map_err(|error| format!("cannot read {file} of {title}: {error}"))?;
        texts.push(tidy(&text));
    }
    texts.dedup();
    Ok(Work {
        title,
        terms: terms.to_owned(),
        texts,
    })
}

/// Names of the files of a folder, in order.
fn file_names(folder: &Path) -> Result<BTreeSet<String>, String> {
    let unreadable = |error| format!("cannot read {}: {error}", folder.display());
    let mut names = BTreeSet::new();
    for entry in fs::read_dir(folder).map_err(unreadable)? {
        let entry = entry.map_err(unreadable)?;
        if let (true, Ok(name)) = (entry.path().is_file(), entry.file_name().into_string()) {
            names.insert(name);
        }
    }
    Ok(names)
}

/// An author without the address for mail.
fn unmailed(author: &str) -> &str {
    author.split('<').next().unwrap_or(author).trim()
}

// ------------------------------------------------------------------ page

/// The page: data, works, and each text once, below the works that it is of.
fn written(works: &[Work]) -> String {
    let mut list = String::new();
    let mut texts: Vec<(&str, Vec<&str>)> = Vec::new();
    for Work {
        title,
        terms,
        texts: own,
    } in works
    {
        list += &format!("<li>{}: {}</li>\n", escaped(title), escaped(terms));
        for text in own {
            match texts.iter_mut().find(|(held, _)| held == text) {
                Some((_, titles)) => titles.push(title),
                None => texts.push((text, vec![title])),
            }
        }
    }
    let data: String = OPEN_DATA
        .iter()
        .map(|data| format!("<li>{}</li>\n", data.notice))
        .collect();
    let texts: String = texts
        .iter()
        .map(|(text, titles)| {
            let titles = escaped(&titles.join(", "));
            format!("<h3>{titles}</h3>\n<pre>{}</pre>\n", escaped(text))
        })
        .collect();
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n{POLICY_MARK}\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"dark\">\n\
         <meta name=\"referrer\" content=\"no-referrer\">\n\
         <title>Tarnlight · Notices</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n\
         <p><a href=\"./\">Back to Tarnlight</a></p>\n\
         <h1>Notices of third-party work</h1>\n\
         <h2>Data</h2>\n<ul>\n{data}</ul>\n{EPHEMERIDES}\
         <h2>Programs</h2>\n\
         <p>Where a work is offered under several licences, it is used under the one whose text \
         follows.</p>\n<ul>\n{list}</ul>\n\
         <h2>Licences</h2>\n{texts}</main>\n</body>\n</html>\n"
    )
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lines as *The Cargo Book*, "cargo tree", shows them.
    #[test]
    fn crates_are_read_from_a_tree() {
        let tree =
            "myproject v0.1.0 (/myproject)\nrand v0.7.3\ngetrandom v0.1.14\nlibc v0.2.68 (*)\n";
        let all = [
            "getrandom 0.1.14",
            "libc 0.2.68",
            "myproject 0.1.0",
            "rand 0.7.3",
        ];
        assert!(named(tree).iter().eq(all));
        assert!(named("\n[dev-dependencies]\n").is_empty());
        assert_eq!(unmailed("A. Body <a@example.org>"), "A. Body");
    }

    #[test]
    fn equal_texts_are_given_once() {
        let work = |title: &str, text: &str| Work {
            title: title.to_owned(),
            terms: "MIT".to_owned(),
            texts: vec![tidy(text)],
        };
        let works = [
            work("a 1.0", "A <b> & c\n"),
            work("b 2.0", "other"),
            work("c 3.0", "\u{FEFF}A <b> & c  \r\n\r\n"),
        ];
        let page = written(&works);
        assert_eq!(page.matches("A &lt;b&gt; &amp; c").count(), 1);
        assert!(page.contains("<h3>a 1.0, c 3.0</h3>"), "{page}");
        assert_eq!(page.matches("<li>b 2.0: MIT</li>").count(), 1);
        assert!(super::super::policy::with_policy(&page).is_ok());
    }
}
