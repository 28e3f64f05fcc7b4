//! Shortens the names by which a WebAssembly program and its script know each other.
//!
//! wasm-bindgen calls each function that a program takes from its script by a long
//! name with a hash, twice: in the program and in the script. Nobody reads them on a
//! phone, and hashes do not pack. Here each gets a number.

use std::collections::BTreeMap;
use std::convert::Infallible;

use wasm_encoder::reencode::{Error, Reencode};
use wasm_encoder::{ImportSection, Module};
use wasmparser::{CustomSectionReader, ImportSectionReader, Parser};

/// Only names that begin so are wasm-bindgen's own and stand for nothing else.
const LONG: &str = "__wb";

/// The program with short names for its imports and without custom sections, and which name
/// each long one got.
///
/// Fails when the program cannot be read. It is not validated: every browser does that.
pub fn shortened(program: &[u8]) -> Result<(Vec<u8>, BTreeMap<String, String>), String> {
    let mut shortener = Shortener::default();
    let mut module = Module::new();
    shortener
        .parse_core_module(&mut module, Parser::new(0), program)
        .map_err(|error| match error {
            Error::ParseError(error) => format!("a program cannot be read: {error}"),
            error => format!("a program cannot be written again: {error}"),
        })?;
    Ok((module.finish(), shortener.names))
}

/// Copies a program and shortens names on the way.
#[derive(Default)]
struct Shortener {
    /// Long names and the short ones they got.
    names: BTreeMap<String, String>,
}

impl Reencode for Shortener {
    type Error = Infallible;

    fn parse_import_section(
        &mut self,
        imports: &mut ImportSection,
        section: ImportSectionReader<'_>,
    ) -> Result<(), Error> {
        for (place, import) in section.into_imports().enumerate() {
            let import = import?;
            let kind = self.entity_type(import.ty)?;
            let name = if import.name.starts_with(LONG) {
                self.names
                    .entry(import.name.to_owned())
                    .or_insert_with(|| format!("i{place}"))
            } else {
                import.name
            };
            imports.import(import.module, name, kind);
        }
        Ok(())
    }

    /// Leaves custom sections out: they tell who made the program, and for what, and no phone
    /// reads them.
    fn parse_custom_section(
        &mut self,
        _: &mut Module,
        _: CustomSectionReader<'_>,
    ) -> Result<(), Error> {
        Ok(())
    }
}

/// A script with the short names; each long one must stand in it just once.
pub fn renamed(script: &str, names: &BTreeMap<String, String>) -> Result<String, String> {
    let mut out = String::with_capacity(script.len());
    let mut met = BTreeMap::new();
    let part = |letter: char| letter.is_ascii_alphanumeric() || letter == '_' || letter == '$';
    let mut rest = script;
    while let Some(start) = rest.find(part) {
        let (before, word) = rest.split_at(start);
        let end = word.find(|letter| !part(letter)).unwrap_or(word.len());
        let (word, after) = word.split_at(end);
        out.push_str(before);
        match names.get(word) {
            Some(short) => {
                *met.entry(word).or_insert(0) += 1;
                out.push_str(short);
            }
            None => out.push_str(word),
        }
        rest = after;
    }
    out.push_str(rest);
    match names.keys().find(|name| met.get(name.as_str()) != Some(&1)) {
        Some(name) => Err(format!("the script does not name {name} once")),
        None => Ok(out),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A program by hand: imports of a function, a table, a memory and a global, then a
    /// section of another kind, a memory.
    ///
    /// Source of its form: W3C, *WebAssembly Core Specification 2.0*, 5.5.
    fn program(names: [&str; 4]) -> Vec<u8> {
        let kinds: [&[u8]; 4] = [
            &[0, 0x80, 0x01],
            &[1, 0x70, 1, 1, 9],
            &[2, 0, 17],
            &[3, 0x7F, 0],
        ];
        let mut body = vec![4];
        for (name, kind) in names.into_iter().zip(kinds) {
            for text in ["./x.js", name] {
                body.push(length(text.as_bytes()));
                body.extend_from_slice(text.as_bytes());
            }
            body.extend_from_slice(kind);
        }
        let imports = [&[2, length(&body)], body.as_slice()].concat();
        [MAGIC, &imports, &[5, 3, 1, 0, 17]].concat()
    }

    /// A program begins with these, and its version.
    const MAGIC: &[u8] = b"\0asm\x01\0\0\0";

    /// A length that takes one byte.
    fn length(bytes: &[u8]) -> u8 {
        let length = u8::try_from(bytes.len()).expect("short");
        assert!(length < 0x80, "one byte of LEB128");
        length
    }

    const OLD: [&str; 4] = [
        "__wbg_new_1a2b3c",
        "table",
        "memory",
        "__wbindgen_object_drop_ref",
    ];

    #[test]
    fn programs_are_renamed_and_nothing_else() {
        let mut noted = program(OLD);
        noted.extend_from_slice(&[0, 5, 4, b'n', b'o', b't', b'e']);
        let (out, names) = shortened(&noted).expect("a program");
        assert_eq!(out, program(["i0", "table", "memory", "i3"]));
        assert_eq!(names.len(), 2);
        assert_eq!(names["__wbg_new_1a2b3c"], "i0");
    }

    #[test]
    fn scripts_follow() {
        let (_, names) = shortened(&program(OLD)).expect("a program");
        let script = "const a = {__wbg_new_1a2b3c: function() {}, __wbindgen_object_drop_ref(x) \
                      {}, __wbg_new_1a2b3cd: 1};";
        let out = renamed(script, &names).expect("each once");
        assert_eq!(
            out,
            "const a = {i0: function() {}, i3(x) {}, __wbg_new_1a2b3cd: 1};"
        );
        assert!(renamed("nothing of it", &names).is_err());
        assert!(renamed(&script.repeat(2), &names).is_err());
    }

    #[test]
    fn what_is_no_program_is_refused() {
        let whole = program(OLD);
        for end in 0..whole.len() - 1 {
            // cut between two sections it is still one
            let cut = shortened(&whole[..end]);
            let between = end == MAGIC.len() || end == whole.len() - 5;
            assert_eq!(cut.is_ok(), between, "cut at {end}");
        }
        assert!(shortened(b"<!doctype html>").is_err());
    }
}
