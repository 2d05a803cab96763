//! Tables as Parquet: the rows of a sweep, hours and days.

use std::fmt;
use std::io::Write;
use std::sync::Arc;

use arrow_ipc::writer::{DictionaryTracker, IpcDataGenerator, IpcWriteOptions};
use arrow_schema::{DataType, Field as ArrowField, Schema};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use chrono::NaiveDate;
use dryspell::results::{Content, Field, Figure};
use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DoubleType, Int32Type, Int64Type};
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::record::Field as ParquetField;
use parquet::record::reader::RowIter;
use parquet::schema::types::Type;

use crate::columns::told;

/// Rows of one row group: memory stays flat however long the table is.
const GROUP: usize = 10_000;

/// A column of a table.
#[derive(Debug, Clone)]
pub struct Column {
    /// Its name.
    pub name: String,
    /// What its cells are.
    pub content: Content,
    /// Its unit; empty where it has none.
    pub unit: String,
    /// What it means; empty where that is not known.
    pub meaning: String,
}

impl Column {
    /// That of a field.
    #[must_use]
    pub fn of<R: ?Sized>(field: &Field<R>, content: Content) -> Self {
        Self {
            name: field.name.to_owned(),
            content,
            unit: field.unit.to_owned(),
            meaning: field.meaning.to_owned(),
        }
    }
}

/// What made a table.
fn created_by() -> (String, String) {
    ("created_by".to_owned(), format!("dryspell {}", env!("CARGO_PKG_VERSION")))
}

/// The columns as Arrow has them, each with its meaning and its unit.
fn fields_of(columns: &[Column]) -> Schema {
    let field = |column: &Column| {
        let kind = match column.content {
            Content::Count => DataType::Int64,
            Content::Number => DataType::Float64,
            Content::Flag => DataType::Boolean,
            Content::Date => DataType::Date32,
            Content::Text => DataType::Utf8,
        };
        let words = [("meaning", &column.meaning), ("unit", &column.unit)];
        let told = words.into_iter().filter(|(_, word)| !word.is_empty());
        ArrowField::new(&column.name, kind, true)
            .with_metadata(told.map(|(name, word)| (name.to_owned(), word.clone())).collect())
    };
    let fields: Vec<ArrowField> = columns.iter().map(field).collect();
    Schema::new_with_metadata(fields, [created_by()].into())
}

/// A schema as a Parquet file carries it for readers of Arrow: the message of the Arrow IPC format in base64.
fn encoded(schema: &Schema) -> String {
    let mut dictionaries = DictionaryTracker::new(true);
    let options = IpcWriteOptions::default();
    let message = IpcDataGenerator::default()
        .schema_to_bytes_with_dictionary_tracker(schema, &mut dictionaries, &options)
        .ipc_message;
    let length = u32::try_from(message.len()).unwrap_or(u32::MAX);
    let begins = [[0xff; 4], length.to_le_bytes()].concat();
    BASE64_STANDARD.encode([begins, message].concat())
}

/// Writes rows, of text or of figures, as typed columns.
pub struct Table<W: Write + Send> {
    writer: SerializedFileWriter<W>,
    columns: Vec<Filled>,
    /// Rows since the last group.
    rows: usize,
}

fn broken(e: impl fmt::Display) -> std::io::Error {
    std::io::Error::other(e.to_string())
}

impl<W: Write + Send> fmt::Debug for Table<W> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Table of {} columns", self.columns.len())
    }
}

impl<W: Write + Send> Table<W> {
    /// Begins a table.
    ///
    /// # Errors
    /// A place that takes no more.
    pub fn new(out: W, columns: &[Column]) -> std::io::Result<Self> {
        let fields = columns
            .iter()
            .map(|column| {
                let (physical, logical) = match column.content {
                    Content::Count => (Physical::INT64, None),
                    Content::Number => (Physical::DOUBLE, None),
                    Content::Flag => (Physical::BOOLEAN, None),
                    Content::Date => (Physical::INT32, Some(LogicalType::Date)),
                    Content::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
                };
                Type::primitive_type_builder(&column.name, physical)
                    .with_repetition(Repetition::OPTIONAL)
                    .with_logical_type(logical)
                    .build()
                    .map(Arc::new)
            })
            .collect::<Result<_, _>>()
            .map_err(broken)?;
        let schema = Type::group_type_builder("sweep").with_fields(fields).build().map_err(broken)?;
        // What each column means travels with the table: by its name for any reader, and with its field for those of Arrow.
        let meanings =
            columns.iter().map(|column| (column.name.clone(), told(&column.meaning, &column.unit)));
        let meanings = meanings
            .chain([created_by(), ("ARROW:schema".to_owned(), encoded(&fields_of(columns)))])
            .map(|(name, meaning)| KeyValue::new(name, meaning))
            .collect();
        let properties = WriterProperties::builder()
            .set_compression(Compression::SNAPPY)
            .set_key_value_metadata(Some(meanings))
            .build();
        let writer =
            SerializedFileWriter::new(out, Arc::new(schema), Arc::new(properties)).map_err(broken)?;
        let columns = columns.iter().map(|column| Filled::new(column.content)).collect();
        Ok(Self { writer, columns, rows: 0 })
    }

    /// Adds rows of CSV without a header.
    ///
    /// # Errors
    /// A row that is no CSV, a cell of another kind than its column, a place that takes no more.
    pub fn add(&mut self, rows: &[u8]) -> std::io::Result<()> {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(rows);
        let mut row = csv::StringRecord::new();
        while reader.read_record(&mut row).map_err(broken)? {
            for (i, column) in self.columns.iter_mut().enumerate() {
                column.add_text(row.get(i).unwrap_or(""))?;
            }
            self.next()?;
        }
        Ok(())
    }

    /// Adds a row of figures; what is missing at its end is null.
    ///
    /// # Errors
    /// A figure of another kind than its column, a place that takes no more.
    pub fn add_figures(&mut self, row: impl IntoIterator<Item = Figure>) -> std::io::Result<()> {
        let mut row = row.into_iter();
        for column in &mut self.columns {
            column.add(&row.next().unwrap_or(Figure::Null))?;
        }
        self.next()
    }

    /// A row is whole.
    fn next(&mut self) -> std::io::Result<()> {
        self.rows += 1;
        if self.rows == GROUP { self.flush() } else { Ok(()) }
    }

    /// Ends the table.
    ///
    /// # Errors
    /// A place that takes no more.
    pub fn finish(mut self) -> std::io::Result<W> {
        self.flush()?;
        self.writer.into_inner().map_err(broken)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        if self.rows == 0 {
            return Ok(());
        }
        let mut group = self.writer.next_row_group().map_err(broken)?;
        for filled in &mut self.columns {
            let Some(mut column) = group.next_column().map_err(broken)? else { break };
            filled.write(&mut column)?;
            column.close().map_err(broken)?;
        }
        group.close().map_err(broken)?;
        self.rows = 0;
        Ok(())
    }
}

/// Days from 1970-01-01 to a day written `2000-01-31`.
fn days(cell: &str) -> std::io::Result<i32> {
    let day = NaiveDate::parse_from_str(cell, "%Y-%m-%d").map_err(broken)?;
    i32::try_from(day.signed_duration_since(NaiveDate::default()).num_days()).map_err(broken)
}

/// The cells of one column until they are written; those of which nothing is known are null.
struct Filled {
    content: Content,
    levels: Vec<i16>,
    values: Values,
}

/// Values of one kind.
enum Values {
    Count(Vec<i64>),
    Number(Vec<f64>),
    Flag(Vec<bool>),
    Date(Vec<i32>),
    Text(Vec<ByteArray>),
}

impl Filled {
    fn new(content: Content) -> Self {
        let values = match content {
            Content::Count => Values::Count(Vec::new()),
            Content::Number => Values::Number(Vec::new()),
            Content::Flag => Values::Flag(Vec::new()),
            Content::Date => Values::Date(Vec::new()),
            Content::Text => Values::Text(Vec::new()),
        };
        Self { content, levels: Vec::new(), values }
    }

    /// One more cell, from its text; an empty one is null.
    fn add_text(&mut self, cell: &str) -> std::io::Result<()> {
        if cell.is_empty() {
            self.levels.push(0);
            return Ok(());
        }
        match &mut self.values {
            Values::Count(values) => values.push(cell.parse().map_err(broken)?),
            Values::Number(values) => values.push(cell.parse().map_err(broken)?),
            Values::Flag(values) => values.push(cell.parse().map_err(broken)?),
            Values::Date(values) => values.push(days(cell)?),
            Values::Text(values) => values.push(ByteArray::from(cell)),
        }
        self.levels.push(1);
        Ok(())
    }

    /// One more cell, from a figure of its column's kind; what is of another goes by its text.
    fn add(&mut self, figure: &Figure) -> std::io::Result<()> {
        match (figure, &mut self.values) {
            (Figure::Number(x), Values::Number(values)) if x.is_finite() => values.push(*x),
            (Figure::Count(n), Values::Count(values)) => values.push(i64::try_from(*n).map_err(broken)?),
            (Figure::Flag(flag), Values::Flag(values)) => values.push(*flag),
            (Figure::Null, _) => {
                self.levels.push(0);
                return Ok(());
            }
            (other, _) => return self.add_text(&other.to_string()),
        }
        self.levels.push(1);
        Ok(())
    }

    /// Writes them, and is empty again.
    fn write(&mut self, column: &mut SerializedColumnWriter<'_>) -> std::io::Result<()> {
        let levels = Some(self.levels.as_slice());
        match &self.values {
            Values::Count(values) => column.typed::<Int64Type>().write_batch(values, levels, None),
            Values::Number(values) => column.typed::<DoubleType>().write_batch(values, levels, None),
            Values::Flag(values) => column.typed::<BoolType>().write_batch(values, levels, None),
            Values::Date(values) => column.typed::<Int32Type>().write_batch(values, levels, None),
            Values::Text(values) => column.typed::<ByteArrayType>().write_batch(values, levels, None),
        }
        .map_err(broken)?;
        *self = Self::new(self.content);
        Ok(())
    }
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
        let column = |name: &str, content| Column {
            name: name.to_owned(),
            content,
            unit: String::new(),
            meaning: String::new(),
        };
        let columns = [column("n", Content::Count), column("x", Content::Number)];
        let mut table = Table::new(Vec::new(), &columns).unwrap();
        table.add(b"1,0.1\n2,\n,3e-300\n").unwrap();
        table.add_figures([Figure::Count(4), Figure::Number(f64::NAN)]).unwrap();
        assert!(table.add_figures([Figure::Text("four".into())]).is_err());
        let bytes = table.finish().unwrap();
        let reader = SerializedFileReader::new(bytes::Bytes::from(bytes)).unwrap();
        let rows: Vec<_> = reader.get_row_iter(None).unwrap().map(Result::unwrap).collect();
        assert_eq!(rows.len(), 4);
        assert!(rows[3].get_double(1).is_err());
        assert_eq!(
            (rows[0].get_long(0).unwrap(), rows[0].get_double(1).unwrap().to_bits()),
            (1, 0.1_f64.to_bits())
        );
        assert!(rows[1].get_double(1).is_err() && rows[2].get_long(0).is_err());
        assert_eq!(rows[2].get_double(1).unwrap().to_bits(), 3e-300_f64.to_bits());
    }
}
