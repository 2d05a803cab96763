//! Runs the program in a folder of its own.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A throw-away folder with a scheme and its weather.
pub struct Desk {
    folder: tempfile::TempDir,
}

/// What came out.
pub struct Answer {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Desk {
    /// An empty folder.
    pub fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// A folder with a scheme and with a real weather file named `weather.csv`.
    pub fn with(scheme: &str, weather: &str) -> Self {
        let desk = Self::new();
        desk.write("scheme.toml", scheme);
        std::fs::copy(crate::support::data("weather").join(weather), desk.path("weather.csv")).unwrap();
        desk
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// Names of the files in the folder, hidden ones too.
    pub fn files(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.folder.path())
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    /// Runs the program here.
    pub fn run(&self, args: &[&str]) -> Answer {
        run_in(self.folder.path(), args)
    }
}

/// Runs the program in a folder.
pub fn run_in(folder: &Path, args: &[&str]) -> Answer {
    let Output { status, stdout, stderr } =
        Command::new(env!("CARGO_BIN_EXE_dryspell")).args(args).current_dir(folder).output().unwrap();
    Answer {
        code: status.code().unwrap(),
        out: String::from_utf8(stdout).unwrap(),
        err: String::from_utf8(stderr).unwrap(),
    }
}

/// The starter scheme, with lines replaced: each pair is the beginning of a line and what stands there instead.
pub fn starter(changes: &[(&str, &str)]) -> String {
    let mut text = dryspell::scheme::STARTER.to_owned();
    for (from, to) in changes {
        let line = text
            .lines()
            .find(|l| l.starts_with(from))
            .unwrap_or_else(|| panic!("no line {from:?}"))
            .to_owned();
        text = text.replacen(&line, to, 1);
    }
    text
}
