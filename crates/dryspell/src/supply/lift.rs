//! A further well with its own panels.

use super::Settings;
use crate::array;

/// A further pump with its own panels, well and pipe. Its water runs into one of the tanks beside that of the scheme's first
/// pump; the float of that tank stops it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Lift {
    /// Name in the scheme, such as `east`.
    pub name: String,
    /// Name of the tank that it fills.
    pub into: String,
    /// Its panels.
    pub array: array::Settings,
    /// Its pump, well and pipe.
    pub supply: Settings,
}
