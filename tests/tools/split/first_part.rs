//! The first part: the program without what is cut off, and a jump in place of each entry.

use std::collections::BTreeMap;

use wasm_encoder::reencode::Reencode;
use wasm_encoder::{
    CodeSection, ElementSection, ExportKind, ExportSection, Function, FunctionSection, Module,
    TableSection,
};
use wasmparser::{
    CodeSectionReader, CustomSectionReader, ElementItems, ElementSectionReader,
    ExportSectionReader, FunctionSectionReader, TableSectionReader,
};

use super::outline::{Outline, first_place};
use super::second_part::fill;
use super::{Error, FUNCTIONS, Plan, export_name, index_in};

/// Copies a program and leaves the second part out.
pub(super) struct FirstPart<'a> {
    pub(super) outline: &'a Outline<'a>,
    pub(super) plan: &'a Plan,
    pub(super) next_body: u32,
}

impl Reencode for FirstPart<'_> {
    type Error = String;

    fn function_index(&mut self, function: u32) -> Result<u32, Error> {
        index_in(&self.plan.first_index, function)
    }

    /// Leaves custom sections out: names of functions that are no longer here, and what no phone
    /// reads.
    fn parse_custom_section(
        &mut self,
        _: &mut Module,
        _: CustomSectionReader<'_>,
    ) -> Result<(), Error> {
        Ok(())
    }

    fn parse_function_section(
        &mut self,
        functions: &mut FunctionSection,
        section: FunctionSectionReader<'_>,
    ) -> Result<(), Error> {
        for (function, of) in (self.outline.imported..).zip(section) {
            if self.plan.first_index.contains_key(&function) {
                functions.function(self.type_index(of?)?);
            }
        }
        Ok(())
    }

    fn parse_table_section(
        &mut self,
        tables: &mut TableSection,
        section: TableSectionReader<'_>,
    ) -> Result<(), Error> {
        let entries = self.plan.entries.len() as u64;
        let own = self.outline.tables.len() as u32 - section.count();
        for (index, table) in (own..).zip(section) {
            let mut table = table?;
            if index == FUNCTIONS {
                table.ty.initial += entries;
                table.ty.maximum = table.ty.maximum.map(|most| most + entries);
            }
            self.parse_table(tables, table)?;
        }
        Ok(())
    }

    fn parse_export_section(
        &mut self,
        exports: &mut ExportSection,
        section: ExportSectionReader<'_>,
    ) -> Result<(), Error> {
        for export in section {
            self.parse_export(exports, export?)?;
        }
        let Outline {
            tables,
            memories,
            globals,
            ..
        } = self.outline;
        for (kind, count) in [
            (ExportKind::Table, tables.len()),
            (ExportKind::Memory, memories.len()),
            (ExportKind::Global, globals.len()),
        ] {
            for index in 0..count as u32 {
                exports.export(&export_name(kind, index), kind, index);
            }
        }
        for function in &self.plan.shared {
            let name = export_name(ExportKind::Func, *function);
            exports.export(&name, ExportKind::Func, self.function_index(*function)?);
        }
        Ok(())
    }

    /// Leaves the places of the second part's functions empty.
    fn parse_element_section(
        &mut self,
        elements: &mut ElementSection,
        section: ElementSectionReader<'_>,
    ) -> Result<(), Error> {
        for element in section {
            let element = element?;
            let start = first_place(&element.kind)?;
            let (Some(start), ElementItems::Functions(items)) = (start, &element.items) else {
                self.parse_element(elements, element)?;
                continue;
            };
            let mut kept = BTreeMap::new();
            for (place, function) in (start..).zip(items.clone()) {
                if !self.plan.places.contains_key(&place) {
                    kept.insert(place, self.function_index(function?)?);
                }
            }
            fill(elements, &kept);
        }
        Ok(())
    }

    fn parse_code_section(
        &mut self,
        code: &mut CodeSection,
        section: CodeSectionReader<'_>,
    ) -> Result<(), Error> {
        for body in section {
            let (function, body) = (self.next_body, body?);
            self.next_body += 1;
            if let Some(place) = self.plan.place(function) {
                code.function(&jump(self.outline, function, place));
            } else if self.plan.first_index.contains_key(&function) {
                self.parse_function_body(code, body)?;
            }
        }
        Ok(())
    }
}

/// A function that calls the one in a place of the table, with its own parameters.
fn jump(outline: &Outline, function: u32, place: u32) -> Function {
    let type_index = outline.functions[function as usize];
    let mut jump = Function::new([]);
    let mut body = jump.instructions();
    for parameter in 0..outline.parameters[type_index as usize] {
        body.local_get(parameter);
    }
    body.i32_const(place as i32)
        .call_indirect(FUNCTIONS, type_index)
        .end();
    jump
}
