//! The JSON Schema of a scheme, and what it says of one.

use boon::{Compiler, SchemaIndex, Schemas};
use serde_json::Value;

pub struct Schema {
    schemas: Schemas,
    whole: SchemaIndex,
}

impl Schema {
    /// One made of the list of keys; it is itself held against the draft that it names.
    pub fn of(schema: Value) -> Self {
        let mut compiler = Compiler::new();
        compiler.add_resource("scheme.json", schema).unwrap();
        let mut schemas = Schemas::new();
        let whole = compiler.compile("scheme.json", &mut schemas).unwrap_or_else(|e| panic!("{e:#}"));
        Self { schemas, whole }
    }

    /// What is wrong with a scheme's text by the schema; nothing if it is valid.
    pub fn faults(&self, text: &str) -> Option<String> {
        let table: toml::Table = toml::from_str(text).unwrap_or_else(|e| panic!("{e}"));
        self.faults_of(&serde_json::to_value(table).unwrap())
    }

    pub fn faults_of(&self, value: &Value) -> Option<String> {
        self.schemas.validate(value, self.whole).err().map(|error| format!("{error:#}"))
    }
}
