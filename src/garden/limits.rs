//! What a garden may hold at most, in one table. None of it is the trade's: each bound is wide of any real
//! garden and narrow enough that arithmetic, memory and screens stay sound.

use std::fmt;

use crate::units::Mm;

/// A bounded quantity, as messages speak of it. Both bounds are allowed values.
#[derive(Debug, Clone, Copy)]
pub struct Limit<T> {
    /// Its name in messages, such as `bed width`.
    pub what: &'static str,
    /// Least value.
    pub least: T,
    /// Greatest value.
    pub greatest: T,
    /// Unit as written after the number, with its space, or nothing.
    pub unit: &'static str,
}

impl<T: PartialOrd + fmt::Display + Copy> Limit<T> {
    const fn of(what: &'static str, least: T, greatest: T, unit: &'static str) -> Self {
        Self { what, least, greatest, unit }
    }

    /// The message about a value outside, `None` if the value is inside. NaN is outside.
    pub fn refusal(&self, value: T) -> Option<String> {
        if value >= self.least && value <= self.greatest {
            return None;
        }
        let Self { what, least, greatest, unit } = self;
        Some(format!("{what} {value}{unit} is outside {least} to {greatest}{unit}"))
    }
}

impl<T: fmt::Display> Limit<T> {
    fn row(&self) -> (String, String) {
        let Self { what, least, greatest, unit } = self;
        (what.trim_end_matches(':').to_owned(), format!("{least} to {greatest}{unit}"))
    }
}

/// Every limit in words, as the README lists them: of what, and how much.
pub fn in_words() -> Vec<(String, String)> {
    let most = |what: &str, n: usize, unit: &str| (what.to_owned(), format!("{}{unit}", thousands(n)));
    let mib = |what: &str, n_bytes: u64| (what.to_owned(), format!("{} MiB", n_bytes / (1024 * 1024)));
    vec![
        mib("garden file", FILE_BYTES),
        mib("file of weather records", WEATHER_BYTES),
        most("steps that can be taken back on another day", N_STEPS_KEPT, ""),
        mib("the same, written down", STEPS_KEPT_BYTES as u64),
        most("days of weather records", N_WEATHER_DAYS, ""),
        most("name, crop, variety or any other line of text", NAME_CHARS, " characters"),
        most("id of a bed", BED_ID_CHARS, " characters"),
        most("notes, reasons, sources", NOTES_CHARS, " characters"),
        most("beds", N_BEDS, ""),
        most("plantings, and entries of any other list", N_PLANTINGS, ""),
        most("plantings standing at once in one bed", N_AT_ONCE, ""),
        most("plantings, past crops, hazards seen or soil log entries of one bed", N_IN_BED, " each"),
        most("entries of what happened", N_HAPPENED, ""),
        most("entries of what happened to one planting", N_RECORDS, ""),
        most("households", N_HOUSEHOLDS, ""),
        most("families with a return interval, crops that a household wants", N_NAMED, ""),
        most("own crops", N_OWN_CROPS, ""),
        most("other names, and groups, of an own crop", N_OWN_NAMES, ""),
        BED_SIDE.row(),
        BED_PLACE.row(),
        BEARING.row(),
        SPACING.row(),
        SETBACK.row(),
        PER_METRE.row(),
        PER_M2.row(),
        CLUMP.row(),
        PLANTING_ID.row(),
        ENTRY_ID.row(),
        YEAR.row(),
        LATITUDE.row(),
        LONGITUDE.row(),
        ELEVATION.row(),
        RETURN_YEARS.row(),
        SPREAD_DEPTH.row(),
        PEOPLE.row(),
        MONTH_TEMPERATURE.row(),
        MONTH_RAIN.row(),
        MONTH_SPREAD.row(),
    ]
}

/// `100,000`.
fn thousands(n: usize) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (idx, digit) in digits.chars().enumerate() {
        if idx > 0 && (digits.len() - idx).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// Bytes of a garden file.
pub const FILE_BYTES: u64 = 32 * 1024 * 1024;
/// Characters of a name, an id or any other line of text.
pub const NAME_CHARS: usize = 200;
/// Characters of a bed's id, which stands in narrow columns.
pub const BED_ID_CHARS: usize = 40;
/// Characters of notes and reasons.
pub const NOTES_CHARS: usize = 2_000;
/// Beds of a garden.
pub const N_BEDS: usize = 2_000;
/// Plantings of a garden; also of every other list in it.
pub const N_PLANTINGS: usize = 100_000;
/// Plantings standing in one bed on one day: in a bed of a hundred metres a strip each half metre.
pub const N_AT_ONCE: usize = 200;
/// Plantings of one bed, and its entries of each list that names beds: twenty a year for half a century.
pub const N_IN_BED: usize = 1_000;
/// Households of a garden.
pub const N_HOUSEHOLDS: usize = 2_000;
/// Entries of a table of names: return intervals by family, a household's wants by crop.
pub const N_NAMED: usize = 1_000;
/// Crops of a garden's own.
pub const N_OWN_CROPS: usize = 1_000;
/// Other names, and groups, of an own crop.
pub const N_OWN_NAMES: usize = crate::crops::N_NAMES_MOST;
/// Bytes of a file of weather records.
pub const WEATHER_BYTES: u64 = 8 * 1024 * 1024;
/// Days of weather records: more than a century.
pub const N_WEATHER_DAYS: usize = 40_000;
/// Values of a list of months.
pub const N_MONTHS: usize = 12;
/// Steps kept beside a garden when it is left, to be taken back on another day (starting value).
pub const N_STEPS_KEPT: usize = 200;
/// Bytes of such steps as they are written down (starting value: ten times what two hundred usual ones take).
pub const STEPS_KEPT_BYTES: usize = 1024 * 1024;
/// What happened to all plantings: a dozen entries for each of ten thousand (starting value).
pub const N_HAPPENED: usize = 120_000;
/// Entries of what happened to one planting.
pub const N_RECORDS: usize = 10_000;

/// Bed width and length.
pub const BED_SIDE: Limit<Mm> = Limit::of("bed size", Mm(10), Mm(1_000_000), " cm");
/// Place of a bed on the site.
pub const BED_PLACE: Limit<Mm> = Limit::of("bed place", Mm(-10_000_000), Mm(10_000_000), " cm");
/// Compass bearing.
pub const BEARING: Limit<u32> = Limit::of("bearing", 0, 359, "°");
/// Distance between stations, rows or lines.
pub const SPACING: Limit<Mm> = Limit::of("spacing", Mm(1), Mm(100_000), " cm");
/// Distance kept from the strip's edges.
pub const SETBACK: Limit<Mm> = Limit::of("setback", Mm(0), Mm(100_000), " cm");
/// Plants in a metre of drill.
pub const PER_METRE: Limit<f64> = Limit::of("plants in a metre of drill:", 0.01, 10_000.0, "");
/// Plants broadcast on a square metre.
pub const PER_M2: Limit<f64> = Limit::of("plants in a square metre:", 0.01, 1_000_000.0, "");
/// Plants at a station.
pub const CLUMP: Limit<u32> = Limit::of("clump", 1, 100, "");
/// A planting's number; the last ones are kept free so that there is always a next one.
pub const PLANTING_ID: Limit<u32> = Limit::of("planting number", 1, 999_999_999, "");
/// The number of a row of a list; the last ones are kept free as well.
pub const ENTRY_ID: Limit<u32> = Limit::of("row number", 1, 999_999_999, "");
/// Year of any date.
pub const YEAR: Limit<i32> = Limit::of("year", 1900, 2200, "");
/// Latitude.
pub const LATITUDE: Limit<f64> = Limit::of("latitude", -90.0, 90.0, "°");
/// Degrees east.
pub const LONGITUDE: Limit<f64> = Limit::of("longitude", -180.0, 180.0, "°");
/// Height above the sea: from below the lowest shore to above the highest village.
pub const ELEVATION: Limit<i32> = Limit::of("elevation", -500, 9_000, " m");
/// Return interval.
pub const RETURN_YEARS: Limit<u32> = Limit::of("return interval", 0, 100, " years");
/// Depth of compost or mulch spread.
pub const SPREAD_DEPTH: Limit<Mm> = Limit::of("depth", Mm(1), Mm(2_000), " cm");
/// People of a household.
pub const PEOPLE: Limit<u32> = Limit::of("people", 0, 10_000, "");

/// Mean minimum or maximum of a month.
pub const MONTH_TEMPERATURE: Limit<f64> = Limit::of("temperature", -60.0, 55.0, " °C");
/// Rain of a month: the wettest places have some 3500 mm in their wettest month.
pub const MONTH_RAIN: Limit<f64> = Limit::of("rain", 0.0, 4_000.0, " mm");
/// Standard deviation of a month's mean from year to year.
pub const MONTH_SPREAD: Limit<f64> = Limit::of("spread", 0.0, 10.0, " °C");
