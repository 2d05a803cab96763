//! The answer to the question of the weather.

use super::draft::Draft;
use crate::files;
use crate::kinds::{FileNeed, Kind};
use crate::source;

/// Takes a file of weather: what it is shows by its content, and it is read as the run will read it. A file that is not there
/// yet is noted; one that is refused is taken if it is named again.
pub(super) fn take_weather(draft: &mut Draft, name: &str, again: bool) -> Result<Option<String>, String> {
    let path = draft.folder.join(name);
    let mut then = draft.clone();
    let kind = files::beginning(&path).and_then(|bytes| Kind::of(&bytes));
    match kind {
        Some(Kind::Climate) => {
            then.leave_out("weather.file");
            then.set("weather.climate", name)?;
        }
        Some(Kind::Scheme) => {
            return Err(files::beginning(&path)
                .and_then(|bytes| FileNeed::Weather.refusal(name, &bytes))
                .unwrap_or_default());
        }
        Some(Kind::Weather(_)) | None => then.set("weather.file", name)?,
    }
    let mut note = None;
    if !path.exists() {
        note = Some(format!("{} is not there yet: put it there before you run the scheme", path.display()));
    } else if !again && let Ok(scheme) = then.read() {
        source::of_scheme(&scheme, "the scheme", &then.folder)
            .map_err(|failure| format!("{}; or give the same name again to keep it", failure.0.join("; ")))?;
    }
    *draft = then;
    Ok(note)
}
