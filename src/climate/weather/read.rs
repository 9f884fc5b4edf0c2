//! Reading a weather file's text: what is mended, and said, and what is refused, with its line.

use std::borrow::Cow;
use std::fmt;

use chrono::{Datelike, NaiveDate};

use super::fields::{Reading, date, reading, split};
use super::{Weather, WeatherDay, WeatherError};
use crate::garden::limits;
use crate::units::text::{cut, nearest};

/// Missing days in a row that are filled in between their neighbours (starting value: a week's holiday).
pub const MOST_FILLED_DAYS: i64 = 7;

/// Coldest and hottest air that is believed, °C: beyond the range of any place with a garden. Measured on earth at most 56.7
/// (Death Valley 1913) and at least -89.2 (Vostok 1983; World Meteorological Organization archive of extremes).
pub const BELIEVED_C: (f64, f64) = (-70.0, 57.0);

/// Most rain of a day that is believed, mm (the record is 1825 mm, La Réunion 1966; WMO archive of extremes).
pub const MOST_RAIN_MM_DAY: f64 = 1_900.0;

/// Most characters of a faulty field that a message quotes.
const N_QUOTED: usize = 30;

/// Longest column name, in bytes, that is compared with the known ones.
const NAME_BYTES: usize = 200;

/// Most dates that a repair names one by one.
const N_NAMED: usize = 3;

/// What was read, and what was repaired on the way, in words.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherRead {
    /// The records.
    pub weather: Weather,
    /// Repairs, one sentence each, in the order in which they were made.
    pub repairs: Vec<String>,
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WeatherFault {
    /// A column that must be there is not.
    #[error("no column `{name}` among {found}; the first line names the columns: date,tmin,tmax,rain")]
    NoColumn {
        /// Its name.
        name: &'static str,
        /// The names found.
        found: String,
    },
    /// Two columns for one thing.
    #[error("two columns for {name}: `{first}` and `{second}`; keep one")]
    ColumnTwice {
        /// What they are for.
        name: &'static str,
        /// One name.
        first: String,
        /// The other.
        second: String,
    },
    /// More or fewer fields than columns.
    #[error(
        "{n_found} values for {n_wanted} columns{}",
        if *n_found > *n_wanted { "; if 12.5 is written 12,5, separate the values with semicolons" } else { "" }
    )]
    NFields {
        /// Fields of the line.
        n_found: usize,
        /// Columns.
        n_wanted: usize,
    },
    /// More days than are read.
    #[error("there are more than {most} days; keep the last {most} or fewer", most = limits::N_WEATHER_DAYS)]
    TooManyDays,
    /// Not a date.
    #[error("`{0}` is not a date; write dates as 2027-03-15")]
    Date(String),
    /// A year out of reach.
    #[error("the year {0} is outside {least} to {greatest}", least = limits::YEAR.least, greatest = limits::YEAR.greatest)]
    Year(i32),
    /// Not a number.
    #[error("{column} `{text}` is not a number")]
    Number {
        /// The column.
        column: &'static str,
        /// What stands there.
        text: String,
    },
    /// Hotter or colder than any place on earth.
    #[error(
        "{column} {value} °C is {} than any place on earth{}",
        if *value > 0.0 { "hotter" } else { "colder" },
        if *is_like_fahrenheit { format!(", and so {} in the file; is it Fahrenheit? name the columns tmin_f and tmax_f, or convert them", days(*n_more)) } else { String::new() }
    )]
    Unbelievable {
        /// The column.
        column: &'static str,
        /// The value.
        value: f64,
        /// Whether the file looks like one in Fahrenheit.
        is_like_fahrenheit: bool,
        /// How many days more are like it.
        n_more: usize,
    },
    /// Rain that cannot be.
    #[error("rain {0} mm in a day is outside 0 to {MOST_RAIN_MM_DAY}")]
    Rain(f64),
    /// The minimum is above the maximum.
    #[error("tmin {tmin} is above tmax {tmax}; exchange or correct them")]
    Reversed {
        /// The minimum.
        tmin: f64,
        /// The maximum.
        tmax: f64,
    },
    /// A day that an earlier line has.
    #[error("{date} is on line {earlier_line} already; keep one of the two")]
    Twice {
        /// The day.
        date: NaiveDate,
        /// The earlier line.
        earlier_line: usize,
    },
}

fn days(n: usize) -> String {
    match n {
        0 => "is no other day".to_owned(),
        1 => "is 1 more day".to_owned(),
        _ => format!("are {n} more days"),
    }
}

const DATE: &str = "date";
const TMIN: &str = "tmin";
const TMAX: &str = "tmax";
const RAIN: &str = "rain";

/// Names under which each column is known, without their units.
const SYNONYMS: [(&str, &[&str]); 4] = [
    (DATE, &["date", "day", "time", "datum"]),
    (
        TMIN,
        &["tmin", "tempmin", "mintemp", "min", "minimum", "tn", "lowest", "low", "mintemperature", "temperaturemin"],
    ),
    (
        TMAX,
        &["tmax", "tempmax", "maxtemp", "max", "maximum", "tx", "highest", "high", "maxtemperature", "temperaturemax"],
    ),
    (RAIN, &["rain", "rainfall", "precip", "precipitation", "prcp", "rr"]),
];

/// Which column of the file holds what.
struct Columns {
    n: usize,
    date: usize,
    tmin: usize,
    tmax: usize,
    rain: Option<usize>,
    is_fahrenheit: bool,
    separator: char,
}

/// One line with a day in it.
struct Row {
    line: usize,
    date: NaiveDate,
    tmin_c: Option<f64>,
    tmax_c: Option<f64>,
    rain_mm: Option<f64>,
}

impl Weather {
    /// Reads the text of a file: a line of names (date, tmin, tmax and, if there is one, rain, in any order and case), then a line for each day,
    /// temperatures in °C, rain in mm.
    ///
    /// Mended and reported: days out of order, up to seven missing days in a row, decimal commas between
    /// semicolons or tabs, columns that are named as Fahrenheit, rain called a trace. Lines that are empty or begin with `#`, a byte order
    /// mark, Windows line ends and columns of other names are passed over.
    ///
    /// # Errors
    /// Anything else, with its line; longer gaps by their days.
    pub fn parse(text: &str) -> Result<WeatherRead, WeatherError> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut lines = text
            .lines()
            .enumerate()
            .map(|(idx, line)| (idx + 1, line.trim()))
            .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
        let (header_line, header) = lines.next().ok_or(WeatherError::Empty)?;
        let at_header = |fault| WeatherError::Line { line: header_line, fault };
        let columns = Columns::of(header).map_err(at_header)?;
        let mut repairs = Repairs::default();
        if columns.is_fahrenheit {
            repairs
                .said
                .push("temperatures are in Fahrenheit by the names of their columns and were converted".to_owned());
        }
        let mut rows = Vec::new();
        for (line, content) in lines {
            if rows.len() == limits::N_WEATHER_DAYS {
                return Err(WeatherError::Line { line, fault: WeatherFault::TooManyDays });
            }
            rows.push(columns.row(line, content, &mut repairs).map_err(|fault| WeatherError::Line { line, fault })?);
        }
        check_values(&rows)?;
        sort(&mut rows, &mut repairs)?;
        let weather = fill(&rows, &mut repairs)?;
        Ok(WeatherRead { weather, repairs: repairs.in_words() })
    }
}

impl Columns {
    fn of(header: &str) -> Result<Self, WeatherFault> {
        let separator = [';', '\t'].into_iter().find(|sign| header.contains(*sign)).unwrap_or(',');
        let mut places: [Option<(usize, String)>; 4] = [const { None }; 4];
        let (mut n, mut is_fahrenheit) = (0, false);
        for (at, name) in split(header, separator).enumerate() {
            n += 1;
            if name.len() > NAME_BYTES {
                continue;
            }
            let (bare, unit_is_fahrenheit) = bare_name(&name);
            let Some(which) = SYNONYMS.iter().position(|(_, known)| known.contains(&bare.as_str())) else { continue };
            if let Some((_, before)) = &places[which] {
                let (first, second) = (cut(before, N_QUOTED), cut(&name, N_QUOTED));
                return Err(WeatherFault::ColumnTwice { name: SYNONYMS[which].0, first, second });
            }
            places[which] = Some((at, name.into_owned()));
            is_fahrenheit |= unit_is_fahrenheit && matches!(SYNONYMS[which].0, TMIN | TMAX);
        }
        let place = |which: usize| places[which].as_ref().map(|(at, _)| *at);
        let need = |which: usize| {
            let name = SYNONYMS[which].0;
            place(which).ok_or_else(|| {
                let near = nearest(name, split(header, separator));
                let found = near.map_or_else(|| cut(header, 2 * N_QUOTED), |near| cut(&near, N_QUOTED));
                WeatherFault::NoColumn { name, found: format!("`{found}`") }
            })
        };
        let (date, tmin, tmax, rain) = (need(0)?, need(1)?, need(2)?, place(3));
        Ok(Self { n, date, tmin, tmax, rain, is_fahrenheit, separator })
    }

    fn row(&self, line: usize, content: &str, repairs: &mut Repairs) -> Result<Row, WeatherFault> {
        let wanted = [Some(self.date), Some(self.tmin), Some(self.tmax), self.rain];
        let mut fields = [const { Cow::Borrowed("") }; 4];
        let mut n_found = 0;
        for (at, field) in split(content, self.separator).enumerate() {
            n_found += 1;
            if let Some(which) = wanted.iter().position(|wanted| *wanted == Some(at)) {
                fields[which] = field;
            }
        }
        if n_found != self.n {
            return Err(WeatherFault::NFields { n_found, n_wanted: self.n });
        }
        let [date_text, tmin, tmax, rain] = &fields;
        let date = date(date_text).ok_or_else(|| WeatherFault::Date(cut(date_text, N_QUOTED)))?;
        if limits::YEAR.refusal(date.year()).is_some() {
            return Err(WeatherFault::Year(date.year()));
        }
        let mut number = |column: &'static str, text: &str| match reading(text) {
            Some(Reading::Number(number)) => Ok(Some(number)),
            Some(Reading::WithComma(number)) => {
                repairs.n_commas += 1;
                Ok(Some(number))
            }
            Some(Reading::Missing) => Ok(None),
            Some(Reading::Trace) if column == RAIN => {
                repairs.n_traces += 1;
                Ok(Some(0.0))
            }
            _ => Err(WeatherFault::Number { column, text: cut(text, N_QUOTED) }),
        };
        let celsius = |value: f64| if self.is_fahrenheit { (value - 32.0) / 1.8 } else { value };
        let tmin_c = number(TMIN, tmin)?.map(celsius);
        let tmax_c = number(TMAX, tmax)?.map(celsius);
        let rain_mm = self.rain.map_or(Ok(None), |_| number(RAIN, rain))?;
        Ok(Row { line, date, tmin_c, tmax_c, rain_mm })
    }
}

/// A column's name in small letters without spaces, signs and unit, and whether its unit is °F.
fn bare_name(name: &str) -> (String, bool) {
    let mut words: Vec<String> = name
        .split(|sign: char| !sign.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    let mut is_fahrenheit = false;
    if words.len() > 1
        && let Some(unit) = words.last()
        && matches!(unit.as_str(), "c" | "degc" | "celsius" | "f" | "degf" | "fahrenheit" | "mm")
    {
        is_fahrenheit = unit.contains('f');
        words.pop();
    }
    (words.concat(), is_fahrenheit)
}

/// Refuses impossible values, naming the line of the first; if a file is full of them, Fahrenheit is suspected.
fn check_values(rows: &[Row]) -> Result<(), WeatherError> {
    let (least, greatest) = BELIEVED_C;
    let beyond = |value: f64| !(value >= least && value <= greatest);
    let n_hot = rows.iter().filter(|row| row.tmax_c.or(row.tmin_c).is_some_and(|value| value > greatest)).count();
    for row in rows {
        let refuse = |fault| Err(WeatherError::Line { line: row.line, fault });
        for (column, value) in [(TMIN, row.tmin_c), (TMAX, row.tmax_c)] {
            if let Some(value) = value.filter(|value| beyond(*value)) {
                // As Fahrenheit it would be weather: 58 to 134 °F are 14 to 57 °C.
                let is_like_fahrenheit = value > greatest && !beyond((value - 32.0) / 1.8);
                let n_more = n_hot.saturating_sub(1);
                return refuse(WeatherFault::Unbelievable { column, value, is_like_fahrenheit, n_more });
            }
        }
        if let (Some(tmin), Some(tmax)) = (row.tmin_c, row.tmax_c)
            && tmin > tmax
        {
            return refuse(WeatherFault::Reversed { tmin, tmax });
        }
        if let Some(rain) = row.rain_mm
            && !(0.0..=MOST_RAIN_MM_DAY).contains(&rain)
        {
            return refuse(WeatherFault::Rain(rain));
        }
    }
    Ok(())
}

fn sort(rows: &mut [Row], repairs: &mut Repairs) -> Result<(), WeatherError> {
    let n_backward = rows.windows(2).filter(|pair| pair[1].date < pair[0].date).count();
    if n_backward > 0 {
        repairs.said.push("days were out of order and were sorted".to_owned());
        rows.sort_by_key(|row| (row.date, row.line));
    }
    let twice = rows.windows(2).filter(|pair| pair[0].date == pair[1].date).min_by_key(|pair| pair[1].line);
    twice.map_or(Ok(()), |pair| {
        let fault = WeatherFault::Twice { date: pair[0].date, earlier_line: pair[0].line };
        Err(WeatherError::Line { line: pair[1].line, fault })
    })
}

/// Lays the rows out day by day and fills short gaps by linear interpolation. Rows must be in order.
fn fill(rows: &[Row], repairs: &mut Repairs) -> Result<Weather, WeatherError> {
    // Days at either end on which nothing was measured are no gap.
    let known: Vec<(NaiveDate, f64, f64, usize)> =
        rows.iter().filter_map(|row| Some((row.date, row.tmin_c?, row.tmax_c?, row.line))).collect();
    let (Some(first), Some(last)) = (known.first(), known.last()) else { return Err(WeatherError::Empty) };
    let (first_date, last_date) = (first.0, last.0);
    let mut days = Vec::with_capacity((last_date - first_date).num_days() as usize + 1);
    let day_of = |tmin_c, tmax_c| WeatherDay { tmin_c, tmax_c, rain_mm: None };
    days.push(day_of(first.1, first.2));
    for pair in known.windows(2) {
        let ((from, tmin_from, tmax_from, _), (to, tmin_to, tmax_to, line)) = (pair[0], pair[1]);
        let n_steps = (to - from).num_days();
        let n_missing = n_steps - 1;
        if n_missing > 0 {
            let (gap_from, gap_to) = (from + chrono::Duration::days(1), to - chrono::Duration::days(1));
            if n_missing > MOST_FILLED_DAYS {
                return Err(WeatherError::Gap { line, from: gap_from, to: gap_to, n_days: n_missing });
            }
            repairs.filled.push((gap_from, gap_to, n_missing));
        }
        for step in 1..=n_steps {
            let share = step as f64 / n_steps as f64;
            days.push(day_of(tmin_from + (tmin_to - tmin_from) * share, tmax_from + (tmax_to - tmax_from) * share));
        }
    }
    for row in rows {
        let idx = usize::try_from((row.date - first_date).num_days()).ok();
        if let Some(day) = idx.and_then(|idx| days.get_mut(idx)) {
            day.rain_mm = row.rain_mm;
        }
    }
    if rows.iter().any(|row| row.rain_mm.is_some()) {
        repairs.n_without_rain = days.iter().filter(|day| day.rain_mm.is_none()).count();
    }
    Ok(Weather { first: first_date, days })
}

/// What was mended, counted while reading.
#[derive(Debug, Default)]
struct Repairs {
    said: Vec<String>,
    n_commas: usize,
    n_traces: usize,
    n_without_rain: usize,
    filled: Vec<(NaiveDate, NaiveDate, i64)>,
}

impl Repairs {
    fn in_words(self) -> Vec<String> {
        let mut words = self.said;
        if self.n_commas > 0 {
            words.push(format!(
                "{} written with a decimal comma and read as such",
                Count(self.n_commas, "number is", "numbers are")
            ));
        }
        if self.n_traces > 0 {
            words.push(format!("{} of rain counted as 0 mm", Count(self.n_traces, "trace", "traces")));
        }
        if !self.filled.is_empty() {
            let n_days = self.filled.iter().map(|(_, _, n)| *n).sum::<i64>() as usize;
            let mut named: Vec<String> = self
                .filled
                .iter()
                .take(N_NAMED)
                .map(|(from, to, n)| if *n == 1 { from.to_string() } else { format!("{from} to {to}") })
                .collect();
            if self.filled.len() > N_NAMED {
                named.push(Count(self.filled.len() - N_NAMED, "more gap", "more gaps").to_string());
            }
            let days = Count(n_days, "missing day", "missing days");
            words.push(format!("{days} filled in between the days around: {}", named.join(", ")));
        }
        if self.n_without_rain > 0 {
            words.push(format!("{} no rain recorded", Count(self.n_without_rain, "day has", "days have")));
        }
        words
    }
}

/// A number and its noun.
struct Count(usize, &'static str, &'static str);

impl fmt::Display for Count {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.0, if self.0 == 1 { self.1 } else { self.2 })
    }
}
