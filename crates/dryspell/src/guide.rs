//! A guide to the library, page by page. Each example runs as it stands.
//!
//! - [`year`]: how a year is simulated, from a scheme and a record of weather to days of shortfall;
//! - [`columns`]: columns of your own into the tank, and what its reliability comes to;
//! - [`tanks`]: many tanks, many cases, one after the other or side by side;
//! - [`odds`]: the size that is enough, how often it is not, and how sure that is.
//!
//! The library reads no files: `dryspell_weather::open` goes from a scheme's `[weather]` table to a record. The program's own
//! guide, with a glossary of all terms, lies beside its source in `docs`.

#[doc = include_str!("../docs/year.md")]
pub mod year {}

#[doc = include_str!("../docs/columns.md")]
pub mod columns {}

#[doc = include_str!("../docs/tanks.md")]
pub mod tanks {}

#[doc = include_str!("../docs/odds.md")]
pub mod odds {}
