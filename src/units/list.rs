//! Lists and tables of a file read only up to a length, so that a hostile file cannot take more memory than it has bytes
//! to spend on real entries.

use std::collections::BTreeMap;
use std::fmt;
use std::marker::PhantomData;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};

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
