//! Any text as a garden's own crops: refused with a message, or laid over the book and found there again.
#![no_main]

use std::sync::LazyLock;

use bedfellow::crops::{Crop, CropBook};
use libfuzzer_sys::fuzz_target;

static BOOK: LazyLock<CropBook> = LazyLock::new(|| CropBook::embedded().unwrap());

fuzz_target!(|text: &str| {
    let Ok(crops) = ron::from_str::<Vec<Crop>>(text) else { return };
    match BOOK.with_own_crops(&crops) {
        Err(error) => assert!(!error.to_string().is_empty()),
        Ok(book) => assert!(crops.iter().all(|crop| book.find(&crop.id).is_some())),
    }
});
