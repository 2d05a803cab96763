//! One value kept for each stage, with what it was made from.

use crate::edition::{Edition, EditionRef};

/// Values that carry versions, one or several together: all that a stage may be made from besides its settings.
pub(super) trait HasVersion: Copy {
    /// The versions, in order.
    fn versions(self) -> Vec<u64>;
}

impl<T> HasVersion for EditionRef<'_, T> {
    fn versions(self) -> Vec<u64> {
        vec![self.version()]
    }
}

impl<T> HasVersion for &Edition<T> {
    fn versions(self) -> Vec<u64> {
        vec![self.version()]
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
versioned_together!(A B C D E F G);

/// One stage's settings, the versions of what lies upstream, and what came of them.
#[derive(Debug)]
pub(super) struct Slot<K, V> {
    held: Option<(K, Vec<u64>, Edition<V>)>,
}

impl<K: Clone, V> Clone for Slot<K, V> {
    fn clone(&self) -> Self {
        Self { held: self.held.clone() }
    }
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
