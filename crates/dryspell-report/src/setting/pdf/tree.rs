//! What the document consists of, for those who listen to it.

/// A part of the document.
#[derive(Debug, Clone)]
pub(super) struct Node {
    /// What it is.
    pub(super) role: Role,
    /// Its parts, in order.
    pub(super) parts: Vec<usize>,
}

/// What a part is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Role {
    /// The document.
    Document,
    /// Its title.
    Title(String),
    /// A heading, and whether it stands in a column.
    Heading(String, bool),
    /// Running text.
    Paragraph,
    /// A list.
    List,
    /// A list of names and values.
    Names,
    /// An entry of a list.
    Entry,
    /// Its bullet or name.
    Label,
    /// Its text.
    Body,
    /// A table.
    Table,
    /// Title of a table or picture.
    Caption,
    /// Head of a table.
    Head,
    /// The rest of a table.
    Rows,
    /// A row.
    Row,
    /// A cell of the head.
    HeadCell,
    /// A cell that names its row.
    RowName,
    /// A cell.
    Cell,
    /// A picture and what it shows.
    Figure(String),
}

/// All parts; the first is the whole.
#[derive(Debug, Clone)]
pub(super) struct Tree(pub(super) Vec<Node>);

impl Tree {
    /// The document alone.
    pub(super) fn new() -> Self {
        Self(vec![Node { role: Role::Document, parts: Vec::new() }])
    }

    /// Adds a part to a part.
    pub(super) fn add(&mut self, to: usize, role: Role) -> usize {
        let at = self.0.len();
        self.0.push(Node { role, parts: Vec::new() });
        if let Some(node) = self.0.get_mut(to) {
            node.parts.push(at);
        }
        at
    }
}
