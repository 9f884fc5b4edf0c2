//! Any arguments of the desk calculator: an answer or one clear line, never a panic. Arguments are parted by newlines.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let arguments = ["bedfellow", "reckon"].into_iter().chain(text.lines());
    let _ = bedfellow::cli::run(arguments.map(std::ffi::OsString::from));
});
