//! A length that is read is written back as the same length.
#![no_main]

use bedfellow::units::Mm;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Ok(length) = Mm::parse_cm(text) {
        assert_eq!(Mm::parse_cm(&length.to_string()), Ok(length));
    }
});
