//! Names of files with their hashes in them: another name for every change, so that no cache gives out
//! a file of one version to a page of another.

use std::fs;
use std::path::Path;

use sha2::{Digest, Sha256};

use super::{Files, hex, write};

/// The loader of the program that runs beside the page, and the two files that it names.
pub const SECOND_LOADER: &str = "tarnlight-worker-loader.js";
const SECOND_PARTS: [&str; 2] = ["tarnlight-worker.js", "tarnlight-worker_bg.wasm"];

/// A file's hash, as far as its name has it.
pub fn hash_name(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))[..16].to_owned()
}

/// Puts the hash of a file into its name, and returns that.
pub fn name_by_hash(folder: &Path, files: &mut Files, name: &str) -> Result<String, String> {
    let bytes = files
        .remove(name)
        .ok_or_else(|| format!("{} has no {name}", folder.display()))?;
    let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
    let hashed = format!("{stem}-{}.{ending}", hash_name(&bytes));
    write(folder, &hashed, &bytes)?;
    fs::remove_file(folder.join(name)).map_err(|error| format!("cannot remove {name}: {error}"))?;
    files.insert(hashed.clone(), bytes);
    Ok(hashed)
}

/// Names the second program's files by their hashes; the name of its loader.
pub fn name_second(folder: &Path, files: &mut Files) -> Result<String, String> {
    for part in SECOND_PARTS {
        let name = name_by_hash(folder, files, part)?;
        let loader = files.get(SECOND_LOADER).map_or(&[][..], Vec::as_slice);
        let loader = std::str::from_utf8(loader).map_err(|_| "the loader is not UTF-8")?;
        let loader = renamed_once(loader, part, &name)?.into_bytes();
        files.insert(SECOND_LOADER.into(), loader);
    }
    name_by_hash(folder, files, SECOND_LOADER)
}

/// A text with one name in the place of another, which it must hold exactly once.
pub fn renamed_once(text: &str, old: &str, new: &str) -> Result<String, String> {
    match text.matches(old).count() {
        1 => Ok(text.replace(old, new)),
        count => Err(format!(
            "{old} must be named exactly once, not {count} times"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_replaced_where_it_stands_once() {
        assert_eq!(renamed_once("a b", "b", "c").expect("once"), "a c");
        assert!(renamed_once("a", "b", "c").is_err());
        assert!(renamed_once("b b", "b", "c").is_err());
    }
}
