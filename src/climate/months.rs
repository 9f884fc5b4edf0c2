//! Twelve months of a place from the text of a CSV file: `month,tmin,tmax` and, if it is known, `rain`.
//!
//! Months are numbers or English names, in any order; a first line may name the columns. Degrees Celsius and millimetres.

use super::normals::{DEFAULT_SPREAD_C, MONTH_NAMES, Normals, NormalsError};
use crate::units::text::cut;

/// Most characters of a faulty field that a message quotes.
const N_QUOTED: usize = 30;

/// What is wrong with the text.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MonthsError {
    /// A line with too few or too many values.
    #[error("line {line}: {n} values; each line is `month,tmin,tmax,rain`, rain may be left out of all of them")]
    NFields {
        /// Line, from 1.
        line: u64,
        /// Values found.
        n: usize,
    },
    /// Not a month.
    #[error("line {line}: `{text}` is not a month; write 1 to 12 or its English name")]
    Month {
        /// Line, from 1.
        line: u64,
        /// What stands there.
        text: String,
    },
    /// A month that was there already.
    #[error("line {line}: {month} is there twice; keep one")]
    Twice {
        /// Line, from 1.
        line: u64,
        /// Name of the month.
        month: &'static str,
    },
    /// Not a number.
    #[error("line {line}: {column} `{text}` is not a number; write decimals with a point")]
    Number {
        /// Line, from 1.
        line: u64,
        /// Which column.
        column: &'static str,
        /// What stands there.
        text: String,
    },
    /// Months that are not there.
    #[error("{} missing; give all twelve", missing(months))]
    Missing {
        /// Their names.
        months: Vec<&'static str>,
    },
    /// The text is no table.
    #[error("{0}")]
    Text(String),
    /// Values that are not believed.
    #[error("{0}")]
    Normals(#[from] NormalsError),
}

fn missing(months: &[&str]) -> String {
    format!("{} {}", months.join(", "), if months.len() == 1 { "is" } else { "are" })
}

/// Reads the months of a place.
///
/// # Errors
/// What is wrong, with its line.
pub fn parse_months(text: &str) -> Result<Normals, MonthsError> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let mut months: [Option<(f64, f64, Option<f64>)>; 12] = [None; 12];
    let mut n_columns = None;
    for (idx, record) in reader.records().enumerate() {
        let record = record.map_err(|error| MonthsError::Text(error.to_string()))?;
        let line = record.position().map_or(idx as u64 + 1, csv::Position::line);
        let is_heading = idx == 0 && record.get(0).is_some_and(|name| name.eq_ignore_ascii_case("month"));
        if is_heading {
            continue;
        }
        if !(3..=4).contains(&record.len()) || *n_columns.get_or_insert(record.len()) != record.len() {
            return Err(MonthsError::NFields { line, n: record.len() });
        }
        let field = |at: usize| record.get(at).unwrap_or_default();
        let month = month_of(field(0)).ok_or_else(|| MonthsError::Month { line, text: cut(field(0), N_QUOTED) })?;
        let number = |at: usize, column: &'static str| {
            let value = field(at).parse().ok().filter(|value: &f64| value.is_finite());
            value.ok_or_else(|| MonthsError::Number { line, column, text: cut(field(at), N_QUOTED) })
        };
        let rain = if record.len() == 4 { Some(number(3, "rain")?) } else { None };
        let values = (number(1, "tmin")?, number(2, "tmax")?, rain);
        let (Some(place), Some(name)) = (months.get_mut(month), MONTH_NAMES.get(month)) else { continue };
        if place.replace(values).is_some() {
            return Err(MonthsError::Twice { line, month: name });
        }
    }
    let names = MONTH_NAMES.iter().zip(&months).filter(|(_, values)| values.is_none());
    let months_missing: Vec<&'static str> = names.map(|(name, _)| *name).collect();
    if !months_missing.is_empty() {
        return Err(MonthsError::Missing { months: months_missing });
    }
    let list = |value: &dyn Fn((f64, f64, Option<f64>)) -> f64| -> Vec<f64> {
        months.iter().flatten().map(|month| value(*month)).collect()
    };
    let rain_mm = (n_columns == Some(4)).then(|| list(&|month| month.2.unwrap_or_default()));
    let (tmin_c, tmax_c) = (list(&|month| month.0), list(&|month| month.1));
    Ok(Normals::from_lists(&tmin_c, &tmax_c, rain_mm.as_deref(), DEFAULT_SPREAD_C)?)
}

/// Place of a month, from 0, by its number, its English name or the first three letters or more of it.
fn month_of(text: &str) -> Option<usize> {
    if let Ok(number) = text.parse::<usize>() {
        return number.checked_sub(1).filter(|idx| *idx < 12);
    }
    let text = text.to_ascii_lowercase();
    (text.len() >= 3).then(|| MONTH_NAMES.iter().position(|name| name.to_ascii_lowercase().starts_with(&text)))?
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    fn text(rain: bool) -> String {
        let rain = if rain { ",50.5" } else { "" };
        let rows: Vec<String> = (1..=12).map(|month| format!("{month},{month},{}{rain}\n", month + 8)).collect();
        rows.concat()
    }

    #[test]
    fn twelve_rows_in_any_order_with_or_without_names_and_rain() {
        let normals = parse_months(&format!("month,tmin,tmax,rain\n{}", text(true))).unwrap();
        assert_eq!((normals.tmin_c[6], normals.tmax_c[11]), (7.0, 20.0));
        assert_eq!(normals.rain_mm, Some([50.5; 12]));
        let rows = text(false);
        let reversed = rows.lines().rev().collect::<Vec<_>>().join("\n");
        let normals = parse_months(&reversed.replace("3,3,", "March , 3 ,").replace("9,9,", "sept,9,")).unwrap();
        assert_eq!((normals.tmin_c[2], normals.rain_mm), (3.0, None));
    }

    #[test]
    fn what_is_wrong_is_said_with_its_line() {
        for (right, wrong, message) in [
            ("4,4,12,50.5", "4,4", "line 4: 2 values; each line is"),
            ("4,4,12,50.5", "4,4,12", "line 4: 3 values; each line is"),
            ("5,5,13", "13,5,13", "line 5: `13` is not a month"),
            ("5,5,13", "ma,5,13", "line 5: `ma` is not a month"),
            ("5,5,13", "4,5,13", "line 5: April is there twice"),
            ("6,6,14", "6,six,14", "line 6: tmin `six` is not a number"),
            ("6,6,14", "6,NaN,14", "line 6: tmin `NaN` is not a number"),
            ("12,12,20,50.5\n", "", "December is missing; give all twelve"),
            ("8,8,16", "8,16,8", "tmin_c 16 is not below tmax_c 8 in August"),
            ("8,8,16", "8,8,99", "tmax_c: 99 for August is outside"),
        ] {
            let whole = text(true);
            assert!(whole.contains(right), "{right}");
            let error = parse_months(&whole.replacen(right, wrong, 1)).unwrap_err().to_string();
            assert!(error.starts_with(message), "{error}");
        }
        assert!(parse_months("").unwrap_err().to_string().starts_with("January, February"));
    }
}
