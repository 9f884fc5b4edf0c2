//! The pieces of one line of a weather file: fields, numbers, dates.

use std::borrow::Cow;

use chrono::NaiveDate;

/// The fields of a line, split at a separator; a field in double quotes may hold the separator, and two quotes within it are one.
///
/// They come one by one: a line may hold millions of them.
pub(super) struct Fields<'a> {
    rest: Option<&'a str>,
    separator: char,
    is_quoted_somewhere: bool,
}

pub(super) fn split(line: &str, separator: char) -> Fields<'_> {
    Fields { rest: Some(line), separator, is_quoted_somewhere: line.contains('"') }
}

impl<'a> Iterator for Fields<'a> {
    type Item = Cow<'a, str>;

    fn next(&mut self) -> Option<Self::Item> {
        let rest = self.rest.take()?;
        if !self.is_quoted_somewhere {
            let (field, rest) =
                rest.split_once(self.separator).map_or((rest, None), |(field, rest)| (field, Some(rest)));
            self.rest = rest;
            return Some(Cow::Borrowed(field.trim()));
        }
        let (mut field, mut is_quoted) = (String::new(), false);
        let mut signs = rest.char_indices().peekable();
        while let Some((at, sign)) = signs.next() {
            match sign {
                '"' if is_quoted && signs.peek().is_some_and(|(_, next)| *next == '"') => {
                    signs.next();
                    field.push('"');
                }
                '"' => is_quoted = !is_quoted,
                _ if sign == self.separator && !is_quoted => {
                    self.rest = rest.get(at + sign.len_utf8()..);
                    break;
                }
                _ => field.push(sign),
            }
        }
        Some(Cow::Owned(field.trim().to_owned()))
    }
}

/// What a field that should be a number holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Reading {
    /// A number written with a point.
    Number(f64),
    /// A number written with a comma.
    WithComma(f64),
    /// Nothing was measured.
    Missing,
    /// Rain too little to be measured.
    Trace,
}

/// Codes that weather services write where nothing was measured; all of them are colder than any place on earth.
const MISSING_CODES: [f64; 6] = [-99.0, -99.9, -999.0, -999.9, -9_999.0, -9_999.9];

/// Reads a field; `None` if it is no number. A minus sign of typography counts as a minus.
pub(super) fn reading(field: &str) -> Option<Reading> {
    if field.is_empty()
        || ["na", "n/a", "nan", "null", "none", "-", "m"].iter().any(|word| field.eq_ignore_ascii_case(word))
    {
        return Some(Reading::Missing);
    }
    if ["t", "tr", "trace"].iter().any(|word| field.eq_ignore_ascii_case(word)) {
        return Some(Reading::Trace);
    }
    let plain = field.replace('\u{2212}', "-");
    let is_plain = |text: &str| text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-' | b'.'));
    if is_plain(&plain) {
        let number: f64 = plain.parse().ok()?;
        let is_code = MISSING_CODES.iter().any(|code| (number - code).abs() < 1e-6);
        return Some(if is_code { Reading::Missing } else { Reading::Number(number) });
    }
    let (whole, rest) = plain.split_once(',')?;
    let is_comma =
        is_plain(whole) && !whole.contains('.') && !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit());
    let number = is_comma.then(|| format!("{whole}.{rest}").parse().ok()).flatten()?;
    Some(Reading::WithComma(number))
}

/// Reads a date: `2027-03-15`, also with slashes, without hyphens, or with a time of day behind it.
pub(super) fn date(field: &str) -> Option<NaiveDate> {
    let day = match field.char_indices().nth(10) {
        Some((at, 'T' | ' ')) => field.get(..at)?,
        Some(_) => return None,
        None => field,
    };
    let hyphened = day.replace('/', "-");
    let format = if hyphened.contains('-') { "%Y-%m-%d" } else { "%Y%m%d" };
    let is_long = hyphened.len() == 10 || (hyphened.len() == 8 && format == "%Y%m%d");
    if !is_long || !hyphened.bytes().all(|b| b.is_ascii_digit() || b == b'-') {
        return None;
    }
    NaiveDate::parse_from_str(&hyphened, format).ok()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn quoted_fields_may_hold_the_separator() {
        let fields = |line, separator| split(line, separator).collect::<Vec<_>>();
        assert_eq!(fields("a, \"1,5\" ,\"say \"\"x\"\"\",", ','), ["a", "1,5", "say \"x\"", ""]);
        assert_eq!(fields("2027-01-01; 1,5;;", ';'), ["2027-01-01", "1,5", "", ""]);
        assert_eq!(fields("\"\"", ','), [""]);
        assert_eq!(fields("", ','), [""]);
    }

    #[test]
    fn numbers_are_read_as_people_write_them() {
        assert_eq!(reading("-1.5"), Some(Reading::Number(-1.5)));
        assert_eq!(reading("\u{2212}1.5"), Some(Reading::Number(-1.5)));
        assert_eq!(reading("+3"), Some(Reading::Number(3.0)));
        assert_eq!(reading("-1,5"), Some(Reading::WithComma(-1.5)));
        assert_eq!(reading("-9999"), Some(Reading::Missing));
        assert_eq!(reading(""), Some(Reading::Missing));
        assert_eq!(reading("NA"), Some(Reading::Missing));
        assert_eq!(reading("trace"), Some(Reading::Trace));
        for wrong in ["warm", "1,234.5", "1.234,5", "12°", "1-2", "inf", "1,,5", "0x10", "1e5"] {
            assert_eq!(reading(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn dates_are_years_months_and_days() {
        let day = NaiveDate::from_ymd_opt(2027, 3, 15);
        for right in ["2027-03-15", "2027/03/15", "20270315", "2027-03-15T00:00", "2027-03-15 09:00:00"] {
            assert_eq!(date(right), day, "{right}");
        }
        for wrong in
            ["15/03/2027", "03-15-2027", "2027-3-15", "2027-02-30", "15 March", "", "٢٠٢٧-٠٣-١٥", "2027-03-15x"]
        {
            assert_eq!(date(wrong), None, "{wrong}");
        }
    }
}
