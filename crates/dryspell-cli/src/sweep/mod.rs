//! A sweep worked off piece by piece: nothing that is finished is lost.

#[cfg(feature = "parquet")]
pub(crate) mod case_tables;
pub(crate) mod cases;
pub(crate) mod header;
pub(crate) mod kept;
pub(crate) mod records;
pub(crate) mod rows;
mod sites;
pub(crate) mod work;
