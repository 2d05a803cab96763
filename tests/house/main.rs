//! The house itself: within a crate no circle of files; what sets the document knows nothing of water.
//!
//! A file depends on the files that its `use` lines and its `crate::` and `super::` paths name; tests within a file do not
//! count. Files of one circle cannot be read, moved or changed one by one.
#![allow(clippy::unwrap_used, unreachable_pub, reason = "a test stops at the first surprise")]

mod files;
mod paths;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// A file by its module path.
type Module = Vec<String>;

/// Each file with those that it names.
type Graph = BTreeMap<Module, BTreeSet<Module>>;

fn graph(root: &Path) -> Graph {
    let files = files::files(root);
    let names = |module: &Module, text: &str| {
        paths::paths(text)
            .iter()
            .filter_map(|path| files::file_of(&files, module, path))
            .filter(|other| other != module)
            .collect()
    };
    files.iter().map(|(module, text)| (module.clone(), names(module, text))).collect()
}

/// Files that can be reached from one.
fn reached<'a>(graph: &'a Graph, from: &'a Module) -> BTreeSet<&'a Module> {
    let mut all = BTreeSet::new();
    let mut open: Vec<&Module> = graph[from].iter().collect();
    while let Some(module) = open.pop() {
        if all.insert(module) {
            open.extend(&graph[module]);
        }
    }
    all
}

/// Files that lie on a circle.
fn on_a_circle(graph: &Graph) -> Vec<String> {
    graph.keys().filter(|m| reached(graph, m).contains(m)).map(|m| m.join("/")).collect()
}

#[test]
fn no_crate_has_a_circle_of_files() {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap();
    for name in ["dryspell", "dryspell-weather", "dryspell-report", "dryspell-cli"] {
        let graph = graph(&crates.join(name).join("src"));
        let edges: usize = graph.values().map(BTreeSet::len).sum();
        // A reader of paths that finds nothing would find no circle either.
        assert!(graph.len() > 30 && edges > 2 * graph.len(), "{name}: {} files, {edges} edges", graph.len());
        let circle = on_a_circle(&graph);
        assert!(circle.is_empty(), "{name}: files that need each other: {}", circle.join(", "));
    }
}

/// What files of the folder `setting` name besides each other and the document's model.
fn beyond_the_model(root: &Path) -> Vec<String> {
    let files = files::files(root);
    let setting = |module: &Module| module.first().is_some_and(|first| first == "setting");
    let own = |path: &[String]| match path {
        [root, first, ..] if root == "crate" => first == "setting" || first == "model",
        _ => true,
    };
    let mut found = Vec::new();
    for (module, text) in files.iter().filter(|(module, _)| setting(module)) {
        found.extend(paths::paths(text).iter().filter(|path| !own(path)).map(|path| path.join("::")));
        let lines = text.lines().map(str::trim).filter(|line| !line.starts_with("//"));
        let water = lines.filter(|line| line.contains("dryspell::") || line.contains("dryspell_weather::"));
        found.extend(water.map(|line| format!("{}: {line}", module.join("/"))));
        // A file of the folder must not climb out of it.
        let up =
            |path: &&Vec<String>| path.iter().take_while(|part| *part == "super").count() >= module.len();
        found.extend(paths::paths(text).iter().filter(up).map(|path| path.join("::")));
    }
    found
}

#[test]
fn what_sets_the_document_knows_nothing_of_water() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().join("dryspell-report/src");
    assert!(
        files::files(&root)
            .keys()
            .filter(|module| module.first().is_some_and(|first| first == "setting"))
            .count()
            > 15
    );
    assert_eq!(beyond_the_model(&root), Vec::<String>::new());
}

#[test]
fn water_in_the_setting_is_found() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("setting")).unwrap();
    let file = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    file("lib.rs", "mod charts; mod model; mod setting;");
    file("charts.rs", "use dryspell::simulate::Run;\n");
    file("setting/html.rs", "use crate::model::Document;\nuse super::paper::Paper;\n// dryspell::simulate\n");
    assert!(beyond_the_model(folder.path()).is_empty());
    file(
        "setting/paper.rs",
        "use dryspell::units::show;\nuse crate::charts::all;\nuse super::super::report::Report;\n",
    );
    assert_eq!(
        beyond_the_model(folder.path()),
        ["crate::charts::all", "setting/paper: use dryspell::units::show;", "super::super::report::Report"]
    );
}

#[test]
fn a_circle_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    file("lib.rs", "mod a; mod b; mod c;");
    file("a.rs", "use crate::{b::{self, Thing}, c};\n// use crate::a;\n");
    file("b.rs", "use super::c::Other as Name;\n#[cfg(test)]\nmod tests {\n    use crate::a::Thing;\n}\n");
    file("c.rs", "const TEXT: &str = \"use crate::a;\";\n");
    assert!(on_a_circle(&graph(folder.path())).is_empty());
    file("c.rs", "fn f() { crate::a::g() }\n");
    assert_eq!(on_a_circle(&graph(folder.path())), ["a", "b", "c"]);
}

/// Rooms of the core, each with those before it at its disposal: the tools, the water's way, and what looks at the whole.
const CORE: [&str; 51] = [
    "fault",
    "nearest",
    "residual",
    "root",
    "edition",
    "ring",
    "grid",
    "normal",
    "random",
    "units",
    "calendar",
    "record",
    "sun",
    "array",
    "coupling",
    "pump",
    "well",
    "pipe",
    "evaporation",
    "frost",
    "draw",
    "supply",
    "inflow",
    "link",
    "tank",
    "delivery",
    "reliability",
    "lanes",
    "keys",
    "uncertain",
    "ageing",
    "price",
    "plan",
    "simulate",
    "pressure",
    "resample",
    "odds",
    "ahead",
    "sizing",
    "curve",
    "why",
    "sensitivity",
    "mends",
    "stress",
    "worked",
    "results",
    "worksheet",
    "scheme",
    "sweep",
    "unknowns",
    "guide",
];

/// The room of a file: the first part of its path.
fn room(module: &Module) -> &str {
    module.first().map_or("", String::as_str)
}

#[test]
fn no_import_of_the_core_runs_upward() {
    let core = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().join("dryspell/src");
    let rank = |module: &Module| CORE.iter().position(|name| *name == room(module));
    let mut upward = Vec::new();
    for (from, names) in graph(&core).iter().filter(|(from, _)| !room(from).is_empty()) {
        let here = rank(from).unwrap_or_else(|| panic!("{} has no place in CORE", from.join("/")));
        for to in names.iter().filter(|to| rank(to).is_some_and(|there| there > here)) {
            upward.push(format!("{} -> {}", from.join("/"), to.join("/")));
        }
    }
    assert!(upward.is_empty(), "imports that run upward: {}", upward.join(", "));
}

#[test]
fn no_two_rooms_of_a_crate_need_each_other() {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap();
    for name in ["dryspell", "dryspell-weather", "dryspell-report", "dryspell-cli"] {
        let mut rooms = Graph::new();
        for (from, names) in graph(&crates.join(name).join("src")) {
            let one = |module: &Module| vec![room(module).to_owned()];
            let out = names.iter().filter(|to| room(to) != room(&from) && !room(to).is_empty()).map(one);
            rooms.entry(one(&from)).or_default().extend(out);
        }
        let circle = on_a_circle(&rooms);
        assert!(circle.is_empty(), "{name}: rooms that need each other: {}", circle.join(", "));
    }
}
