//! What has to be known of a program before it is cut, and what goes where.

use std::collections::{BTreeMap, BTreeSet};

use wasmparser::{
    CompositeInnerType, Element, ElementItems, ElementKind, ExternalKind, FunctionBody,
    KnownCustom, Name, Operator, OperatorsReader, Parser, Payload, RecGroup, TypeRef,
};

use super::{FUNCTIONS, Plan};

/// What has to be known of a program before it is cut. Functions, tables, memories and
/// globals are numbered as in the program, imported ones first.
#[derive(Default)]
pub(super) struct Outline<'a> {
    pub(super) types: Vec<RecGroup>,
    /// The number of parameters of each type.
    pub(super) parameters: Vec<u32>,
    /// How many functions are imported.
    pub(super) imported: u32,
    /// The type of each function.
    pub(super) functions: Vec<u32>,
    pub(super) tables: Vec<wasmparser::TableType>,
    pub(super) memories: Vec<wasmparser::MemoryType>,
    pub(super) globals: Vec<wasmparser::GlobalType>,
    /// Functions that exports, the start and globals name.
    pub(super) roots: BTreeSet<u32>,
    /// The functions in the table of functions, by their places.
    pub(super) places: BTreeMap<u32, u32>,
    pub(super) bodies: Vec<FunctionBody<'a>>,
    /// The functions that each function with a body names.
    pub(super) calls: Vec<BTreeSet<u32>>,
    pub(super) names: BTreeMap<u32, &'a str>,
}

impl<'a> Outline<'a> {
    pub(super) fn read(program: &'a [u8]) -> wasmparser::Result<Self> {
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
                    self.take_types(group?);
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
                    self.take_element(element?)?;
                }
            }
            Payload::CodeSectionEntry(body) => {
                self.calls.push(named(body.get_operators_reader()?)?);
                self.bodies.push(body);
            }
            Payload::CustomSection(section) => {
                if let KnownCustom::Name(section) = section.as_known() {
                    for names in section {
                        self.take_names(names?)?;
                    }
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn take_types(&mut self, group: RecGroup) {
        for of_group in group.types() {
            let parameters = match &of_group.composite_type.inner {
                CompositeInnerType::Func(of) => of.params().len(),
                _ => 0,
            };
            self.parameters.push(parameters as u32);
        }
        self.types.push(group);
    }

    /// A segment of elements: functions with places in the table of functions, and others.
    fn take_element(&mut self, element: Element<'a>) -> wasmparser::Result<()> {
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
        Ok(())
    }

    fn take_names(&mut self, names: Name<'a>) -> wasmparser::Result<()> {
        if let Name::Function(names) = names {
            for name in names {
                let name = name?;
                self.names.insert(name.index, name.name);
            }
        }
        Ok(())
    }

    /// What goes where.
    pub(super) fn plan(&self, entries: &str, modules: &[&str]) -> Result<Plan, String> {
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
pub(super) fn first_place(kind: &ElementKind<'_>) -> wasmparser::Result<Option<u32>> {
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
pub(super) fn without_hashes(name: &str) -> String {
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
