//! A small program, cut.

use super::outline::without_hashes;
use super::*;
use wasm_encoder::{
    CodeSection, ConstExpr, ElementSection, Elements, EntityType, ExportSection, Function,
    FunctionSection, ImportSection, NameMap, NameSection, RefType, TableSection, TableType,
    TypeSection, ValType,
};
use wasmparser::Payload;

/// Functions of a program: one imported, and four that call each other so:
/// `run` → `views::sheet`, `common`; `views::sheet` → `alone`, `common`, the imported one.
const IMPORTED: u32 = 0;
const RUN: u32 = 1;
const SHEET: u32 = 2;
const ALONE: u32 = 3;
const COMMON: u32 = 4;

fn calling(calls: &[u32]) -> Function {
    let mut function = Function::new([]);
    for called in calls {
        function.instructions().i32_const(7).call(*called);
    }
    function.instructions().end();
    function
}

fn program(names: &[(u32, &str)]) -> Vec<u8> {
    program_with(&[], names)
}

/// With these functions in the table, from its second place on.
fn program_with(in_table: &[u32], names: &[(u32, &str)]) -> Vec<u8> {
    let mut types = TypeSection::new();
    types.ty().function([ValType::I32], []);
    let mut imports = ImportSection::new();
    imports.import("x", "y", EntityType::Function(0));
    let (mut functions, mut code) = (FunctionSection::new(), CodeSection::new());
    for calls in [&[SHEET, COMMON][..], &[ALONE, COMMON, IMPORTED], &[], &[]] {
        functions.function(0);
        code.function(&calling(calls));
    }
    let mut tables = TableSection::new();
    tables.table(TableType {
        element_type: RefType::FUNCREF,
        table64: false,
        minimum: 5,
        maximum: Some(5),
        shared: false,
    });
    let mut exports = ExportSection::new();
    exports.export("run", ExportKind::Func, RUN);
    let mut elements = ElementSection::new();
    if !in_table.is_empty() {
        let place = ConstExpr::i32_const(1);
        elements.active(None, &place, Elements::Functions(in_table.into()));
    }
    let mut map = NameMap::new();
    for (function, name) in names {
        map.append(*function, name);
    }
    let mut known = NameSection::new();
    known.functions(&map);
    let mut module = Module::new();
    module
        .section(&types)
        .section(&imports)
        .section(&functions)
        .section(&tables)
        .section(&exports)
        .section(&elements)
        .section(&code)
        .section(&known);
    module.finish()
}

const NAMES: [(u32, &str); 3] = [(RUN, "run"), (SHEET, "views::sheet::h0"), (ALONE, "alone")];

fn operators(outline: &Outline, body: usize) -> Vec<String> {
    let reader = outline.bodies[body].get_operators_reader().expect("a body");
    let operators = reader
        .into_iter()
        .map(|one| format!("{:?}", one.expect("an operator")));
    operators.collect()
}

#[test]
fn what_only_the_entries_call_goes_with_them() {
    let parts = split(&program(&NAMES), "views::", &[]).expect("two parts");
    let first = Outline::read(&parts.first).expect("a program");
    let second = Outline::read(&parts.second).expect("a program");
    // `run`, the jump and `common` stay; the two others go, and import what they call
    assert_eq!((first.imported, first.bodies.len()), (1, 3));
    assert_eq!((second.imported, second.bodies.len()), (2, 2));
    let calls = |calls: [u32; 2]| calls.into_iter().collect::<BTreeSet<_>>();
    assert_eq!(first.calls[0], calls([2, 3]));
    let [sheet, imported_and_common] = [&second.calls[0], &calls([0, 1])];
    assert!(sheet.is_superset(imported_and_common) && sheet.contains(&3));
    // the entry stands in the place that was added to the table, where the jump looks for it
    assert_eq!(first.tables[0].initial, 6);
    assert_eq!(first.tables[0].maximum, Some(6));
    assert_eq!(second.tables, first.tables);
    assert_eq!(second.places, BTreeMap::from([(5, 2)]));
    let jump = operators(&first, 1);
    assert!(jump[0].starts_with("LocalGet { local_index: 0"), "{jump:?}");
    assert!(jump[1].starts_with("I32Const { value: 5"), "{jump:?}");
    assert!(
        jump[2].starts_with("CallIndirect { type_index: 0, table_index: 0"),
        "{jump:?}"
    );
    assert_eq!(jump.len(), 4);
    // and no name is left
    assert!(first.names.is_empty() && second.names.is_empty());
}

#[test]
fn every_import_of_the_second_part_is_exported_by_the_first() {
    let parts = split(&program(&NAMES), "views::", &[]).expect("two parts");
    let mut exported = BTreeSet::new();
    for payload in Parser::new(0).parse_all(&parts.first) {
        if let Payload::ExportSection(section) = payload.expect("a program") {
            exported.extend(section.into_iter().map(|one| one.expect("an export").name));
        }
    }
    assert_eq!(exported, BTreeSet::from(["run", "f0", "f4", "t0"]));
    let mut imported = BTreeSet::new();
    for payload in Parser::new(0).parse_all(&parts.second) {
        if let Payload::ImportSection(section) = payload.expect("a program") {
            for import in section.into_imports() {
                let import = import.expect("an import");
                assert_eq!(import.module, PROGRAM);
                imported.insert(import.name);
            }
        }
    }
    assert_eq!(imported, BTreeSet::from(["f0", "f4", "t0"]));
}

/// Two of the functions stand in the table as well: the callback of a view is left out there, and the
/// second part puts it in its place, third of four; the other's place is filled from the start.
#[test]
fn callbacks_of_the_modules_go_too() {
    let names = [
        (RUN, "run"),
        (SHEET, "views[5f]::sheet"),
        (ALONE, "<views[5f]::sheets::Key as core[0a]::ops::Fn>::call"),
        (COMMON, "<[u8] as words[1]::Said>::say"),
    ];
    let program = program_with(&[COMMON, COMMON, ALONE, COMMON], &names);
    let parts = split(&program, "views::", &["views::sheets::"]).expect("two parts");
    let first = Outline::read(&parts.first).expect("a program");
    let second = Outline::read(&parts.second).expect("a program");
    assert_eq!(first.bodies.len(), 3);
    assert_eq!(first.places.keys().copied().collect::<Vec<_>>(), [1, 2, 4]);
    // the callback, and the entry behind all places of the first part
    assert_eq!(second.places, BTreeMap::from([(3, 3), (5, 2)]));
    // without the module it stays
    let parts = split(&program, "views::", &[]).expect("two parts");
    let first = Outline::read(&parts.first).expect("a program");
    assert_eq!((first.bodies.len(), first.places.len()), (4, 4));
}

#[test]
fn hashes_of_crates_are_no_part_of_a_name() {
    for (name, want) in [
        ("a[0f]::b::<c[12]::D>", "a::b::<c::D>"),
        ("<[u8] as a[1]::B>::c", "<[u8] as a::B>::c"),
        ("a::b", "a::b"),
        ("", ""),
    ] {
        assert_eq!(without_hashes(name), want);
    }
}

#[test]
fn what_cannot_be_cut_is_refused() {
    assert!(split(&program(&NAMES), "other::", &[]).is_err());
    assert!(split(&program(&[]), "views::", &[]).is_err());
    assert!(split(b"<!doctype html>", "views::", &[]).is_err());
    // an exported function is called from outside, and stays
    assert!(split(&program(&NAMES), "run", &[]).is_err());
}
