//! The second part: what is cut off, with the first part's memories, tables, globals and functions as
//! imports.

use std::collections::BTreeMap;

use wasm_encoder::reencode::Reencode;
use wasm_encoder::{
    CodeSection, ConstExpr, ElementSection, Elements, EntityType, ExportKind, FunctionSection,
    GlobalType, ImportSection, MemoryType, Module, TableType, TypeSection,
};

use super::outline::Outline;
use super::{Error, FUNCTIONS, PROGRAM, Plan, export_name, index_in};

/// Copies the functions of the second part.
struct SecondPart<'a>(&'a Plan);

impl Reencode for SecondPart<'_> {
    type Error = String;

    fn function_index(&mut self, function: u32) -> Result<u32, Error> {
        index_in(&self.0.second_index, function)
    }
}

/// The second part: its functions, and imports of all they use.
pub(super) fn second_part(outline: &Outline, plan: &Plan) -> Result<Vec<u8>, Error> {
    let mut copy = SecondPart(plan);
    let mut types = TypeSection::new();
    for group in &outline.types {
        copy.parse_recursive_type_group(types.ty(), group.clone())?;
    }
    let mut imports = ImportSection::new();
    let mut import = |kind, index, of: EntityType| {
        imports.import(PROGRAM, &export_name(kind, index), of);
    };
    for function in &plan.shared {
        let of = EntityType::Function(outline.functions[*function as usize]);
        import(ExportKind::Func, *function, of);
    }
    for (index, table) in (0..).zip(&outline.tables) {
        let mut of: TableType = copy.table_type(*table)?;
        if index == FUNCTIONS {
            let entries = plan.entries.len() as u64;
            of.minimum += entries;
            of.maximum = of.maximum.map(|most| most + entries);
        }
        import(ExportKind::Table, index, of.into());
    }
    for (index, memory) in (0..).zip(&outline.memories) {
        let of: MemoryType = copy.memory_type(*memory)?;
        import(ExportKind::Memory, index, of.into());
    }
    for (index, global) in (0..).zip(&outline.globals) {
        let of: GlobalType = copy.global_type(*global)?;
        import(ExportKind::Global, index, of.into());
    }
    let (mut functions, mut code) = (FunctionSection::new(), CodeSection::new());
    for function in &plan.moved {
        functions.function(outline.functions[*function as usize]);
        let body = &outline.bodies[(*function - outline.imported) as usize];
        copy.parse_function_body(&mut code, body.clone())?;
    }
    let mut elements = ElementSection::new();
    let entered = (plan.first_place..).zip(plan.entries.iter().copied());
    let mut filled = BTreeMap::new();
    for (place, function) in plan.places.iter().map(|(at, of)| (*at, *of)).chain(entered) {
        filled.insert(place, copy.function_index(function)?);
    }
    fill(&mut elements, &filled);
    let mut module = Module::new();
    module
        .section(&types)
        .section(&imports)
        .section(&functions)
        .section(&elements)
        .section(&code);
    Ok(module.finish())
}

/// Segments that put functions in their places of the table, one for each run of places.
pub(super) fn fill(elements: &mut ElementSection, functions: &BTreeMap<u32, u32>) {
    let places: Vec<(u32, u32)> = functions.iter().map(|(at, of)| (*at, *of)).collect();
    for run in places.chunk_by(|before, after| before.0 + 1 == after.0) {
        let place = ConstExpr::i32_const(run[0].0 as i32);
        let of_run: Vec<u32> = run.iter().map(|(_, function)| *function).collect();
        elements.active(None, &place, Elements::Functions(of_run.into()));
    }
}
