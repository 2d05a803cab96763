//! The rows of a sweep as Parquet.

use std::fmt;
use std::io::Write;
use std::sync::Arc;

use dryspell::results::{Figure, HEADLINES};
use dryspell::simulate::Run;
use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::types::Type;

/// Rows of one row group: memory stays flat however long the table is.
const GROUP: usize = 10_000;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Count,
    Number,
    Flag,
    Text,
}

/// Writes rows of text as typed columns.
pub struct Table<W: Write + Send> {
    writer: SerializedFileWriter<W>,
    kinds: Vec<Kind>,
    rows: Vec<csv::StringRecord>,
}

fn broken(e: impl fmt::Display) -> std::io::Error {
    std::io::Error::other(e.to_string())
}

impl<W: Write + Send> fmt::Debug for Table<W> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Table of {} columns", self.kinds.len())
    }
}

impl<W: Write + Send> Table<W> {
    /// Begins a table. `own` columns stand before the headlines; a run shows what each headline holds; without one
    /// all is text.
    ///
    /// # Errors
    /// A place that takes no more.
    pub fn new(out: W, columns: &[String], run: Option<&Run>) -> std::io::Result<Self> {
        let own = columns.len() - HEADLINES.len();
        let kinds: Vec<Kind> = (0..columns.len())
            .map(|i| match i.checked_sub(own) {
                None if i == 0 => Kind::Count,
                None => Kind::Text,
                Some(h) => run.map_or(Kind::Text, |run| kind(&(HEADLINES[h].get)(run, 0), HEADLINES[h].unit)),
            })
            .collect();
        let fields = columns
            .iter()
            .zip(&kinds)
            .map(|(name, kind)| {
                let (physical, logical) = match kind {
                    Kind::Count => (Physical::INT64, None),
                    Kind::Number => (Physical::DOUBLE, None),
                    Kind::Flag => (Physical::BOOLEAN, None),
                    Kind::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
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
        let meanings = HEADLINES
            .iter()
            .map(|f| KeyValue::new(f.name.to_owned(), format!("{} [{}]", f.meaning, f.unit)))
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
        Ok(Self { writer, kinds, rows: Vec::new() })
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
        for (i, kind) in self.kinds.iter().enumerate() {
            let Some(mut column) = group.next_column().map_err(broken)? else { break };
            let cells = self.rows.iter().map(|r| r.get(i).unwrap_or("")).collect::<Vec<_>>();
            write(&mut column, *kind, &cells)?;
            column.close().map_err(broken)?;
        }
        group.close().map_err(broken)?;
        self.rows.clear();
        Ok(())
    }
}

fn kind(figure: &Figure, unit: &str) -> Kind {
    match figure {
        Figure::Count(_) => Kind::Count,
        Figure::Number(_) => Kind::Number,
        Figure::Flag(_) => Kind::Flag,
        Figure::Text(_) | Figure::List(_) => Kind::Text,
        Figure::Null if unit.is_empty() => Kind::Text,
        Figure::Null => Kind::Number,
    }
}

/// One column: cells that are empty are null.
fn write(column: &mut SerializedColumnWriter<'_>, kind: Kind, cells: &[&str]) -> std::io::Result<()> {
    let levels: Vec<i16> = cells.iter().map(|c| i16::from(!c.is_empty())).collect();
    let there = || cells.iter().copied().filter(|c| !c.is_empty());
    match kind {
        Kind::Count => {
            let values = there().map(|c| c.parse().map_err(broken)).collect::<Result<Vec<i64>, _>>()?;
            column.typed::<Int64Type>().write_batch(&values, Some(&levels), None)
        }
        Kind::Number => {
            let values = there().map(|c| c.parse().map_err(broken)).collect::<Result<Vec<f64>, _>>()?;
            column.typed::<DoubleType>().write_batch(&values, Some(&levels), None)
        }
        Kind::Flag => {
            let values = there().map(|c| c.parse().map_err(broken)).collect::<Result<Vec<bool>, _>>()?;
            column.typed::<BoolType>().write_batch(&values, Some(&levels), None)
        }
        Kind::Text => {
            let values: Vec<ByteArray> = there().map(ByteArray::from).collect();
            column.typed::<ByteArrayType>().write_batch(&values, Some(&levels), None)
        }
    }
    .map_err(broken)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use parquet::file::reader::{FileReader, SerializedFileReader};
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
        let mut table = Table { writer, kinds: vec![Kind::Count, Kind::Number], rows: Vec::new() };
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
