//! Makes the built folder fit to be served: content policy, notices, offline list, sizes.
//!
//! Trunk runs this over its staging folder after each build (see `Trunk.toml`). It
//!
//! 1. gives the programs and their scripts short names for each other (see [`names`]);
//! 2. cuts off what the first answer does not need of the page's program (see [`split`]);
//! 3. joins the style sheets into one (see [`styles`]), and names it and what is fetched late by
//!    their hashes, so that a tab of an older version never meets a newer file;
//! 4. writes a content policy into `index.html` that allows the inline scripts and styles found
//!    there, by their hashes, and the page's own files, and nothing else (see [`policy`]);
//! 5. writes `notices.html` with the licences of all third-party work in the folder (see
//!    [`notices`]);
//! 6. fills the service worker's list with every file and its hash, and writes it as `sw.js`;
//! 7. writes `bom.json`, the bill of materials (see [`materials`]), which no phone needs and the list
//!    does not name;
//! 8. prints the versions of the tools, a hash of the whole folder and what each file weighs, and
//!    fails when the page has grown beyond its budget.
//!
//! Data that are not the listed ones stop it (see [`open_data`]).

mod hashed_names;
mod licences;
mod lightened;
mod materials;
mod names;
mod notices;
mod open_data;
mod policy;
mod service_worker;
mod split;
mod styles;
mod weights;

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use hashed_names::{SECOND_LOADER, hash_name, name_by_hash, name_second, renamed_once};
use lightened::lightened;
use service_worker::{TEMPLATE, version, worker};
use sha2::{Digest, Sha256};
use weights::{sizes, weighed};

/// The part of the page's program that draws sheets, fetched when the first answer stands.
const DEFERRED: &str = "tarnlight-deferred";

/// The functions through which it is entered: those of `src/ui/deferred.rs`.
const DEFERRED_ENTRIES: &str = "tarnlight::ui::deferred::";

/// The modules whose callbacks and components only these functions make: the same sheets and
/// screens as in `src/ui/deferred.rs`.
const DEFERRED_MODULES: [&str; 4] = [
    "tarnlight::ui::sheets::",
    "tarnlight::ui::screens::framing::",
    "tarnlight::ui::screens::night::",
    "tarnlight::ui::screens::tracking::",
];

/// The page's program, less what Trunk adds to its name.
const PAGE: &str = "tarnlight-page";

/// How `index.html` names the file of the deferred part.
const DEFERRED_FILE: &str = "./tarnlight-deferred.wasm";

/// The list of towns, which is fetched when somebody looks for one.
const GAZETTEER: &str = "places";
const GAZETTEER_FILE: &str = "places.txt";

/// The program that reads photos and tiles, draws random patches of sky and identifies the stars of
/// a frame, fetched when one of these is wanted.
const SECOND: &str = "tarnlight-worker";

/// The typeface, which the page and its style sheet name.
const TYPEFACE: &str = "figures.woff2";

/// The notices of third-party work, which are fetched when somebody asks for them.
const NOTICES: &str = "notices.html";

/// How the names of programs end.
const PROGRAM: &str = "_bg.wasm";

const FRONT: &str = "index.html";
const WORKER: &str = "sw.js";

/// Where `index.html` has the version.
const FRONT_VERSION_MARK: &str = "unsealed";

/// The bill of materials, as CycloneDX names it.
const MATERIALS: &str = "bom.json";

/// The style sheet that imports all others, as `index.html` links it, relative to the manifest.
const STYLE: &str = "./styles/main.css";

/// File names relative to the folder, with `/` between the parts, and their contents.
type Files = BTreeMap<String, Vec<u8>>;

fn main() -> ExitCode {
    let mut arguments = std::env::args_os().skip(1);
    let (Some(folder), Some(manifest)) = (arguments.next(), arguments.next()) else {
        eprintln!("seal: name the built folder and the manifest it was built from");
        return ExitCode::FAILURE;
    };
    match seal(Path::new(&folder), Path::new(&manifest)) {
        Ok(report) => {
            print!("{report}");
            ExitCode::SUCCESS
        }
        Err(sentence) => {
            eprintln!("seal: {sentence}");
            ExitCode::FAILURE
        }
    }
}

/// Seals the folder and returns the table of sizes.
fn seal(folder: &Path, manifest: &Path) -> Result<String, String> {
    let source = manifest.parent().unwrap_or(Path::new(""));
    open_data::check(source)?;
    let mut files = read_folder(folder)?;
    // Never part of the list; they may lie there from an earlier run.
    files.remove(WORKER);
    files.remove(MATERIALS);

    for (name, file) in &mut files {
        if name.ends_with(".js") || name == FRONT {
            let text = std::str::from_utf8(file).map_err(|_| format!("{name} is not UTF-8"))?;
            *file = lightened(text).into_bytes();
            write(folder, name, file)?;
        }
    }
    let deferred = defer(folder, &mut files)?;
    shorten_names(folder, &mut files)?;

    let front = files
        .get(FRONT)
        .ok_or_else(|| format!("{} has no {FRONT}", folder.display()))?;
    let front = std::str::from_utf8(front).map_err(|_| format!("{FRONT} is not UTF-8"))?;
    let front = front.to_owned();
    let style = styles::joined(&source.join(STYLE))?;
    let typeface = name_by_hash(folder, &mut files, TYPEFACE)?;
    let style = renamed_once(&style, TYPEFACE, &typeface)?.into_bytes();
    let style_name = style_name(&style);
    let front = with_style(&front, &style_name, &style)?;
    let front = with_address(&front, DEFERRED_FILE, &deferred)?;
    let front = renamed_once(&front, TYPEFACE, &typeface)?;
    let loader = name_second(folder, &mut files)?;
    let front = renamed_once(&front, SECOND_LOADER, &loader)?;
    let gazetteer = name_by_hash(folder, &mut files, GAZETTEER_FILE)?;
    let front = renamed_once(&front, GAZETTEER_FILE, &gazetteer)?;
    write(folder, &style_name, &style)?;
    files.insert(style_name, style);

    let notices = policy::with_policy(&notices::page(manifest)?)?.into_bytes();
    write(folder, NOTICES, &notices)?;
    files.insert(NOTICES.into(), notices);

    files.insert(FRONT.into(), front.clone().into_bytes());
    let version = version(TEMPLATE, &hashes(&files))?;
    let front = renamed_once(&front, FRONT_VERSION_MARK, &version)?;
    let front = policy::with_policy(&front)?.into_bytes();
    write(folder, FRONT, &front)?;
    files.insert(FRONT.into(), front);

    let worker = worker(TEMPLATE, &version, &hashes(&files))?.into_bytes();
    write(folder, WORKER, &worker)?;
    files.insert(WORKER.into(), worker);

    let report = weighed(sizes(&files)?)?;
    let materials = materials::bill(manifest)?.into_bytes();
    write(folder, MATERIALS, &materials)?;
    files.insert(MATERIALS.into(), materials);
    Ok(report + &made_by() + &whole(&hashes(&files)))
}

/// The tools, since another version of one may make other bytes.
fn made_by() -> String {
    let tools = materials::tool_versions();
    let lines = tools
        .iter()
        .map(|(name, version)| format!("{name} {version}\n"));
    format!("made by:\n{}", lines.collect::<String>())
}

fn hashes(files: &Files) -> BTreeMap<&str, String> {
    files
        .iter()
        .map(|(name, bytes)| (name.as_str(), hex(&Sha256::digest(bytes))))
        .collect()
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// One hash of all files and their names: two builds of the same source by the same tools have the
/// same. In the folder `find * -type f | LC_ALL=C sort | xargs sha256sum | sha256sum` prints it too.
fn whole(hashes: &BTreeMap<&str, String>) -> String {
    let lines = hashes
        .iter()
        .map(|(name, hash)| format!("{hash}  {name}\n"));
    let list: String = lines.collect();
    format!("all files: {}\n", hex(&Sha256::digest(list.as_bytes())))
}

/// Cuts off the deferred part of the page's program and returns the name of its file: another one for
/// every change, since the part fits only the program it was cut from.
fn defer(folder: &Path, files: &mut Files) -> Result<String, String> {
    let pages: Vec<_> = files
        .keys()
        .filter(|name| name.starts_with(PAGE) && name.ends_with(PROGRAM))
        .cloned()
        .collect();
    let [page] = pages.as_slice() else {
        return Err(format!(
            "there must be one program {PAGE}, not {}",
            pages.len()
        ));
    };
    let program = files.get(page).map_or(&[][..], Vec::as_slice);
    let parts = split::split(program, DEFERRED_ENTRIES, &DEFERRED_MODULES)?;
    let name = format!("{DEFERRED}-{}.wasm", hash_name(&parts.second));
    for (name, bytes) in [(page, parts.first), (&name, parts.second)] {
        write(folder, name, &bytes)?;
        files.insert(name.clone(), bytes);
    }
    Ok(name)
}

/// Shortens the names that each program and its script have for each other.
fn shorten_names(folder: &Path, files: &mut Files) -> Result<(), String> {
    let programs: Vec<_> = files
        .keys()
        .filter(|name| name.ends_with(PROGRAM))
        .cloned()
        .collect();
    for program in programs {
        let script = program.replace(PROGRAM, ".js");
        let bytes = files.get(&program).map_or(&[][..], Vec::as_slice);
        let (bytes, names) = names::shortened(bytes)?;
        let text = files
            .get(&script)
            .ok_or_else(|| format!("{program} has no {script}"))?;
        let text = std::str::from_utf8(text).map_err(|_| format!("{script} is not UTF-8"))?;
        let text = names::renamed(text, &names)?.into_bytes();
        for (name, bytes) in [(program, bytes), (script, text)] {
            write(folder, &name, &bytes)?;
            files.insert(name, bytes);
        }
    }
    Ok(())
}

// ------------------------------------------------------------------ style sheet

/// The style sheet's name in the built folder: another one for every change, so that no cache between
/// server and phone gives out an old sheet with a new page.
fn style_name(style: &[u8]) -> String {
    format!("main-{}.css", hash_name(style))
}

/// The page with a link to the style sheet of this name in the place of the one to its source. A
/// browser refuses a sheet that is not this one, as half of it is not, and the page then says so.
fn with_style(front: &str, name: &str, style: &[u8]) -> Result<String, String> {
    let hash = STANDARD.encode(Sha256::digest(style));
    let link = format!("\"{STYLE}\"");
    let whole = format!("\"./{name}\" integrity=\"sha256-{hash}\"");
    renamed_once(front, &link, &whole)
}

/// The page with a file's address in the place of another.
fn with_address(front: &str, old: &str, name: &str) -> Result<String, String> {
    renamed_once(front, old, &format!("./{name}"))
}

// ------------------------------------------------------------------ files

fn read_folder(folder: &Path) -> Result<Files, String> {
    let mut files = Files::new();
    let mut waiting = vec![(PathBuf::from(folder), String::new())];
    while let Some((path, prefix)) = waiting.pop() {
        let unreadable = |error: io::Error| format!("cannot read {}: {error}", path.display());
        for entry in fs::read_dir(&path).map_err(unreadable)? {
            let entry = entry.map_err(unreadable)?;
            let name = entry
                .file_name()
                .into_string()
                .map_err(|name| format!("{name:?} is not a name an address can hold"))?;
            let name = format!("{prefix}{name}");
            if entry.path().is_dir() {
                waiting.push((entry.path(), format!("{name}/")));
            } else {
                let bytes = fs::read(entry.path())
                    .map_err(|error| format!("cannot read {name}: {error}"))?;
                files.insert(name, bytes);
            }
        }
    }
    Ok(files)
}

fn write(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), String> {
    fs::write(folder.join(name), bytes).map_err(|error| format!("cannot write {name}: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_links_the_joined_style_sheet() {
        let front = r#"<link rel="stylesheet" href="./styles/main.css"><p>"#;
        // SHA-256 of "abc", as below
        let name = style_name(b"abc");
        assert_eq!(name, "main-ba7816bf8f01cfea.css");
        assert_eq!(
            with_style(front, &name, b"abc").expect("one link"),
            "<link rel=\"stylesheet\" href=\"./main-ba7816bf8f01cfea.css\" \
             integrity=\"sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=\"><p>"
        );
        assert!(with_style("<p>", &name, b"abc").is_err());
        assert!(with_style(&front.repeat(2), &name, b"abc").is_err());
    }

    #[test]
    fn one_hash_tells_any_change() {
        let of = |name: &str, text: &str| {
            let files = Files::from([(name.to_owned(), text.into()), ("b".to_owned(), Vec::new())]);
            whole(&hashes(&files))
        };
        assert_eq!(of("a", "x"), of("a", "x"));
        assert_ne!(of("a", "x"), of("a", "y"));
        assert_ne!(of("a", "x"), of("c", "x"));
        // of the SHA-256 of nothing, by `sha256sum a b | sha256sum` with two empty files
        assert_eq!(
            of("a", ""),
            "all files: f87e14d51c60a125fc0bc15dbcc564d0879f9fb166d3e7107661c18b0fed579d\n"
        );
    }
}
