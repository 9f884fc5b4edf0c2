//! Any text as daily records: either one clear message, or records from which months and days can be made.
#![no_main]

use bedfellow::climate::Weather;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    match Weather::parse(text) {
        Err(error) => assert!(!error.to_string().chars().any(char::is_control)),
        Ok(read) => {
            assert!(read.weather.days().iter().all(|day| day.tmin_c.is_finite() && day.tmax_c.is_finite()));
            let _ = read.weather.normals();
            let _ = read.weather.day_tables(54.0);
        }
    }
});
