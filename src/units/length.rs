//! Whole millimetres, read and written in centimetres.

use std::fmt;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

/// A length in whole millimetres.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Mm(pub i32);

/// Why a text is not a length.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LengthError {
    /// The text is not a plain decimal number.
    #[error("`{0}` is not a length in cm, such as 120 or 12.5")]
    NotANumber(String),
    /// Finer than a millimetre.
    #[error("`{0}` cm is finer than a millimetre; give at most one decimal")]
    TooFine(String),
    /// Beyond what a garden holds.
    #[error("`{0}` cm is beyond 100000 cm (1 km)")]
    TooLong(String),
}

impl Mm {
    /// No length.
    pub const ZERO: Self = Self(0);

    /// Whole centimetres as millimetres.
    pub const fn from_cm(cm: i32) -> Self {
        Self(cm * 10)
    }

    /// Reads centimetres with at most one decimal; a decimal comma is taken too.
    ///
    /// # Errors
    /// Text that is no number, is finer than a millimetre, or is beyond 1 km.
    pub fn parse_cm(text: &str) -> Result<Self, LengthError> {
        let trimmed = text.trim().trim_end_matches("cm").trim_end();
        let (negative, digits) = match trimmed.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, trimmed),
        };
        let bad = || LengthError::NotANumber(text.trim().to_owned());
        let (whole, decimals) = match digits.split_once(['.', ',']) {
            Some((whole, decimals)) => (whole, decimals),
            None => (digits, ""),
        };
        if (whole.is_empty() && decimals.is_empty())
            || !whole.bytes().all(|b| b.is_ascii_digit())
            || !decimals.bytes().all(|b| b.is_ascii_digit())
        {
            return Err(bad());
        }
        let decimals = decimals.trim_end_matches('0');
        if decimals.len() > 1 {
            return Err(LengthError::TooFine(text.trim().to_owned()));
        }
        let too_long = || LengthError::TooLong(text.trim().to_owned());
        let whole: i32 = if whole.is_empty() { 0 } else { whole.parse().map_err(|_| too_long())? };
        if whole > 100_000 {
            return Err(too_long());
        }
        let tenth: i32 = if decimals.is_empty() { 0 } else { decimals.parse().map_err(|_| bad())? };
        let mm = whole * 10 + tenth;
        Ok(Self(if negative { -mm } else { mm }))
    }

    /// The length as a floating number of millimetres, for geometry.
    pub fn as_f64(self) -> f64 {
        f64::from(self.0)
    }

    /// Half the length, rounded down to a whole millimetre.
    #[must_use]
    pub const fn half(self) -> Self {
        Self(self.0.div_euclid(2))
    }
}

/// Centimetres without the unit: `25`, `12.5`.
impl fmt::Display for Mm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let (whole, tenth) = (self.0.unsigned_abs() / 10, self.0.unsigned_abs() % 10);
        let text = if tenth == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{tenth}") };
        f.pad(&text)
    }
}

impl Add for Mm {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}
impl Sub for Mm {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}
impl Neg for Mm {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}
impl Mul<i32> for Mm {
    type Output = Self;
    fn mul(self, times: i32) -> Self {
        Self(self.0 * times)
    }
}
impl AddAssign for Mm {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}
impl SubAssign for Mm {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn centimetres_are_read_with_one_decimal_and_written_back() {
        for (text, mm, back) in [
            ("12.5", 125, "12.5"),
            ("12,5 cm", 125, "12.5"),
            (" 7 ", 70, "7"),
            ("0.50", 5, "0.5"),
            (".5", 5, "0.5"),
            ("-3", -30, "-3"),
        ] {
            assert_eq!(Mm::parse_cm(text).unwrap(), Mm(mm));
            assert_eq!(Mm(mm).to_string(), back);
        }
    }

    #[test]
    fn nonsense_lengths_are_refused_by_kind() {
        for text in ["", "NaN", "inf", "1e3", "ten", ".", "1.2.3", "+4"] {
            assert!(matches!(Mm::parse_cm(text), Err(LengthError::NotANumber(_))), "{text}");
        }
        assert!(matches!(Mm::parse_cm("2.54"), Err(LengthError::TooFine(_))));
        assert!(matches!(Mm::parse_cm("99999999999"), Err(LengthError::TooLong(_))));
    }
}
