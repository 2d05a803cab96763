//! What sizes meet the targets.

mod answer;
mod matter;
mod page;
mod result;
mod tables;
mod words;

pub use crate::figures::round_unit_m3;
pub use matter::{ChanceBasis, Page};
pub(crate) use page::answer_of;
pub use page::{SizePage, page};
pub use result::{SizeResult, smallest_of};
pub(crate) use words::words;
