//! Lists and tables of a file read only up to a length, so that a hostile file cannot take more memory than it has bytes
//! to spend on real entries; and lists that copies share.

use std::collections::BTreeMap;
use std::fmt;
use std::marker::PhantomData;
use std::ops::{Deref, DerefMut};
use std::sync::Arc;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde::{Serialize, Serializer};

/// A list that its copies share until one of them is changed, so that copying costs next to nothing. Otherwise it is a [`Vec`].
#[derive(Clone, PartialEq, Eq)]
pub struct Shared<T>(Arc<Vec<T>>);

impl<T> Default for Shared<T> {
    fn default() -> Self {
        Self(Arc::default())
    }
}

impl<T: fmt::Debug> fmt::Debug for Shared<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl<T> From<Vec<T>> for Shared<T> {
    fn from(list: Vec<T>) -> Self {
        Self(Arc::new(list))
    }
}

impl<T> FromIterator<T> for Shared<T> {
    fn from_iter<I: IntoIterator<Item = T>>(items: I) -> Self {
        items.into_iter().collect::<Vec<T>>().into()
    }
}

impl<T> Deref for Shared<T> {
    type Target = Vec<T>;

    fn deref(&self) -> &Vec<T> {
        &self.0
    }
}

/// Parts from the copies first, if there are any.
impl<T: Clone> DerefMut for Shared<T> {
    fn deref_mut(&mut self) -> &mut Vec<T> {
        Arc::make_mut(&mut self.0)
    }
}

impl<'a, T> IntoIterator for &'a Shared<T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl<'a, T: Clone> IntoIterator for &'a mut Shared<T> {
    type Item = &'a mut T;
    type IntoIter = std::slice::IterMut<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter_mut()
    }
}

impl<T: Serialize> Serialize for Shared<T> {
    fn serialize<S: Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(into)
    }
}

/// For `#[serde(deserialize_with)]`: as [`at_most`], of a shared list.
///
/// # Errors
/// As [`at_most`].
pub fn shared_at_most<'de, const N: usize, D: Deserializer<'de>, T: Deserialize<'de>>(
    source: D,
) -> Result<Shared<T>, D::Error> {
    at_most::<N, _, _>(source).map(Shared::from)
}

/// What the error of a list that is too long begins with.
pub const TOO_MANY: &str = "more entries than";

/// For `#[serde(deserialize_with)]`: a list of at most `N` items; reading stops at the first beyond.
///
/// # Errors
/// An item's own; [`TOO_MANY`] and the number.
pub fn at_most<'de, const N: usize, D: Deserializer<'de>, T: Deserialize<'de>>(source: D) -> Result<Vec<T>, D::Error> {
    struct List<T, const N: usize>(PhantomData<T>);
    impl<'de, T: Deserialize<'de>, const N: usize> Visitor<'de> for List<T, N> {
        type Value = Vec<T>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            write!(f, "a list of at most {N} entries")
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Vec<T>, A::Error> {
            let mut list = Vec::new();
            while let Some(item) = seq.next_element()? {
                if list.len() == N {
                    return Err(A::Error::custom(format_args!("{TOO_MANY} {N}")));
                }
                list.push(item);
            }
            Ok(list)
        }
    }
    source.deserialize_seq(List::<T, N>(PhantomData))
}

/// The same for a table of names.
///
/// # Errors
/// As [`at_most`].
pub fn at_most_named<'de, const N: usize, D: Deserializer<'de>, T: Deserialize<'de>>(
    source: D,
) -> Result<BTreeMap<String, T>, D::Error> {
    struct Table<T, const N: usize>(PhantomData<T>);
    impl<'de, T: Deserialize<'de>, const N: usize> Visitor<'de> for Table<T, N> {
        type Value = BTreeMap<String, T>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            write!(f, "a table of at most {N} entries")
        }

        fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Self::Value, A::Error> {
            let mut table = BTreeMap::new();
            while let Some((name, value)) = entries.next_entry()? {
                if table.len() == N {
                    return Err(A::Error::custom(format_args!("{TOO_MANY} {N}")));
                }
                table.insert(name, value);
            }
            Ok(table)
        }
    }
    source.deserialize_map(Table::<T, N>(PhantomData))
}

/// The same for a list that may be left out.
///
/// # Errors
/// As [`at_most`].
pub fn at_most_if_any<'de, const N: usize, D: Deserializer<'de>, T: Deserialize<'de>>(
    source: D,
) -> Result<Option<Vec<T>>, D::Error> {
    struct Short<T, const N: usize>(Vec<T>);
    impl<'de, T: Deserialize<'de>, const N: usize> Deserialize<'de> for Short<T, N> {
        fn deserialize<D: Deserializer<'de>>(source: D) -> Result<Self, D::Error> {
            at_most::<N, _, _>(source).map(Self)
        }
    }
    Ok(Option::<Short<T, N>>::deserialize(source)?.map(|short| short.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_shares_a_list_until_one_of_the_two_is_changed() {
        let mut list: Shared<i32> = vec![1, 2, 3].into();
        let copy = list.clone();
        assert!(std::ptr::eq(list.as_slice(), copy.as_slice()));
        list.push(4);
        assert_eq!((list.as_slice(), copy.as_slice()), (&[1, 2, 3, 4][..], &[1, 2, 3][..]));
        // Alone again it is changed in place.
        let place = list.as_ptr();
        list[0] = 5;
        assert!(std::ptr::eq(place, list.as_ptr()));
    }
}
