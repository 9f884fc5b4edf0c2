//! Reads the values of options for clap: dates, lengths, sizes, counts. A fault says what to give instead; which
//! option it was and what was given is put before it where it is told ([`told`], [`named`]).

use anyhow::{Result, anyhow};
use chrono::{Datelike as _, NaiveDate};
use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::climate::soil_water::{SoilWater, soils};
use crate::garden::limits;
use crate::units::text::{is_steering, nearest, shown};
use crate::units::{LengthError, Mm};

/// Years a date on the command line may have.
const YEARS: std::ops::RangeInclusive<i32> = limits::YEAR.least..=limits::YEAR.greatest;

/// Air temperatures that are accepted, in °C: a little beyond the extremes recorded on earth (World Meteorological
/// Organization, weather and climate extremes archive, from memory: -89.2 and 56.7).
const AIR_C: (f64, f64) = (-90.0, 60.0);

/// Temperatures a heat sum is made of: those of the air in °C or in °F, the arithmetic being the same.
const HEAT_DEGREES: (f64, f64) = (-130.0, 140.0);

/// Soil temperatures that are accepted, in °C (starting values: frozen ground, and bare sand in the sun).
const SOIL_C: (f64, f64) = (-30.0, 70.0);

/// Depths of soil that are accepted, in cm: twice the deepest roots of FAO-56 Table 22 (own choice).
const DEPTH_CM: (f64, f64) = (1.0, 360.0);

/// The largest area that is accepted, m² (own choice: ten hectares).
const MOST_AREA_M2: f64 = 100_000.0;

/// What to give instead of a value that cannot be used: `give a number greater than 0`.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Fault(String);

/// What there is to say of a value that an option cannot use; nothing of any other fault of usage.
pub fn told(err: &clap::Error) -> Option<String> {
    let text = |kind| match err.get(kind) {
        Some(ContextValue::String(text)) => Some(text.as_str()),
        _ => None,
    };
    let advice = match err.kind() {
        ErrorKind::ValueValidation => std::error::Error::source(err)?.downcast_ref::<Fault>()?.to_string(),
        ErrorKind::InvalidValue => match err.get(ContextKind::ValidValue)? {
            ContextValue::Strings(words) => format!("give one of {}", words.join(", ")),
            _ => return None,
        },
        _ => return None,
    };
    let option = text(ContextKind::InvalidArg)?.split(' ').next()?;
    Some(format!("{option} is `{}`; {advice}", shown(text(ContextKind::InvalidValue)?.trim())))
}

/// Reads a part of an option's value, which has a name of its own.
///
/// # Errors
/// What told says of a whole value.
pub fn named<T>(name: &str, text: &str, read: impl Fn(&str) -> Result<T, Fault>) -> Result<T> {
    read(text).map_err(|fault| anyhow!("{name} is `{}`; {fault}", text.trim()))
}

/// A day in ISO 8601's extended form.
pub fn date(text: &str) -> Result<NaiveDate, Fault> {
    let day = NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d")
        .map_err(|_| Fault("give a day as year-month-day, such as 2027-05-03".to_owned()))?;
    if !YEARS.contains(&day.year()) {
        return Err(Fault(format!("give a day of the years {} to {}", YEARS.start(), YEARS.end())));
    }
    Ok(day)
}

/// A length in cm as it was given, to the tenth of a millimetre, as fine as 30.48 cm (12 inches) is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Length {
    /// To the nearest tenth of a millimetre.
    pub tenths_mm: i64,
    /// To the nearest millimetre: of the text, not of its tenths, so that nothing is rounded twice.
    pub whole_mm: i64,
    /// The text was finer still.
    pub is_rounded: bool,
    /// The text, for what is said of it.
    pub given: String,
}

/// Width across and length along, in cm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Size {
    pub width: Length,
    pub length: Length,
    /// The text, as it is said again.
    pub given: String,
}

/// A new bed: its id and its size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewBed {
    pub id: String,
    pub size: Size,
}

/// Years from one crop of a family to the next, for the families of a name or for all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReturnYears {
    pub family: Option<String>,
    pub years: u32,
}

/// What was rounded to whole millimetres.
#[derive(Debug, Default)]
pub struct Lengths {
    /// A remark for each length finer than a millimetre.
    pub remarks: Vec<String>,
}

impl Lengths {
    /// A length to the nearest millimetre, with a remark if it is finer.
    pub fn whole(&mut self, name: &str, length: &Length) -> Mm {
        let rounded = Mm(length.whole_mm as i32);
        if length.is_rounded || length.tenths_mm % 10 != 0 {
            self.remarks.push(format!("{name} {} cm is taken as {rounded} cm, whole millimetres", length.given));
        }
        rounded
    }

    /// Width and length to the nearest millimetre.
    pub fn whole_size(&mut self, name: &str, size: &Size) -> (Mm, Mm) {
        (self.whole(name, &size.width), self.whole(name, &size.length))
    }
}

/// A length in cm of a tenth of a millimetre or more.
pub fn fine_length(text: &str) -> Result<Length, Fault> {
    let length = any_length(text)?;
    if length.tenths_mm > 0 { Ok(length) } else { Err(too_short()) }
}

/// A length in cm that is a millimetre or more once it is rounded.
pub fn length(text: &str) -> Result<Length, Fault> {
    let length = any_length(text)?;
    if length.whole_mm > 0 { Ok(length) } else { Err(too_short()) }
}

/// A length in cm, which may be 0.
pub fn length_from_zero(text: &str) -> Result<Length, Fault> {
    let length = any_length(text)?;
    if length.tenths_mm >= 0 { Ok(length) } else { Err(Fault("give a length in cm of 0 or more".to_owned())) }
}

/// A bed's width across and length along, each as [`fine_length`].
pub fn fine_size(text: &str) -> Result<Size, Fault> {
    sides(text, fine_length)
}

/// A bed's width across and length along, each as [`length`].
pub fn size(text: &str) -> Result<Size, Fault> {
    sides(text, length)
}

/// `A1=120x240`.
pub fn new_bed(text: &str) -> Result<NewBed, Fault> {
    let (id, sides) = plain(text)?
        .split_once('=')
        .ok_or_else(|| Fault("give an id and a size in cm, such as A1=120x240".to_owned()))?;
    Ok(NewBed { id: id.trim().to_owned(), size: size(sides)? })
}

/// `4`, or `FAMILY=4`.
pub fn return_years(text: &str) -> Result<ReturnYears, Fault> {
    let (family, years) = match plain(text)?.split_once('=') {
        Some((family, years)) => (Some(family.trim().to_owned()), years),
        None => (None, text),
    };
    Ok(ReturnYears { family, years: count(years, 0, limits::RETURN_YEARS.greatest)? })
}

/// Text that is kept, and said again; in a line of its own it could be made to say something else.
fn plain(text: &str) -> Result<&str, Fault> {
    match text.chars().find(|c| is_steering(*c)) {
        Some(bad) => Err(Fault(format!("leave out the control character (U+{:04X})", u32::from(bad)))),
        None => Ok(text),
    }
}

fn sides(text: &str, side: fn(&str) -> Result<Length, Fault>) -> Result<Size, Fault> {
    let given = plain(text)?.trim();
    let (width, length) = given
        .split_once(['x', 'X', '×'])
        .ok_or_else(|| Fault("give width across x length along in cm, such as 120x240".to_owned()))?;
    Ok(Size { width: side(width)?, length: side(length)?, given: given.to_owned() })
}

fn too_short() -> Fault {
    Fault("give a length in cm greater than 0".to_owned())
}

/// Reads a length in cm to the tenth of a millimetre.
fn any_length(text: &str) -> Result<Length, Fault> {
    let given = text.trim();
    let no_length = || Fault("give a length in cm, such as 120 or 12.5".to_owned());
    match Mm::parse_cm(text) {
        Ok(length) => {
            let whole_mm = i64::from(length.0);
            Ok(Length { tenths_mm: whole_mm * 10, whole_mm, is_rounded: false, given: given.to_owned() })
        }
        Err(LengthError::TooFine(_)) => two_decimals(given).ok_or_else(no_length),
        Err(LengthError::NotANumber(_)) => Err(no_length()),
        Err(LengthError::TooLong(_)) => Err(Fault("give at most 100000 cm (1 km)".to_owned())),
    }
}

/// A plain decimal with two decimals or more; half of the last step goes away from zero.
fn two_decimals(given: &str) -> Option<Length> {
    let (whole, decimals) = given.trim_end_matches("cm").trim_end().split_once(['.', ','])?;
    let (kept, finer) = decimals.split_at_checked(2)?;
    let sign = if whole.starts_with('-') { -1 } else { 1 };
    let whole = Mm::parse_cm(whole.trim_start_matches('-')).map_or(0, |whole| i64::from(whole.0));
    let cut_tenths = whole * 10 + kept.parse::<i64>().ok()?;
    let up = finer.as_bytes().first().is_some_and(|&digit| digit >= b'5');
    Some(Length {
        tenths_mm: sign * (cut_tenths + i64::from(up)),
        whole_mm: sign * ((cut_tenths + 5) / 10),
        is_rounded: finer.bytes().any(|digit| digit != b'0'),
        given: given.to_owned(),
    })
}

/// A number greater than 0.
pub fn positive_number(text: &str) -> Result<f64, Fault> {
    match number(text) {
        Some(value) if value > 0.0 => Ok(value),
        _ => Err(Fault("give a number greater than 0".to_owned())),
    }
}

/// A number of 0 or more.
pub fn number_from_zero(text: &str) -> Result<f64, Fault> {
    match number(text) {
        Some(value) if value >= 0.0 => Ok(value),
        _ => Err(Fault("give a number of 0 or more".to_owned())),
    }
}

/// A number between two bounds, both allowed.
fn number_within(text: &str, (least, greatest): (f64, f64), unit: &str) -> Result<f64, Fault> {
    match number(text) {
        Some(value) if (least..=greatest).contains(&value) => Ok(value),
        _ => Err(Fault(format!("give a number from {least} to {greatest}{unit}"))),
    }
}

/// A latitude in degrees, south negative.
pub fn latitude(text: &str) -> Result<f64, Fault> {
    number_within(text, (limits::LATITUDE.least, limits::LATITUDE.greatest), ", south negative")
}

/// A longitude in degrees, west negative.
pub fn longitude(text: &str) -> Result<f64, Fault> {
    number_within(text, (limits::LONGITUDE.least, limits::LONGITUDE.greatest), ", west negative")
}

/// A height above the sea in whole metres.
pub fn elevation_m(text: &str) -> Result<i32, Fault> {
    let bounds = (f64::from(limits::ELEVATION.least), f64::from(limits::ELEVATION.greatest));
    Ok(number_within(text, bounds, " m")?.round() as i32)
}

/// A temperature of the air, °C.
pub fn air_c(text: &str) -> Result<f64, Fault> {
    number_within(text, AIR_C, " °C")
}

/// A temperature that a heat sum is made of, °C or °F.
pub fn heat_degrees(text: &str) -> Result<f64, Fault> {
    number_within(text, HEAT_DEGREES, "")
}

/// A temperature of the soil, °C.
pub fn soil_c(text: &str) -> Result<f64, Fault> {
    number_within(text, SOIL_C, " °C")
}

/// A depth of soil, cm.
pub fn depth_cm(text: &str) -> Result<f64, Fault> {
    number_within(text, DEPTH_CM, " cm")
}

/// The share of the available water that is gone.
pub fn dry(text: &str) -> Result<f64, Fault> {
    number_within(text, (0.0, 1.0), ": 0 is moist to field capacity, 1 dry to the wilting point")
}

/// Ground to be soaked, m².
pub fn area_m2(text: &str) -> Result<f64, Fault> {
    let area_m2 = positive_number(text)?;
    if area_m2 <= MOST_AREA_M2 { Ok(area_m2) } else { Err(Fault(format!("give square metres up to {MOST_AREA_M2}"))) }
}

/// The class of soil of that name, with or without spaces and hyphens.
pub fn soil(text: &str) -> Result<&'static SoilWater, Fault> {
    let letters =
        |name: &str| name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect::<String>();
    if let Some(soil) = soils().iter().find(|soil| letters(&soil.name) == letters(text)) {
        return Ok(soil);
    }
    let names: Vec<&str> = soils().iter().map(|soil| soil.name.as_str()).collect();
    let near = nearest(text, names.iter().copied()).map_or(String::new(), |near| format!("; did you mean {near}?"));
    Err(Fault(format!("give one of {}{near}", names.join(", "))))
}

fn number(text: &str) -> Option<f64> {
    text.trim().parse::<f64>().ok().filter(|value| value.is_finite())
}

/// Plants at each station.
pub fn clump(text: &str) -> Result<u32, Fault> {
    count(text, 1, limits::CLUMP.greatest)
}

/// Long edges that carry a line.
pub fn n_edges(text: &str) -> Result<u32, Fault> {
    count(text, 1, 2)
}

/// A whole number between two bounds.
fn count(text: &str, least: u32, greatest: u32) -> Result<u32, Fault> {
    match text.trim().parse::<u32>() {
        Ok(value) if (least..=greatest).contains(&value) => Ok(value),
        _ => Err(Fault(format!("give a whole number from {least} to {greatest}"))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_finer_than_a_millimetre_go_to_the_nearest_and_say_so() {
        // By hand: 30.48 cm is 304.8 mm, 2.54 cm is 25.4 mm, 0.05 cm is half a millimetre.
        for (text, mm) in
            [("30.48", 305), ("2.54", 25), ("0.05", 1), (".05", 1), ("25.44", 254), ("9.96 cm", 100), ("12.3456", 123)]
        {
            let mut lengths = Lengths::default();
            assert_eq!(lengths.whole("--spacing", &length(text).unwrap()), Mm(mm), "{text}");
            assert_eq!(lengths.remarks.len(), 1, "{text}");
        }
        let mut lengths = Lengths::default();
        assert_eq!(lengths.whole("--spacing", &length("25.40").unwrap()), Mm(254));
        assert!(lengths.remarks.is_empty());
    }

    #[test]
    fn twelve_inches_are_read_to_the_tenth_of_a_millimetre() {
        for (text, tenths_mm, whole_mm, is_rounded) in
            [("30.48", 3048, 305, false), ("30.486", 3049, 305, true), ("-0.26", -26, -3, false)]
        {
            let read = any_length(text).unwrap();
            assert_eq!((read.tenths_mm, read.whole_mm, read.is_rounded), (tenths_mm, whole_mm, is_rounded), "{text}");
        }
    }

    #[test]
    fn nonsense_lengths_and_sizes_are_refused() {
        for text in ["0", "-5", "NaN", "inf", "", "0.04", "1e3", "-0.26", "thirty", "100001"] {
            let fault = named("--spacing", text, length).unwrap_err().to_string();
            assert!(fault.starts_with(&format!("--spacing is `{text}`; give ")), "{fault}");
        }
        for text in ["120", "120x", "x240", "0x240", "120x-5", "120x240x3", "axb", "120x240\n", "12\u{1b}0x240"] {
            assert!(size(text).is_err(), "{text}");
        }
        let mut lengths = Lengths::default();
        assert_eq!(lengths.whole_size("--bed", &size("120.5×240").unwrap()), (Mm(1205), Mm(2400)));
        // A bed's sides are whole millimetres; where the engine draws finer, four tenths of one are a length.
        assert!(size("0.04x240").is_err() && fine_size("0.04x240").is_ok());
        assert!(length_from_zero("0").is_ok() && length_from_zero("-1").is_err());
    }

    #[test]
    fn a_new_bed_and_a_return_interval_are_read_whole() {
        let bed = new_bed(" A1 =120x240").unwrap();
        assert_eq!((bed.id.as_str(), bed.size.given.as_str()), ("A1", "120x240"));
        for text in ["A1", "A1=", "A1=120", "A\u{1b}1=120x240", "A\n1=120x240"] {
            assert!(new_bed(text).is_err(), "{text:?}");
        }
        assert_eq!(return_years("4").unwrap(), ReturnYears { family: None, years: 4 });
        assert_eq!(return_years("onion = 5").unwrap(), ReturnYears { family: Some("onion".to_owned()), years: 5 });
        for text in ["", "-1", "onion", "onion=", "onion=many", "on\nion=4"] {
            assert!(return_years(text).is_err(), "{text:?}");
        }
    }

    #[test]
    fn dates_are_iso_and_within_reach() {
        assert!(date("2027-05-03").is_ok());
        for text in ["2027-02-30", "03/05/2027", "tomorrow", "", "9999-01-01", "-2027-01-01", "262142-01-01"] {
            assert!(date(text).is_err(), "{text}");
        }
    }

    #[test]
    fn numbers_are_finite_and_counts_within_bounds() {
        for text in ["NaN", "inf", "-1", "0", "ten", ""] {
            assert!(positive_number(text).is_err(), "{text}");
        }
        assert!(number_from_zero("0").is_ok());
        for text in ["NaN", "inf", "-inf", "", "90.01", "-91", "54N", "1e3", "54°"] {
            assert!(latitude(text).is_err(), "{text}");
        }
        for text in ["90", "-90", " 66.56 ", "5.4e1", "+54", "-0"] {
            assert!(latitude(text).is_ok(), "{text}");
        }
        for text in ["0", "-1", "1.5", "4294967296", "10001"] {
            assert!(count(text, 1, 10_000).is_err(), "{text}");
        }
    }
}
