//! Cuts a program in two: what the first answer needs, and what is fetched later.
//!
//! The functions of one module are the entries of the second part. It gets them and all that
//! nothing else calls; a function that the first part's exports, tables or other functions
//! reach stays there. In the first part each entry becomes a jump through a place of the table of
//! functions, which is empty until the second part is instantiated and puts its function there.
//!
//! What is called through the table alone, as callbacks and components are, tells by its name whose
//! it is: functions of modules that only the entries' code makes values of go to the second part
//! too, and their places stay empty until then.
//!
//! The second part has nothing of its own but code: it imports the first's memories, tables,
//! globals and functions, under the names of [`export_name`].
//!
//! Source of the form: W3C, *WebAssembly Core Specification 2.0*, 5.5.

mod first_part;
mod outline;
mod second_part;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use wasm_encoder::reencode::{Error as ReencodeError, Reencode};
use wasm_encoder::{ExportKind, Module};
use wasmparser::Parser;

use first_part::FirstPart;
use outline::Outline;
use second_part::second_part;

/// Why a program could not be cut.
type Error = ReencodeError<String>;

/// The module name of the second part's imports.
const PROGRAM: &str = "p";

/// The table that all indirect calls of the compiler go through.
const FUNCTIONS: u32 = 0;

/// The two parts of a program.
#[derive(Debug)]
pub struct Parts {
    /// What is loaded first.
    pub first: Vec<u8>,
    /// What is instantiated with the exports of the first.
    pub second: Vec<u8>,
}

/// Cuts off the functions whose names begin with `entries`, those called through the table alone
/// whose names have one of `modules` in them, and what only these call.
///
/// Fails when the program cannot be read, has no names, or none of its functions is called so.
pub fn split(program: &[u8], entries: &str, modules: &[&str]) -> Result<Parts, String> {
    let outline = Outline::read(program).map_err(|error| unreadable(error.into()))?;
    let plan = outline.plan(entries, modules)?;
    let mut first = FirstPart {
        outline: &outline,
        plan: &plan,
        next_body: outline.imported,
    };
    let mut module = Module::new();
    first
        .parse_core_module(&mut module, Parser::new(0), program)
        .map_err(unreadable)?;
    Ok(Parts {
        first: module.finish(),
        second: second_part(&outline, &plan).map_err(unreadable)?,
    })
}

fn unreadable(error: Error) -> String {
    match error {
        Error::ParseError(error) => format!("a program cannot be read: {error}"),
        error => format!("a program cannot be cut: {error}"),
    }
}

/// The name under which the first part exports what the second imports.
fn export_name(kind: ExportKind, index: u32) -> String {
    let letter = match kind {
        ExportKind::Func => 'f',
        ExportKind::Table => 't',
        ExportKind::Memory => 'm',
        ExportKind::Global => 'g',
        ExportKind::Tag => 'e',
    };
    format!("{letter}{index}")
}

/// What goes where.
struct Plan {
    /// Functions through which the second part is entered.
    entries: Vec<u32>,
    /// Functions of the second part, the entries among them.
    moved: Vec<u32>,
    /// Functions of the first part that the second calls.
    shared: BTreeSet<u32>,
    /// The number in the first part of each function that it has.
    first_index: BTreeMap<u32, u32>,
    /// The number in the second part of each function that it has.
    second_index: BTreeMap<u32, u32>,
    /// The place of the first entry in the table of functions.
    first_place: u32,
    /// Places of the table that the second part fills, and their functions.
    places: BTreeMap<u32, u32>,
}

impl Plan {
    /// The place of a function in the table, if it is an entry.
    fn place(&self, function: u32) -> Option<u32> {
        let entry = self.entries.iter().position(|entry| *entry == function)?;
        Some(self.first_place + entry as u32)
    }
}

fn index_in(indices: &BTreeMap<u32, u32>, function: u32) -> Result<u32, Error> {
    let index = indices.get(&function).copied();
    index.ok_or_else(|| Error::UserError(format!("function {function} is in the other part")))
}
