//! Questions and answers, line by line.

use std::io::{self, BufRead, Write};

/// Why no scheme came of the questions.
#[derive(Debug)]
pub(super) enum Stop {
    /// There was no more to read.
    EndOfInput,
    /// Reading or writing failed.
    Io(io::Error),
}

impl From<io::Error> for Stop {
    fn from(error: io::Error) -> Self {
        Self::Io(error)
    }
}

/// What is asked.
#[derive(Debug)]
pub(super) struct Question<'q> {
    /// The question, with its unit.
    pub(super) words: &'q str,
    /// What Enter stands for, as it is shown.
    pub(super) default: &'q str,
    /// What `?` tells.
    pub(super) more: &'q str,
}

/// Who is asked: lines in, lines out.
pub(super) struct Dialogue<'d> {
    input: &'d mut dyn BufRead,
    out: &'d mut dyn Write,
}

impl<'d> Dialogue<'d> {
    pub(super) fn new(input: &'d mut dyn BufRead, out: &'d mut dyn Write) -> Self {
        Self { input, out }
    }

    /// Says a line.
    pub(super) fn say(&mut self, line: &str) -> Result<(), Stop> {
        Ok(writeln!(self.out, "{line}")?)
    }

    /// Asks until an answer is taken. An empty one is the default: `take` gets `None`. A refusal is told, and the question
    /// comes again.
    pub(super) fn ask<T>(
        &mut self,
        question: &Question<'_>,
        mut take: impl FnMut(Option<&str>) -> Result<T, String>,
    ) -> Result<T, Stop> {
        loop {
            write!(self.out, "{} [{}]: ", question.words, question.default)?;
            self.out.flush()?;
            let mut line = String::new();
            if self.input.read_line(&mut line)? == 0 {
                writeln!(self.out)?;
                return Err(Stop::EndOfInput);
            }
            let answer = line.trim();
            if answer == "?" {
                self.say(&format!("  {}", question.more))?;
                continue;
            }
            match take(Some(answer).filter(|answer| !answer.is_empty())) {
                Ok(taken) => return Ok(taken),
                Err(refusal) => self.say(&format!("  {refusal}"))?,
            }
        }
    }
}
