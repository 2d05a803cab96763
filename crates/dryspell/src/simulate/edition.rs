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
/// value that was changed is a new one, with a new version. A memory ([`super::Memo`]) tells values apart by it.
///
/// Two are equal when their versions are; settings that hold one compare at once, however long the column in it.
///
/// ```
/// use dryspell::simulate::Edition;
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
/// use dryspell::simulate::Edition;
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
/// use dryspell::simulate::{EditionRef, Memo};
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

/// Values that carry versions, one or several together: all that a stage may be made from besides its settings.
pub(super) trait HasVersion: Copy {
    /// The versions, in order.
    fn versions(self) -> Vec<u64>;
}

impl<T> HasVersion for EditionRef<'_, T> {
    fn versions(self) -> Vec<u64> {
        vec![self.version]
    }
}

impl<T> HasVersion for &Edition<T> {
    fn versions(self) -> Vec<u64> {
        vec![self.version]
    }
}

/// Several together.
macro_rules! versioned_together {
    ($($name:ident)+) => {
        impl<$($name: HasVersion),+> HasVersion for ($($name,)+) {
            fn versions(self) -> Vec<u64> {
                #[allow(non_snake_case, reason = "one name for a type and its value")]
                let ($($name,)+) = self;
                [$($name.versions()),+].concat()
            }
        }
    };
}
versioned_together!(A B);
versioned_together!(A B C);
versioned_together!(A B C D);
versioned_together!(A B C D E);
versioned_together!(A B C D E F);

/// One stage's settings, the versions of what lies upstream, and what came of them.
#[derive(Debug)]
pub(super) struct Slot<K, V> {
    held: Option<(K, Vec<u64>, Edition<V>)>,
}

impl<K, V> Default for Slot<K, V> {
    fn default() -> Self {
        Self { held: None }
    }
}

impl<K: PartialEq + Clone, V> Slot<K, V> {
    /// The value for these settings and what lies upstream: the one held, or a new one. The maker is a plain function of
    /// the two that the slot is keyed by: it can capture nothing that the slot would not notice.
    pub(super) fn get<U: HasVersion, E>(
        &mut self,
        settings: &K,
        upstream: U,
        make: fn(&K, U) -> Result<V, E>,
    ) -> Result<Edition<V>, E> {
        let versions = upstream.versions();
        if let Some((k, v, value)) = &self.held
            && k == settings
            && *v == versions
        {
            return Ok(value.clone());
        }
        let value = Edition::new(make(settings, upstream)?);
        self.held = Some((settings.clone(), versions, value.clone()));
        Ok(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[expect(clippy::unnecessary_wraps, reason = "the shape of every maker")]
    fn sum(scale: &u32, column: EditionRef<'_, Vec<u32>>) -> Result<u32, ()> {
        Ok(scale * column.value().iter().sum::<u32>())
    }

    #[test]
    fn a_slot_keeps_its_value_while_settings_and_versions_stay() {
        let mut slot = Slot::default();
        let column = Edition::new(vec![1, 2]);
        let first = slot.get(&2, (&column).into(), sum).unwrap();
        let again = slot.get(&2, (&column.clone()).into(), sum).unwrap();
        assert_eq!(first, again);
        assert_eq!(*first, 6);
        let other_settings = slot.get(&3, (&column).into(), sum).unwrap();
        assert_eq!(*other_settings, 9);
        let other_column = slot.get(&3, (&Edition::new(vec![5])).into(), sum).unwrap();
        assert_eq!(*other_column, 15);
    }

    #[test]
    fn a_value_that_is_lent_again_is_a_new_one() {
        let mut slot = Slot::default();
        let mut column = vec![1];
        assert_eq!(*slot.get(&1, EditionRef::new(&column), sum).unwrap(), 1);
        column[0] = 4;
        assert_eq!(*slot.get(&1, EditionRef::new(&column), sum).unwrap(), 4);
    }
}
