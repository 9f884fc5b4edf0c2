//! Any arguments of the desk calculator: an answer or one clear complaint, never a panic. Arguments are parted by newlines.
#![no_main]

use std::sync::{Arc, LazyLock};

use bedfellow::crops::CropBook;
use libfuzzer_sys::fuzz_target;

static BOOK: LazyLock<Arc<CropBook>> = LazyLock::new(|| Arc::new(CropBook::embedded().unwrap()));

fuzz_target!(|text: &str| {
    let arguments = ["bedfellow", "--today", "2027-04-15", "reckon"].into_iter().chain(text.lines());
    if let Err(complaint) = bedfellow::cli::rehearse(arguments.map(std::ffi::OsString::from), &BOOK) {
        assert!(!complaint.is_empty());
    }
});
