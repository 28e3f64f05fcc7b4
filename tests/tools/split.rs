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

use std::collections::{BTreeMap, BTreeSet};

use wasm_encoder::reencode::{Error as ReencodeError, Reencode};
use wasm_encoder::{
    CodeSection, ConstExpr, ElementSection, Elements, EntityType, ExportKind, ExportSection,
    Function, FunctionSection, GlobalType, ImportSection, MemoryType, Module, TableSection,
    TableType, TypeSection,
};
use wasmparser::{
    CodeSectionReader, CustomSectionReader, ElementItems, ElementKind, ElementSectionReader,
    ExportSectionReader, ExternalKind, FunctionBody, FunctionSectionReader, KnownCustom, Name,
    Operator, OperatorsReader, Parser, Payload, TableSectionReader, TypeRef,
};

#[cfg(test)]
mod tests;

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

// ------------------------------------------------------------------ reading

/// What has to be known of a program before it is cut. Functions, tables, memories and
/// globals are numbered as in the program, imported ones first.
#[derive(Default)]
struct Outline<'a> {
    types: Vec<wasmparser::RecGroup>,
    /// The number of parameters of each type.
    parameters: Vec<u32>,
    /// How many functions are imported.
    imported: u32,
    /// The type of each function.
    functions: Vec<u32>,
    tables: Vec<wasmparser::TableType>,
    memories: Vec<wasmparser::MemoryType>,
    globals: Vec<wasmparser::GlobalType>,
    /// Functions that exports, the start and globals name.
    roots: BTreeSet<u32>,
    /// The functions in the table of functions, by their places.
    places: BTreeMap<u32, u32>,
    bodies: Vec<FunctionBody<'a>>,
    /// The functions that each function with a body names.
    calls: Vec<BTreeSet<u32>>,
    names: BTreeMap<u32, &'a str>,
}

impl<'a> Outline<'a> {
    fn read(program: &'a [u8]) -> wasmparser::Result<Self> {
        let mut outline = Self::default();
        for payload in Parser::new(0).parse_all(program) {
            outline.take(payload?)?;
        }
        Ok(outline)
    }

    fn take(&mut self, payload: Payload<'a>) -> wasmparser::Result<()> {
        match payload {
            Payload::TypeSection(section) => {
                for group in section {
                    let group = group?;
                    for of_group in group.types() {
                        let parameters = match &of_group.composite_type.inner {
                            wasmparser::CompositeInnerType::Func(of) => of.params().len(),
                            _ => 0,
                        };
                        self.parameters.push(parameters as u32);
                    }
                    self.types.push(group);
                }
            }
            Payload::ImportSection(section) => {
                for import in section.into_imports() {
                    match import?.ty {
                        TypeRef::Func(of) | TypeRef::FuncExact(of) => self.functions.push(of),
                        TypeRef::Table(of) => self.tables.push(of),
                        TypeRef::Memory(of) => self.memories.push(of),
                        TypeRef::Global(of) => self.globals.push(of),
                        TypeRef::Tag(_) => {}
                    }
                }
                self.imported = self.functions.len() as u32;
            }
            Payload::FunctionSection(section) => {
                for of in section {
                    self.functions.push(of?);
                }
            }
            Payload::TableSection(section) => {
                for table in section {
                    self.tables.push(table?.ty);
                }
            }
            Payload::MemorySection(section) => {
                for memory in section {
                    self.memories.push(memory?);
                }
            }
            Payload::GlobalSection(section) => {
                for global in section {
                    let global = global?;
                    self.globals.push(global.ty);
                    let named = named(global.init_expr.get_operators_reader())?;
                    self.roots.extend(named);
                }
            }
            Payload::ExportSection(section) => {
                for export in section {
                    let export = export?;
                    if export.kind == ExternalKind::Func {
                        self.roots.insert(export.index);
                    }
                }
            }
            Payload::StartSection { func, .. } => {
                self.roots.insert(func);
            }
            Payload::ElementSection(section) => {
                for element in section {
                    let element = element?;
                    let start = first_place(&element.kind)?;
                    match element.items {
                        ElementItems::Functions(items) => {
                            for (offset, function) in (0..).zip(items) {
                                let function = function?;
                                match start {
                                    Some(start) => {
                                        self.places.insert(start + offset, function);
                                    }
                                    None => {
                                        self.roots.insert(function);
                                    }
                                }
                            }
                        }
                        ElementItems::Expressions(_, items) => {
                            for item in items {
                                self.roots.extend(named(item?.get_operators_reader())?);
                            }
                        }
                    }
                }
            }
            Payload::CodeSectionEntry(body) => {
                self.calls.push(named(body.get_operators_reader()?)?);
                self.bodies.push(body);
            }
            Payload::CustomSection(section) => {
                if let KnownCustom::Name(section) = section.as_known() {
                    for names in section {
                        if let Name::Function(names) = names? {
                            for name in names {
                                let name = name?;
                                self.names.insert(name.index, name.name);
                            }
                        }
                    }
                }
            }
            _ => {}
        }
        Ok(())
    }

    /// What goes where.
    fn plan(&self, entries: &str, modules: &[&str]) -> Result<Plan, String> {
        let defined = self.imported..self.functions.len() as u32;
        let name = |function: &u32| self.names.get(function).map(|name| without_hashes(name));
        let in_table: BTreeSet<u32> = self.places.values().copied().collect();
        let is_entry = |function: &u32| {
            let called = self.roots.contains(function) || in_table.contains(function);
            !called && name(function).is_some_and(|name| name.starts_with(entries))
        };
        let is_of_modules = |function: &u32| {
            name(function).is_some_and(|name| modules.iter().any(|module| name.contains(module)))
        };
        let found: Vec<u32> = defined.clone().filter(is_entry).collect();
        if found.is_empty() {
            return Err(format!("a program has no function {entries}"));
        }
        let entries = found;
        let mut reached = BTreeSet::new();
        let mut waiting: Vec<u32> = self.roots.iter().copied().collect();
        waiting.extend(in_table.iter().filter(|function| !is_of_modules(function)));
        while let Some(function) = waiting.pop() {
            if !entries.contains(&function) && reached.insert(function) {
                waiting.extend(self.called_by(function));
            }
        }
        let moved: Vec<u32> = defined.filter(|one| !reached.contains(one)).collect();
        let shared = moved.iter().flat_map(|one| self.called_by(*one));
        let shared: BTreeSet<u32> = shared
            .filter(|one| reached.contains(one) || *one < self.imported)
            .collect();
        let kept =
            |one: &u32| reached.contains(one) || *one < self.imported || entries.contains(one);
        let stay = (0..self.functions.len() as u32).filter(kept);
        let table = self.tables.get(FUNCTIONS as usize);
        let table = table.filter(|table| table.element_type.is_func_ref());
        let table = table.ok_or("a program has no table of functions")?;
        Ok(Plan {
            first_index: stay.zip(0..).collect(),
            second_index: shared.iter().chain(&moved).copied().zip(0..).collect(),
            first_place: table.initial as u32,
            places: self
                .places
                .iter()
                .map(|(place, function)| (*place, *function))
                .filter(|(_, function)| moved.binary_search(function).is_ok())
                .collect(),
            entries,
            shared,
            moved,
        })
    }

    fn called_by(&self, function: u32) -> impl Iterator<Item = u32> {
        let own = function.checked_sub(self.imported);
        let calls = own.and_then(|own| self.calls.get(own as usize));
        calls.into_iter().flatten().copied()
    }
}

/// The place in the table of functions that a segment fills first; `None` if it fills another
/// table, or none.
fn first_place(kind: &ElementKind<'_>) -> wasmparser::Result<Option<u32>> {
    let ElementKind::Active {
        table_index: None | Some(FUNCTIONS),
        offset_expr,
    } = kind
    else {
        return Ok(None);
    };
    Ok(match offset_expr.get_operators_reader().read()? {
        Operator::I32Const { value } => Some(value as u32),
        _ => None,
    })
}

/// A name without the hashes of crates that the compiler writes behind their names.
fn without_hashes(name: &str) -> String {
    let mut parts = name.split('[');
    let mut plain = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        match part.split_once(']') {
            Some((hash, rest)) if hash.bytes().all(|byte| byte.is_ascii_hexdigit()) => {
                plain += rest;
            }
            _ => {
                plain.push('[');
                plain += part;
            }
        }
    }
    plain
}

/// The functions that some instructions name.
fn named(mut reader: OperatorsReader<'_>) -> wasmparser::Result<BTreeSet<u32>> {
    let mut functions = BTreeSet::new();
    while !reader.eof() {
        match reader.read()? {
            Operator::Call { function_index }
            | Operator::ReturnCall { function_index }
            | Operator::RefFunc { function_index } => {
                functions.insert(function_index);
            }
            _ => {}
        }
    }
    Ok(functions)
}

// ------------------------------------------------------------------ writing

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

/// Copies a program and leaves the second part out.
struct FirstPart<'a> {
    outline: &'a Outline<'a>,
    plan: &'a Plan,
    next_body: u32,
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

/// Copies the functions of the second part.
struct SecondPart<'a>(&'a Plan);

impl Reencode for SecondPart<'_> {
    type Error = String;

    fn function_index(&mut self, function: u32) -> Result<u32, Error> {
        index_in(&self.0.second_index, function)
    }
}

fn second_part(outline: &Outline, plan: &Plan) -> Result<Vec<u8>, Error> {
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
fn fill(elements: &mut ElementSection, functions: &BTreeMap<u32, u32>) {
    let places: Vec<(u32, u32)> = functions.iter().map(|(at, of)| (*at, *of)).collect();
    for run in places.chunk_by(|before, after| before.0 + 1 == after.0) {
        let place = ConstExpr::i32_const(run[0].0 as i32);
        let of_run: Vec<u32> = run.iter().map(|(_, function)| *function).collect();
        elements.active(None, &place, Elements::Functions(of_run.into()));
    }
}

fn index_in(indices: &BTreeMap<u32, u32>, function: u32) -> Result<u32, Error> {
    let index = indices.get(&function).copied();
    index.ok_or_else(|| Error::UserError(format!("function {function} is in the other part")))
}
