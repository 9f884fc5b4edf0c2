//! Any text: either one clear message, or a garden that is written back stably and can be worked out.
#![no_main]

use std::sync::{Arc, LazyLock};

use bedfellow::crops::CropBook;
use bedfellow::garden::Garden;
use bedfellow::season::Plan;
use libfuzzer_sys::fuzz_target;

static BOOK: LazyLock<Arc<CropBook>> = LazyLock::new(|| Arc::new(CropBook::embedded().unwrap()));

fuzz_target!(|text: &str| {
    match Garden::from_ron(text, "fuzzed.ron") {
        Err(error) => assert!(!error.to_string().is_empty()),
        Ok(garden) => {
            let written = garden.to_ron();
            let again = Garden::from_ron(&written, "fuzzed.ron").unwrap();
            assert_eq!(again.to_ron(), written);
            let _ = Plan::new(garden, &BOOK).findings();
        }
    }
});
