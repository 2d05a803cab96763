//! Pages and their fenced blocks.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::program::Desk;

/// A page of Markdown.
pub struct Page {
    file: PathBuf,
    /// The lines as they are on disk.
    read: Vec<String>,
    lines: Vec<String>,
    /// New lines for blocks, by the number of the fence above them.
    changed: Vec<(usize, usize, Vec<String>)>,
}

/// A fenced block.
pub struct Block {
    /// What stands behind the fence.
    info: String,
    /// Number of the line of the fence, from 1.
    pub line: usize,
    lines: Vec<String>,
}

impl Page {
    pub fn read(file: PathBuf) -> Self {
        let text = std::fs::read_to_string(&file).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        let lines: Vec<String> = text.lines().map(str::to_owned).collect();
        Self { file, read: lines.clone(), lines, changed: Vec::new() }
    }

    pub fn name(&self) -> String {
        self.file.file_name().unwrap().to_string_lossy().into_owned()
    }

    pub fn blocks(&self) -> Vec<Block> {
        let mut blocks = Vec::new();
        let mut open: Option<Block> = None;
        for (index, line) in self.lines.iter().enumerate() {
            match (&mut open, line.strip_prefix("```")) {
                (Some(_), Some(_)) => blocks.extend(open.take()),
                (Some(block), None) => block.lines.push(line.clone()),
                (None, Some(info)) => {
                    open = Some(Block { info: info.to_owned(), line: index + 1, lines: Vec::new() });
                }
                (None, None) => {}
            }
        }
        assert!(open.is_none(), "{}: a block does not end", self.name());
        blocks
    }

    /// What stands between backquotes in running text and begins with the program's name.
    pub fn commands_in_sentences(&self) -> Vec<String> {
        let mut within = false;
        let mut text = String::new();
        for line in &self.lines {
            if line.starts_with("```") {
                within = !within;
            } else if !within {
                text.push_str(line);
                text.push('\n');
            }
        }
        let codes = text.split('`').skip(1).step_by(2).map(|code| code.replace('\n', " "));
        codes.filter(|code| code.starts_with("dryspell ")).collect()
    }

    /// The rows of the table that begins so.
    pub fn table(&mut self, head: &str) -> impl Iterator<Item = &mut String> {
        self.lines.iter_mut().skip_while(move |l| !l.starts_with(head)).take_while(|l| l.starts_with('|'))
    }

    /// Puts lines in place of a block's.
    pub fn replace(&mut self, block: &Block, lines: Vec<String>) {
        self.changed.push((block.line, block.lines.len(), lines));
    }

    /// Writes the page with its new lines, where anything is new.
    pub fn write(mut self) {
        self.changed.sort_by_key(|change| std::cmp::Reverse(change.0));
        for (at, count, lines) in std::mem::take(&mut self.changed) {
            self.lines.splice(at..at + count, lines);
        }
        if self.lines != self.read {
            std::fs::write(&self.file, self.lines.join("\n") + "\n").unwrap();
        }
    }
}

impl Block {
    /// Language, and what stands behind it.
    pub fn kind(&self) -> (&str, Option<&str>) {
        match self.info.split_once(' ') {
            Some((language, rest)) => (language, Some(rest)),
            None => (&self.info, None),
        }
    }

    pub fn text(&self) -> String {
        self.lines.iter().map(|l| format!("{l}\n")).collect()
    }

    /// Each command with the lines shown below it.
    pub fn commands(&self) -> Result<Vec<(String, Vec<String>)>, String> {
        let mut commands: Vec<(String, Vec<String>)> = Vec::new();
        for line in &self.lines {
            if let Some(command) = line.strip_prefix("$ ") {
                commands.push((command.to_owned(), Vec::new()));
                continue;
            }
            let (command, shown) =
                commands.last_mut().ok_or("a console begins with a command behind `$ `")?;
            if shown.is_empty() && command.ends_with('\\') {
                command.push('\n');
                command.push_str(line);
            } else {
                shown.push(line.clone());
            }
        }
        Ok(commands)
    }
}

/// What a command prints, typed in the desk's folder. A code other than 0 is a fault unless the command shows it.
pub fn typed_into_a_shell(command: &str, desk: &Desk) -> Result<String, String> {
    let program = Path::new(env!("CARGO_BIN_EXE_dryspell")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap_or_default());
    let output = Command::new("sh")
        .args(["-c", &format!("{{ {command}\n}} 2>&1")])
        .current_dir(desk.path(""))
        .env("PATH", path)
        .output()
        .unwrap();
    let printed = String::from_utf8(output.stdout).unwrap();
    match output.status.code() {
        Some(0) => Ok(printed),
        code => Err(format!("{command}: ended with {code:?} and printed\n{printed}")),
    }
}

/// The name by which a heading is linked.
pub fn anchor(heading: &str) -> String {
    heading
        .trim_start_matches('#')
        .trim()
        .to_lowercase()
        .chars()
        .filter_map(|c| match c {
            ' ' => Some('-'),
            c if c.is_alphanumeric() || c == '-' || c == '_' => Some(c),
            _ => None,
        })
        .collect()
}
