//! What the ledger's hours say about reliability: shortfall, spells, autonomy, storage needed, the tank year.

pub mod autonomy;
pub mod books;
pub mod counters;
pub mod demand;
pub mod dullest;
pub mod goal;
pub mod groups;
pub mod haul;
pub mod interval;
pub mod outcome;
pub mod periods;
pub mod refill;
pub mod returns;
pub mod storage;
pub mod year;
