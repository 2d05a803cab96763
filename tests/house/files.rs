//! The files of a crate by module path.

use std::collections::BTreeMap;
use std::path::Path;

use super::Module;

/// Every file under a root with its text.
pub fn files(root: &Path) -> BTreeMap<Module, String> {
    let mut all = BTreeMap::new();
    gather(root, &[], &mut all);
    all
}

fn gather(folder: &Path, module: &[String], all: &mut BTreeMap<Module, String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap();
        let mut module = module.to_vec();
        if path.is_dir() {
            module.push(name.to_owned());
            gather(&path, &module, all);
        } else if path.extension().is_some_and(|e| e == "rs") {
            if !["mod", "lib", "main"].contains(&name) {
                module.push(name.to_owned());
            }
            all.insert(module, std::fs::read_to_string(&path).unwrap());
        }
    }
}

/// The file that a path within `module` names: the longest part of it that is one.
pub fn file_of(files: &BTreeMap<Module, String>, module: &Module, path: &[String]) -> Option<Module> {
    let mut here = module.clone();
    let mut rest = path;
    match rest.first()?.as_str() {
        "crate" => here.clear(),
        "super" => _ = here.pop(),
        _ => {}
    }
    rest = &rest[1..];
    while rest.first().is_some_and(|part| part == "super") {
        here.pop();
        rest = &rest[1..];
    }
    for part in rest {
        here.push(part.clone());
        if !files.contains_key(&here) {
            here.pop();
            break;
        }
    }
    files.contains_key(&here).then_some(here)
}
