//! Values that carry their own version, so that no caller has to number them.

use std::ops::Deref;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// The last version drawn in this process.
static LAST: AtomicU64 = AtomicU64::new(0);

/// A version that nothing else has or had.
fn fresh() -> u64 {
    LAST.fetch_add(1, Ordering::Relaxed) + 1
}

/// A value that does not change any more, with a version drawn from one counter of the process.
///
/// Two with the same version hold the same value: a clone keeps the version, and nothing lets the value be altered. A
/// value that was changed is a new one, with a new version. A memory ([`crate::simulate::Memo`]) tells values apart by it.
///
/// Two are equal when their versions are; settings that hold one compare at once, however long the column in it.
///
/// ```
/// use dryspell::edition::Edition;
/// let column = Edition::new(vec![1.0, 2.0]);
/// assert_eq!(column, column.clone());
/// assert_ne!(column, Edition::new(vec![1.0, 2.0]));
/// assert_eq!(column.len(), 2);
/// ```
///
/// A kept value cannot be altered behind the back of a memory that knows its version:
///
/// ```compile_fail,E0594
/// # fn example(record: dryspell::record::Record) {
/// use dryspell::edition::Edition;
/// let mut record = Edition::new(record);
/// record.place.elevation_m = 0.0;
/// # }
/// ```
#[derive(Debug)]
pub struct Edition<T> {
    value: Arc<T>,
    version: u64,
}

impl<T> Edition<T> {
    /// Keeps a value under a new version.
    #[must_use]
    pub fn new(value: T) -> Self {
        Self::from(Arc::new(value))
    }

    /// The value, shared.
    #[must_use]
    pub const fn shared(&self) -> &Arc<T> {
        &self.value
    }

    /// The version.
    pub(crate) const fn version(&self) -> u64 {
        self.version
    }
}

impl<T> From<Arc<T>> for Edition<T> {
    fn from(value: Arc<T>) -> Self {
        Self { value, version: fresh() }
    }
}

impl<T> Clone for Edition<T> {
    fn clone(&self) -> Self {
        Self { value: self.value.clone(), version: self.version }
    }
}

impl<T> PartialEq for Edition<T> {
    fn eq(&self, other: &Self) -> bool {
        self.version == other.version
    }
}

impl<T> Eq for Edition<T> {}

impl<T> Deref for Edition<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

/// A value lent with a version: that of an [`Edition`], or a new one for as long as the loan lasts.
///
/// While it is lent nobody can alter it, so the version stands for the value. To look at a record, change it and look
/// again takes a second loan, which has a second version; the first cannot be used any more:
///
/// ```compile_fail,E0506
/// # fn example(plan: &dryspell::plan::Plan, mut record: dryspell::record::Record) {
/// use dryspell::edition::EditionRef;
/// use dryspell::simulate::Memo;
/// let mut memo = Memo::default();
/// let lent = EditionRef::new(&record);
/// let before = memo.upstream(plan, lent);
/// record.ghi_w_per_m2[12] = 0.0;
/// let after = memo.upstream(plan, lent);
/// # }
/// ```
#[derive(Debug)]
pub struct EditionRef<'a, T> {
    value: &'a T,
    version: u64,
}

impl<'a, T> EditionRef<'a, T> {
    /// Lends a value under a new version.
    #[must_use]
    pub fn new(value: &'a T) -> Self {
        Self { value, version: fresh() }
    }

    /// The value.
    #[must_use]
    pub const fn value(self) -> &'a T {
        self.value
    }

    /// The version.
    pub(crate) const fn version(&self) -> u64 {
        self.version
    }
}

impl<T> Clone for EditionRef<'_, T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for EditionRef<'_, T> {}

impl<'a, T> From<&'a Edition<T>> for EditionRef<'a, T> {
    fn from(kept: &'a Edition<T>) -> Self {
        Self { value: &kept.value, version: kept.version }
    }
}

/// The value itself: a text made from it tells values apart, not versions.
impl<T: serde::Serialize> serde::Serialize for Edition<T> {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        (**self).serialize(to)
    }
}
