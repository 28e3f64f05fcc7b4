//! Shortens the names by which a WebAssembly program and its script know each other.
//!
//! wasm-bindgen calls each function that a program takes from its script by a long
//! name with a hash, twice: in the program and in the script. Nobody reads them on a
//! phone, and hashes do not pack. Here each gets a number.
//!
//! Source of the program's form: W3C, *WebAssembly Core Specification 2.0*, 5.5.

use std::collections::BTreeMap;

/// A program begins with these, and its version.
const MAGIC: &[u8] = b"\0asm\x01\0\0\0";

/// Number of the section of imports.
const IMPORTS: u8 = 2;

/// Number of sections that no phone reads: who made the program, and for what.
const NOTES: u8 = 0;

/// Only names that begin so are wasm-bindgen's own and stand for nothing else.
const LONG: &str = "__wb";

/// What is wrong with a program that cannot be read.
const BAD: &str = "a program is not WebAssembly as it is read here";

/// The program with short names for its imports and without notes, and which name each
/// long one got.
pub fn shortened(program: &[u8]) -> Result<(Vec<u8>, BTreeMap<String, String>), String> {
    let mut names = BTreeMap::new();
    let mut rest = program.strip_prefix(MAGIC).ok_or(BAD)?;
    let mut out = MAGIC.to_vec();
    while let Some((&section, after)) = rest.split_first() {
        let (length, after) = number(after)?;
        let (body, after) = split(after, length)?;
        rest = after;
        // sections of other kinds' own are notes of the tools that made the program
        if section == NOTES {
            continue;
        }
        let body = if section == IMPORTS {
            imports(body, &mut names)?
        } else {
            body.to_vec()
        };
        out.push(section);
        put_number(&mut out, body.len());
        out.extend_from_slice(&body);
    }
    Ok((out, names))
}

/// A section of imports with short names.
fn imports(body: &[u8], names: &mut BTreeMap<String, String>) -> Result<Vec<u8>, String> {
    let (count, mut rest) = number(body)?;
    let mut out = Vec::with_capacity(body.len());
    put_number(&mut out, count);
    for place in 0..count {
        let (module, after) = text(rest)?;
        let (name, after) = text(after)?;
        let length = described(after)?;
        let (description, after) = split(after, length)?;
        put_text(&mut out, module);
        if name.starts_with(LONG) {
            let short = names
                .entry(name.to_owned())
                .or_insert_with(|| format!("i{place}"));
            put_text(&mut out, short);
        } else {
            put_text(&mut out, name);
        }
        out.extend_from_slice(description);
        rest = after;
    }
    Ok(out)
}

/// How many bytes describe what is imported.
fn described(bytes: &[u8]) -> Result<usize, String> {
    let end = |rest: &[u8]| bytes.len() - rest.len();
    let limits = |bytes: &[u8]| -> Result<usize, String> {
        let (flags, rest) = number(bytes)?;
        let (_, mut rest) = number(rest)?;
        if flags & 1 == 1 {
            rest = number(rest)?.1;
        }
        Ok(end(rest))
    };
    match bytes.split_first().ok_or(BAD)? {
        // a function by its type, a table, a memory, a global
        (0, rest) => Ok(end(number(rest)?.1)),
        (1, rest) => limits(rest.get(1..).ok_or(BAD)?),
        (2, rest) => limits(rest),
        (3, rest) => Ok(end(rest.get(2..).ok_or(BAD)?)),
        _ => Err(BAD.to_owned()),
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

/// A number, LEB128, and what follows.
fn number(bytes: &[u8]) -> Result<(usize, &[u8]), String> {
    let mut value = 0;
    for (place, byte) in bytes.iter().enumerate().take(5) {
        value |= usize::from(byte & 0x7F) << (7 * place);
        if byte & 0x80 == 0 {
            return Ok((value, &bytes[place + 1..]));
        }
    }
    Err(BAD.to_owned())
}

fn put_number(out: &mut Vec<u8>, mut value: usize) {
    loop {
        let low = (value & 0x7F) as u8;
        value >>= 7;
        if value == 0 {
            out.push(low);
            return;
        }
        out.push(low | 0x80);
    }
}

fn split(bytes: &[u8], at: usize) -> Result<(&[u8], &[u8]), String> {
    bytes.split_at_checked(at).ok_or_else(|| BAD.to_owned())
}

fn text(bytes: &[u8]) -> Result<(&str, &[u8]), String> {
    let (length, rest) = number(bytes)?;
    let (text, rest) = split(rest, length)?;
    let text = std::str::from_utf8(text).map_err(|_| BAD)?;
    Ok((text, rest))
}

fn put_text(out: &mut Vec<u8>, text: &str) {
    put_number(out, text.len());
    out.extend_from_slice(text.as_bytes());
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A program by hand: imports of a function, a table, a memory and a global, then a
    /// section of another kind.
    fn program(names: [&str; 4]) -> Vec<u8> {
        let kinds: [&[u8]; 4] = [
            &[0, 0x80, 0x01],
            &[1, 0x70, 1, 1, 9],
            &[2, 0, 17],
            &[3, 0x7F, 0],
        ];
        let mut body = vec![4];
        for (name, kind) in names.into_iter().zip(kinds) {
            put_text(&mut body, "./x.js");
            put_text(&mut body, name);
            body.extend_from_slice(kind);
        }
        let mut bytes = MAGIC.to_vec();
        bytes.push(IMPORTS);
        put_number(&mut bytes, body.len());
        bytes.extend_from_slice(&body);
        bytes.extend_from_slice(&[5, 3, 1, 0, 17]);
        bytes
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
