//! Reads dates, lengths, sizes and counts from arguments. Each fault is one line that quotes what was given.

use anyhow::{Result, anyhow, bail};
use chrono::{Datelike as _, NaiveDate};

use crate::garden::{Cover, limits};
use crate::units::{LengthError, Mm};

/// Years a date on the command line may have.
const YEARS: std::ops::RangeInclusive<i32> = limits::YEAR.least..=limits::YEAR.greatest;

/// A day in ISO 8601's extended form.
pub fn date(text: &str) -> Result<NaiveDate> {
    let day = NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d")
        .map_err(|_| anyhow!("`{text}` is not a date; write it as year-month-day, such as 2027-05-03"))?;
    if !YEARS.contains(&day.year()) {
        bail!("`{text}` is out of range; give a year from {} to {}", YEARS.start(), YEARS.end());
    }
    Ok(day)
}

/// Lengths read, and what was rounded on the way.
#[derive(Debug, Default)]
pub struct Lengths {
    /// A remark for each length finer than a millimetre.
    pub remarks: Vec<String>,
}

impl Lengths {
    /// A length in cm, greater than 0; finer than a millimetre is rounded to the nearest, with a remark.
    pub fn positive(&mut self, name: &str, text: &str) -> Result<Mm> {
        let length = self.length(name, text)?;
        if length.0 <= 0 {
            bail!("{name} is `{}`; give a length in cm greater than 0", text.trim());
        }
        Ok(length)
    }

    /// A bed's width across and length along.
    pub fn size(&mut self, name: &str, text: &str) -> Result<(Mm, Mm)> {
        let Some((width, length)) = text.split_once(['x', 'X', '×']) else {
            bail!("{name} is `{text}`; give width across x length along in cm, such as 120x240");
        };
        Ok((self.positive(name, width)?, self.positive(name, length)?))
    }

    fn length(&mut self, name: &str, text: &str) -> Result<Mm> {
        let fine = fine(name, text)?;
        let rounded = Mm(i32::try_from(fine.whole_mm).map_err(|_| anyhow!("{name} is `{text}`, which is too long"))?);
        if fine.is_rounded || fine.tenths_mm % 10 != 0 {
            self.remarks.push(format!("{name} {} cm is taken as {rounded} cm, whole millimetres", text.trim()));
        }
        Ok(rounded)
    }
}

/// A length to the tenth of a millimetre, as fine as 30.48 cm (12 inches) is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fine {
    /// To the nearest tenth of a millimetre.
    pub tenths_mm: i64,
    /// To the nearest millimetre: of the text, not of its tenths, so that nothing is rounded twice.
    pub whole_mm: i64,
    /// The text was finer still.
    pub is_rounded: bool,
}

/// Reads a length in cm to the tenth of a millimetre.
///
/// # Errors
/// Text that is no length in cm.
pub fn fine(name: &str, text: &str) -> Result<Fine> {
    match Mm::parse_cm(text) {
        Ok(length) => {
            Ok(Fine { tenths_mm: i64::from(length.0) * 10, whole_mm: i64::from(length.0), is_rounded: false })
        }
        Err(LengthError::TooFine(_)) => {
            two_decimals(text).ok_or_else(|| anyhow!("{name}: `{}` is not a length in cm", text.trim()))
        }
        Err(err) => Err(anyhow!("{name}: {err}")),
    }
}

/// A plain decimal with two decimals or more; half of the last step goes away from zero.
fn two_decimals(text: &str) -> Option<Fine> {
    let (whole, decimals) = text.trim().trim_end_matches("cm").trim_end().split_once(['.', ','])?;
    let (kept, finer) = decimals.split_at_checked(2)?;
    let sign = if whole.starts_with('-') { -1 } else { 1 };
    let whole = Mm::parse_cm(whole.trim_start_matches('-')).map_or(0, |whole| i64::from(whole.0));
    let cut_tenths = whole * 10 + kept.parse::<i64>().ok()?;
    let up = finer.as_bytes().first().is_some_and(|&digit| digit >= b'5');
    Some(Fine {
        tenths_mm: sign * (cut_tenths + i64::from(up)),
        whole_mm: sign * ((cut_tenths + 5) / 10),
        is_rounded: finer.bytes().any(|digit| digit != b'0'),
    })
}

/// A number greater than 0.
pub fn positive_number(name: &str, text: &str) -> Result<f64> {
    match number(text) {
        Some(value) if value > 0.0 => Ok(value),
        _ => bail!("{name} is `{}`; give a number greater than 0", text.trim()),
    }
}

/// A number of 0 or more.
pub fn number_from_zero(name: &str, text: &str) -> Result<f64> {
    match number(text) {
        Some(value) if value >= 0.0 => Ok(value),
        _ => bail!("{name} is `{}`; give a number of 0 or more", text.trim()),
    }
}

/// A number between two bounds, both allowed.
///
/// # Errors
/// Text that is no number, or lies outside.
pub fn number_within(name: &str, text: &str, (least, greatest): (f64, f64), unit: &str) -> Result<f64> {
    match number(text) {
        Some(value) if (least..=greatest).contains(&value) => Ok(value),
        _ => bail!("{name} is `{}`; give a number from {least} to {greatest}{unit}", text.trim()),
    }
}

/// A latitude in degrees, south negative.
///
/// # Errors
/// Text that is no latitude.
pub fn latitude(text: &str) -> Result<f64> {
    number_within("--latitude", text, (limits::LATITUDE.least, limits::LATITUDE.greatest), ", south negative")
}

/// A height above the sea in whole metres.
///
/// # Errors
/// No number, or no height on land.
pub fn elevation_m(text: &str) -> Result<i32> {
    let bounds = (limits::ELEVATION.least, limits::ELEVATION.greatest);
    let height_m = number_within("--elevation", text, (f64::from(bounds.0), f64::from(bounds.1)), " m")?;
    Ok(height_m.round() as i32)
}

/// Covers as they are given; the first word of each is the one shown.
const COVERS: [(&[&str], Cover); 6] = [
    (&["open"], Cover::Open),
    (&["fleece"], Cover::Fleece),
    (&["mesh"], Cover::Mesh),
    (&["cloche"], Cover::Cloche),
    (&["tunnel", "unheated-tunnel", "unheatedtunnel"], Cover::UnheatedTunnel),
    (&["glass"], Cover::Glass),
];

/// What covers a bed.
///
/// # Errors
/// A word that names no cover.
pub fn cover(text: &str) -> Result<Cover> {
    let word = text.trim().to_lowercase().replace([' ', '_'], "-");
    COVERS.iter().find(|(names, _)| names.contains(&word.as_str())).map(|(_, cover)| *cover).ok_or_else(|| {
        let names: Vec<&str> = COVERS.iter().filter_map(|(names, _)| names.first().copied()).collect();
        anyhow!("--cover is `{}`; give one of {}", text.trim(), names.join(", "))
    })
}

/// The word of a cover, as it is given.
pub fn cover_word(cover: Cover) -> &'static str {
    COVERS.iter().find(|(_, known)| *known == cover).and_then(|(names, _)| names.first().copied()).unwrap_or("open")
}

fn number(text: &str) -> Option<f64> {
    text.trim().parse::<f64>().ok().filter(|value| value.is_finite())
}

/// A whole number between two bounds.
pub fn count(name: &str, text: &str, least: u32, greatest: u32) -> Result<u32> {
    match text.trim().parse::<u32>() {
        Ok(value) if (least..=greatest).contains(&value) => Ok(value),
        _ => bail!("{name} is `{}`; give a whole number from {least} to {greatest}", text.trim()),
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
            assert_eq!(lengths.positive("--spacing", text).unwrap(), Mm(mm), "{text}");
            assert_eq!(lengths.remarks.len(), 1, "{text}");
        }
        let mut lengths = Lengths::default();
        assert_eq!(lengths.positive("--spacing", "25.40").unwrap(), Mm(254));
        assert!(lengths.remarks.is_empty());
    }

    #[test]
    fn twelve_inches_are_read_to_the_tenth_of_a_millimetre() {
        assert_eq!(fine("--spacing", "30.48").unwrap(), Fine { tenths_mm: 3048, whole_mm: 305, is_rounded: false });
        assert_eq!(fine("--spacing", "30.486").unwrap(), Fine { tenths_mm: 3049, whole_mm: 305, is_rounded: true });
        assert_eq!(fine("--spacing", "-0.26").unwrap(), Fine { tenths_mm: -26, whole_mm: -3, is_rounded: false });
    }

    #[test]
    fn nonsense_lengths_and_sizes_are_named() {
        let mut lengths = Lengths::default();
        for text in ["0", "-5", "NaN", "inf", "", "0.04", "1e3", "-0.26", "thirty"] {
            let fault = lengths.positive("--spacing", text).unwrap_err().to_string();
            assert!(fault.contains("--spacing"), "{text}: {fault}");
        }
        for text in ["120", "120x", "x240", "0x240", "120x-5", "120x240x3", "axb"] {
            assert!(lengths.size("--bed", text).is_err(), "{text}");
        }
        assert_eq!(lengths.size("--bed", "120.5×240").unwrap(), (Mm(1205), Mm(2400)));
    }

    #[test]
    fn dates_are_iso_and_within_reach() {
        assert!(date("2027-05-03").is_ok());
        for text in ["2027-02-30", "03/05/2027", "tomorrow", "", "9999-01-01", "-2027-01-01", "262142-01-01"] {
            assert!(date(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_cover_is_given_by_any_of_its_words() {
        for text in ["tunnel", "Unheated tunnel", "unheated_tunnel", "UnheatedTunnel"] {
            assert_eq!(cover(text).unwrap(), Cover::UnheatedTunnel, "{text}");
        }
        assert_eq!(cover_word(Cover::UnheatedTunnel), "tunnel");
        let fault = cover("igloo").unwrap_err().to_string();
        assert_eq!(fault, "--cover is `igloo`; give one of open, fleece, mesh, cloche, tunnel, glass");
    }

    #[test]
    fn numbers_are_finite_and_counts_within_bounds() {
        for text in ["NaN", "inf", "-1", "0", "ten", ""] {
            assert!(positive_number("--per-m2", text).is_err(), "{text}");
        }
        assert!(number_from_zero("--together", "0").is_ok());
        for text in ["NaN", "inf", "-inf", "", "90.01", "-91", "54N", "1e3", "54°"] {
            assert!(latitude(text).is_err(), "{text}");
        }
        for text in ["90", "-90", " 66.56 ", "5.4e1", "+54", "-0"] {
            assert!(latitude(text).is_ok(), "{text}");
        }
        for text in ["0", "-1", "1.5", "4294967296", "10001"] {
            assert!(count("--clump", text, 1, 10_000).is_err(), "{text}");
        }
    }
}
