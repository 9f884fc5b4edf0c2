//! Any text as the records of a journal: refused at a line, or made; what is left is a garden that a file may hold.
#![no_main]

use std::sync::LazyLock;

use bedfellow::garden::{Garden, replay};
use libfuzzer_sys::fuzz_target;

static GARDEN: LazyLock<Garden> =
    LazyLock::new(|| Garden::from_ron(include_str!("../../samples/valid/small.ron"), "small.ron").unwrap());

fuzz_target!(|text: &str| {
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut after = GARDEN.clone();
    if let Err((place, _)) = replay(&mut after, &lines) {
        assert!(place < lines.len());
    }
    let written = after.to_ron();
    assert_eq!(Garden::from_ron(&written, "after.ron").unwrap().to_ron(), written);
});
