//! Weather files by a pattern or from a list, in place of their names.

use std::path::Path;

use crate::Failure;

/// The key whose values may be given so.
const KEY: &str = "weather.file";

/// A `--vary` with each pattern and each list of weather files replaced by the files themselves: those of a pattern in the order of
/// their names, those of a list in its own. Both are looked for in the scheme's folder, as a weather file is.
pub(super) fn listed(text: &str, folder: &Path) -> Result<String, Failure> {
    let parts = text.split(';').map(|part| match part.split_once('=') {
        Some((key, values)) if key.trim() == KEY && values.contains(['*', '?', '@']) => {
            let values = values.split(',').map(|value| files(value.trim().trim_matches('"'), folder));
            let files: Vec<String> = values.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect();
            Ok(format!("{KEY} = {}", files.join(", ")))
        }
        _ => Ok(part.to_owned()),
    });
    Ok(parts.collect::<Result<Vec<_>, Failure>>()?.join(";"))
}

/// The files that one value stands for.
fn files(value: &str, folder: &Path) -> Result<Vec<String>, Failure> {
    let refused = |found: String, way_out: &str| {
        Failure(vec![format!(
            "--vary {KEY} = {value}: {found}; weather files, a pattern such as sites/*.epw, or @FILE with a file on each line; {way_out}"
        )])
    };
    let found = if let Some(list) = value.strip_prefix('@') {
        let text = std::fs::read_to_string(folder.join(list))
            .map_err(|e| refused(e.to_string(), "check the path, which begins in the scheme's folder"))?;
        let lines = text.lines().map(|line| line.trim_start_matches('\u{feff}').trim());
        lines.filter(|line| !line.is_empty() && !line.starts_with('#')).map(str::to_owned).collect()
    } else if value.contains(['*', '?']) {
        let pattern = glob::Pattern::escape(&folder.to_string_lossy());
        let pattern = Path::new(&pattern).join(value);
        let paths = glob::glob(&pattern.to_string_lossy())
            .map_err(|e| refused(e.to_string(), "write * for any letters and ? for one"))?;
        let named = paths.filter_map(Result::ok).filter(|path| path.is_file());
        let own =
            |path: &Path| path.strip_prefix(folder).unwrap_or(path).to_string_lossy().replace('\\', "/");
        named.map(|path| own(&path)).collect()
    } else {
        vec![value.to_owned()]
    };
    if found.is_empty() {
        return Err(refused("no file".to_owned(), "check the path, which begins in the scheme's folder"));
    }
    match found.iter().find(|name| name.contains([',', ';', '"'])) {
        Some(name) => Err(refused(
            format!("{name} has a comma, a semicolon or a quote in its name"),
            "name it in a table of cases (--cases), or rename it",
        )),
        None => Ok(found),
    }
}
