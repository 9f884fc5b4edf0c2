//! Any name is either found or answered with the nearest ones.
#![no_main]

use std::sync::LazyLock;

use bedfellow::crops::CropBook;
use libfuzzer_sys::fuzz_target;

static BOOK: LazyLock<CropBook> = LazyLock::new(|| CropBook::embedded().unwrap());

fuzz_target!(|name: &str| {
    if BOOK.find(name).is_none() {
        assert!(BOOK.nearest_names(name, 3).len() <= 3);
    }
    let _ = BOOK.find_families(name);
});
