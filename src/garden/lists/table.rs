//! The table of lists made into types: one macro, so that no list can be forgotten anywhere.

/// Makes of the table [`super::List`], [`super::Key`], [`super::Entry`], [`super::Row`] for every row, and what is asked of them
/// whichever list it is.
macro_rules! lists {
    ($(
        $(#[$doc:meta])*
        $list:ident($row:ident in $field:ident by $key:ident: $key_type:ty) {
            names: $names:ident, reaches: $reaches:ident, most: $most:expr, one: $one:literal, many: $many:literal,
        }
    )+) => {
        /// A list of a garden.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum List {
            $($(#[$doc])* $list),+
        }

        /// Which row, by the key of its list.
        #[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
        pub enum Key {
            $($(#[$doc])* $list($key_type)),+
        }

        /// A row of any list. Edits hold it in a box.
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
        #[allow(clippy::large_enum_variant)]
        pub enum Entry {
            $($(#[$doc])* $list($row)),+
        }

        $(
            impl Row for $row {
                type Key = $key_type;

                const LIST: List = List::$list;

                const ABOUT: About = About {
                    field: stringify!($field),
                    one: $one,
                    many: $many,
                    most: $most,
                    names: Names::$names,
                    reaches: Reaches::$reaches,
                };

                fn key(&self) -> &$key_type {
                    &self.$key
                }

                fn key_mut(&mut self) -> &mut $key_type {
                    &mut self.$key
                }

                fn rows(garden: &Garden) -> &Vec<Self> {
                    &garden.$field
                }

                fn rows_mut(garden: &mut Garden) -> &mut Vec<Self> {
                    &mut garden.$field
                }

                fn bed(&self) -> Option<&str> {
                    table::bed_of!(self $names)
                }

                fn bed_mut(&mut self) -> Option<&mut String> {
                    table::bed_mut_of!(self $names)
                }

                fn planting(&self) -> Option<PlantingId> {
                    table::planting_of!(self $names)
                }
            }

            impl From<$row> for Entry {
                fn from(row: $row) -> Self {
                    Self::$list(row)
                }
            }
        )+

        impl List {
            /// Every list, in the order of the file.
            pub const ALL: &[Self] = &[$(Self::$list),+];

            /// What is said of it.
            pub fn about(self) -> &'static About {
                match self {
                    $(Self::$list => &<$row as Row>::ABOUT),+
                }
            }

            /// Rows in it.
            pub fn n_rows(self, garden: &Garden) -> usize {
                match self {
                    $(Self::$list => garden.$field.len()),+
                }
            }

            /// Bytes of its rows, without what they point to.
            pub(in crate::garden) fn n_bytes(self, garden: &Garden) -> usize {
                match self {
                    $(Self::$list => size_of_val(garden.$field.as_slice())),+
                }
            }

            /// The beds its rows name, row by row; none if they name none.
            pub(in crate::garden) fn beds(self, garden: &Garden) -> Box<dyn Iterator<Item = &str> + '_> {
                match self {
                    $(Self::$list => Box::new(garden.$field.iter().filter_map(Row::bed))),+
                }
            }

            /// Carries another id of a bed to the rows that name it.
            pub(in crate::garden) fn rename_bed(self, garden: &mut Garden, from: &str, to: &str) {
                match self {
                    $(Self::$list => row::rename_bed::<$row>(garden, from, to)),+
                }
            }

            /// Gives every row that has no number one.
            pub(in crate::garden) fn number(self, garden: &mut Garden) {
                match self {
                    $(Self::$list => row::number::<$row>(garden)),+
                }
            }

            /// Puts its rows in the order of their keys.
            pub(in crate::garden) fn sort(self, garden: &mut Garden) {
                match self {
                    $(Self::$list => row::sort::<$row>(garden)),+
                }
            }

            /// Looks every row of it through.
            pub(in crate::garden) fn check(self, garden: &Garden, has_bed: &dyn Fn(&str) -> bool, out: &mut Vec<Problem>) {
                match self {
                    $(Self::$list => row::check::<$row>(garden, has_bed, out)),+
                }
            }

            /// What the rows of three gardens have changed, told to `differ`.
            pub(in crate::garden) fn compare(self, three: [&Garden; 3], differ: &mut dyn FnMut(row::Compared)) {
                match self {
                    $(Self::$list => row::compare::<$row>(three, differ)),+
                }
            }
        }

        impl Key {
            /// Its list.
            pub fn list(&self) -> List {
                match self {
                    $(Self::$list(_) => List::$list),+
                }
            }

            /// The row of that key.
            pub fn find(&self, garden: &Garden) -> Option<Entry> {
                match self {
                    $(Self::$list(key) => garden.row::<$row>(key).cloned().map(Entry::$list)),+
                }
            }

            pub(in crate::garden) fn take_from(&self, garden: &mut Garden) -> Result<Entry, EditError> {
                match self {
                    $(Self::$list(key) => row::take::<$row>(garden, key).map(Entry::$list)),+
                }
            }

            /// Bytes of the list from the place of the key on.
            pub(in crate::garden) fn n_bytes_after(&self, garden: &Garden) -> usize {
                match self {
                    $(Self::$list(key) => row::n_bytes_after::<$row>(garden, key)),+
                }
            }
        }

        impl Entry {
            /// Its list.
            pub fn list(&self) -> List {
                match self {
                    $(Self::$list(_) => List::$list),+
                }
            }

            /// Its key.
            pub fn key(&self) -> Key {
                match self {
                    $(Self::$list(row) => Key::$list(row.key().clone())),+
                }
            }

            /// The bed it names.
            pub fn bed(&self) -> Option<&str> {
                match self {
                    $(Self::$list(row) => Row::bed(row)),+
                }
            }

            /// The planting it names.
            pub fn planting(&self) -> Option<PlantingId> {
                match self {
                    $(Self::$list(row) => Row::planting(row)),+
                }
            }

            pub(in crate::garden) fn tells(&self) -> &dyn Tells {
                match self {
                    $(Self::$list(row) => row),+
                }
            }

            pub(in crate::garden) fn check(&self, garden: &Garden, out: &mut Vec<Problem>) {
                match self {
                    $(Self::$list(row) => row::check_one(garden, row, out)),+
                }
            }

            pub(in crate::garden) fn put_into(self, garden: &mut Garden) -> Result<(), EditError> {
                match self {
                    $(Self::$list(row) => row::put(garden, row)),+
                }
            }

            /// Takes the place of the row with its key; returns that.
            pub(in crate::garden) fn exchange_in(self, garden: &mut Garden) -> Result<Self, EditError> {
                match self {
                    $(Self::$list(row) => row::exchange(garden, row).map(Self::$list)),+
                }
            }
        }
    };
}

macro_rules! bed_of {
    ($row:ident Bed) => {
        Some(&$row.bed)
    };
    ($row:ident BedOrNone) => {
        $row.bed.as_deref()
    };
    ($row:ident $other:ident) => {
        None
    };
}

macro_rules! bed_mut_of {
    ($row:ident Bed) => {
        Some(&mut $row.bed)
    };
    ($row:ident BedOrNone) => {
        $row.bed.as_mut()
    };
    ($row:ident $other:ident) => {
        None
    };
}

macro_rules! planting_of {
    ($row:ident Planting) => {
        Some($row.planting)
    };
    ($row:ident $other:ident) => {
        None
    };
}

pub(super) use {bed_mut_of, bed_of, lists, planting_of};
