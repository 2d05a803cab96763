//! What becomes of thirst that is not met in its hour.

/// What becomes of thirst that was not met in its hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub enum Carry {
    /// It stays owed until midnight, then it is booked as short.
    #[default]
    WithinDay,
    /// It is booked as short in its hour.
    None,
}
