//! The rows of a sweep as Parquet.

use std::fmt;
use std::io::Write;
use std::sync::Arc;

use chrono::NaiveDate;
use dryspell::results::{Content, HEADLINES};
use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DoubleType, Int32Type, Int64Type};
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::record::Field as ParquetField;
use parquet::record::reader::RowIter;
use parquet::schema::types::Type;

/// Rows of one row group: memory stays flat however long the table is.
const GROUP: usize = 10_000;

/// Writes rows of text as typed columns.
pub struct Table<W: Write + Send> {
    writer: SerializedFileWriter<W>,
    contents: Vec<Content>,
    rows: Vec<csv::StringRecord>,
}

fn broken(e: impl fmt::Display) -> std::io::Error {
    std::io::Error::other(e.to_string())
}

impl<W: Write + Send> fmt::Debug for Table<W> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Table of {} columns", self.contents.len())
    }
}

impl<W: Write + Send> Table<W> {
    /// Begins a table: name and content of each column, and what some of them mean.
    ///
    /// # Errors
    /// A place that takes no more.
    pub fn new(
        out: W,
        columns: &[(String, Content)],
        meanings: impl IntoIterator<Item = (String, String)>,
    ) -> std::io::Result<Self> {
        let fields = columns
            .iter()
            .map(|(name, content)| {
                let (physical, logical) = match content {
                    Content::Count => (Physical::INT64, None),
                    Content::Number => (Physical::DOUBLE, None),
                    Content::Flag => (Physical::BOOLEAN, None),
                    Content::Date => (Physical::INT32, Some(LogicalType::Date)),
                    Content::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
                };
                Type::primitive_type_builder(name, physical)
                    .with_repetition(Repetition::OPTIONAL)
                    .with_logical_type(logical)
                    .build()
                    .map(Arc::new)
            })
            .collect::<Result<_, _>>()
            .map_err(broken)?;
        let schema = Type::group_type_builder("sweep").with_fields(fields).build().map_err(broken)?;
        // What each column means travels with the table.
        let headlines = HEADLINES.iter().map(|f| (f.name.to_owned(), told(f.meaning, f.unit)));
        let meanings = headlines
            .chain(meanings)
            .map(|(name, meaning)| KeyValue::new(name, meaning))
            .chain([KeyValue::new(
                "created_by".to_owned(),
                format!("dryspell {}", env!("CARGO_PKG_VERSION")),
            )])
            .collect();
        let properties = WriterProperties::builder()
            .set_compression(Compression::SNAPPY)
            .set_key_value_metadata(Some(meanings))
            .build();
        let writer =
            SerializedFileWriter::new(out, Arc::new(schema), Arc::new(properties)).map_err(broken)?;
        Ok(Self { writer, contents: columns.iter().map(|(_, content)| *content).collect(), rows: Vec::new() })
    }

    /// Adds rows of CSV without a header.
    ///
    /// # Errors
    /// A row that is no CSV, a cell of another kind than its column, a place that takes no more.
    pub fn add(&mut self, rows: &[u8]) -> std::io::Result<()> {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(rows);
        for row in reader.records() {
            self.rows.push(row.map_err(broken)?);
            if self.rows.len() == GROUP {
                self.flush()?;
            }
        }
        Ok(())
    }

    /// Ends the table.
    ///
    /// # Errors
    /// A cell of another kind than its column, a place that takes no more.
    pub fn finish(mut self) -> std::io::Result<()> {
        self.flush()?;
        self.writer.close().map_err(broken)?;
        Ok(())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        if self.rows.is_empty() {
            return Ok(());
        }
        let mut group = self.writer.next_row_group().map_err(broken)?;
        for (i, content) in self.contents.iter().enumerate() {
            let Some(mut column) = group.next_column().map_err(broken)? else { break };
            let cells = self.rows.iter().map(|r| r.get(i).unwrap_or("")).collect::<Vec<_>>();
            write(&mut column, *content, &cells)?;
            column.close().map_err(broken)?;
        }
        group.close().map_err(broken)?;
        self.rows.clear();
        Ok(())
    }
}

/// A meaning with its unit.
#[must_use]
pub fn told(meaning: &str, unit: &str) -> String {
    if unit.is_empty() { meaning.to_owned() } else { format!("{meaning} [{unit}]") }
}

/// Days from 1970-01-01 to a day written `2000-01-31`.
fn days(cell: &str) -> std::io::Result<i32> {
    let day = NaiveDate::parse_from_str(cell, "%Y-%m-%d").map_err(broken)?;
    i32::try_from(day.signed_duration_since(NaiveDate::default()).num_days()).map_err(broken)
}

/// One column: cells that are empty are null.
fn write(column: &mut SerializedColumnWriter<'_>, content: Content, cells: &[&str]) -> std::io::Result<()> {
    let levels: Vec<i16> = cells.iter().map(|c| i16::from(!c.is_empty())).collect();
    let there = || cells.iter().copied().filter(|c| !c.is_empty());
    match content {
        Content::Count => {
            let values = there().map(|c| c.parse().map_err(broken)).collect::<Result<Vec<i64>, _>>()?;
            column.typed::<Int64Type>().write_batch(&values, Some(&levels), None)
        }
        Content::Number => {
            let values = there().map(|c| c.parse().map_err(broken)).collect::<Result<Vec<f64>, _>>()?;
            column.typed::<DoubleType>().write_batch(&values, Some(&levels), None)
        }
        Content::Flag => {
            let values = there().map(|c| c.parse().map_err(broken)).collect::<Result<Vec<bool>, _>>()?;
            column.typed::<BoolType>().write_batch(&values, Some(&levels), None)
        }
        Content::Date => {
            let values = there().map(days).collect::<Result<Vec<i32>, _>>()?;
            column.typed::<Int32Type>().write_batch(&values, Some(&levels), None)
        }
        Content::Text => {
            let values: Vec<ByteArray> = there().map(ByteArray::from).collect();
            column.typed::<ByteArrayType>().write_batch(&values, Some(&levels), None)
        }
    }
    .map_err(broken)?;
    Ok(())
}

/// The rows of a Parquet file as text, one after another: numbers with the digits that read back equal, lists as they would stand in
/// a scheme, nothing for what is null.
pub struct Cells {
    names: Vec<String>,
    rows: RowIter<'static>,
}

impl fmt::Debug for Cells {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Cells of {} columns", self.names.len())
    }
}

impl Cells {
    /// Opens a file.
    ///
    /// # Errors
    /// A file that is no Parquet.
    pub fn new(file: std::fs::File) -> std::io::Result<Self> {
        let reader = SerializedFileReader::new(file).map_err(broken)?;
        let fields = reader.metadata().file_metadata().schema().get_fields();
        let names = fields.iter().map(|field| field.name().to_owned()).collect();
        Ok(Self { names, rows: RowIter::from_file_into(Box::new(reader)) })
    }

    /// The names of its columns.
    #[must_use]
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// The next row; `None` behind the last.
    ///
    /// # Errors
    /// What cannot be read.
    pub fn next_row(&mut self) -> std::io::Result<Option<Vec<String>>> {
        let Some(row) = self.rows.next().transpose().map_err(broken)? else { return Ok(None) };
        Ok(Some(row.get_column_iter().map(|(_, field)| cell(field)).collect()))
    }
}

fn cell(field: &ParquetField) -> String {
    match field {
        ParquetField::Null => String::new(),
        ParquetField::Str(text) => text.clone(),
        ParquetField::Double(x) => format!("{x}"),
        ParquetField::Float(x) => format!("{x}"),
        ParquetField::ListInternal(list) => {
            let each = list.elements().iter().map(|part| match part {
                ParquetField::Str(text) => format!("\"{text}\""),
                other => cell(other),
            });
            format!("[{}]", each.collect::<Vec<_>>().join(", "))
        }
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use parquet::record::RowAccessor;

    #[test]
    fn empty_cells_are_null_and_numbers_stay_exact() {
        let mut bytes = Vec::new();
        let fields: Vec<Arc<Type>> = [("n", Physical::INT64), ("x", Physical::DOUBLE)]
            .into_iter()
            .map(|(name, p)| {
                Arc::new(
                    Type::primitive_type_builder(name, p)
                        .with_repetition(Repetition::OPTIONAL)
                        .build()
                        .unwrap(),
                )
            })
            .collect();
        let schema = Type::group_type_builder("t").with_fields(fields).build().unwrap();
        let writer =
            SerializedFileWriter::new(&mut bytes, Arc::new(schema), Arc::new(WriterProperties::default()))
                .unwrap();
        let mut table = Table { writer, contents: vec![Content::Count, Content::Number], rows: Vec::new() };
        table.add(b"1,0.1\n2,\n,3e-300\n").unwrap();
        table.finish().unwrap();
        let reader = SerializedFileReader::new(bytes::Bytes::from(bytes)).unwrap();
        let rows: Vec<_> = reader.get_row_iter(None).unwrap().map(Result::unwrap).collect();
        assert_eq!(rows.len(), 3);
        assert_eq!(
            (rows[0].get_long(0).unwrap(), rows[0].get_double(1).unwrap().to_bits()),
            (1, 0.1_f64.to_bits())
        );
        assert!(rows[1].get_double(1).is_err() && rows[2].get_long(0).is_err());
        assert_eq!(rows[2].get_double(1).unwrap().to_bits(), 3e-300_f64.to_bits());
    }
}
