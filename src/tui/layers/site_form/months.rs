//! A site's months as a grid: minimum, maximum and rain of each.
//!
//! ```text
//!             Jan  Feb  Mar  Apr  May  …
//!   min °C    0.3  0.2  1.2  2.6  5.2
//! > max °C    5.2 [5.6] 8.0 11.0 14.4
//!   rain mm   110   80   75   60   62
//! ```

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::climate::Normals;
use crate::tui::keys::{Act, Front, Key, act_for};
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::widgets::line::Pasted;
use crate::tui::widgets::paint;
use crate::words::decimal;

const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
/// Names of the rows in messages and on screen.
const ROWS: [(&str, &str); 3] = [("minimum", "min"), ("maximum", "max"), ("rain", "rain")];
/// Most characters of a figure.
pub const FIGURE_CHARS: usize = 5;
/// Cells of a row's label, and of a month.
const CELLS: (u16, u16) = (12, 5);
/// Lines it takes.
pub const LINES: u16 = 4;

/// What a key did to the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touched {
    /// A figure changed.
    Value,
    /// The cursor moved.
    Moved,
    /// The figure takes no more characters.
    Full,
    /// The cursor left the grid upwards.
    Above,
    /// The cursor left the grid downwards.
    Below,
    /// No use for the key.
    Pass,
}

/// The grid.
#[derive(Debug, Clone)]
pub struct Months {
    rows: [[String; 12]; 3],
    /// Row and month of the cursor; `None` while it is elsewhere.
    at: Option<(usize, usize)>,
    /// The cursor has just come to the figure, so that typing replaces it.
    is_fresh: bool,
}

/// Twelve values each: minima, maxima, rain if it is known.
pub type Lists = (Vec<f64>, Vec<f64>, Option<Vec<f64>>);

impl Months {
    /// The grid of known months.
    pub fn of(normals: &Normals) -> Self {
        let temperature = |value: f64| format!("{value:.1}");
        let rain = |month: usize| normals.rain_mm.map_or_else(String::new, |rain| format!("{:.0}", rain[month]));
        Self {
            rows: [normals.tmin_c.map(temperature), normals.tmax_c.map(temperature), std::array::from_fn(rain)],
            at: None,
            is_fresh: false,
        }
    }

    /// The grid of a site's own lists, as in the file.
    pub fn of_lists(tmin_c: &[f64], tmax_c: &[f64], rain_mm: Option<&[f64]>) -> Self {
        let row = |list: &[f64]| std::array::from_fn(|month| list.get(month).map_or_else(String::new, |v| decimal(*v)));
        Self { rows: [row(tmin_c), row(tmax_c), row(rain_mm.unwrap_or_default())], at: None, is_fresh: false }
    }

    /// Puts the cursor into the grid, from above or from below.
    pub fn enter(&mut self, from_above: bool) {
        self.at = Some((if from_above { 0 } else { ROWS.len() - 1 }, 0));
        self.is_fresh = true;
    }

    /// Whether the cursor is in it.
    pub fn is_entered(&self) -> bool {
        self.at.is_some()
    }

    /// Walks and types.
    pub fn key(&mut self, key: Key) -> Touched {
        let Some((row, month)) = self.at else { return Touched::Pass };
        let (is_first_row, is_last_row) = (row == 0, row + 1 == ROWS.len());
        let next = match (act_for(key, &[Front::Months]), month) {
            (Some(Act::Up), _) | (Some(Act::Previous), 0) if is_first_row => {
                self.at = None;
                return Touched::Above;
            }
            (Some(Act::Down), _) | (Some(Act::Next), 11) if is_last_row => {
                self.at = None;
                return Touched::Below;
            }
            (Some(Act::Up), _) => (row - 1, month),
            (Some(Act::Down), _) => (row + 1, month),
            (Some(Act::Left), _) => (row, month.saturating_sub(1)),
            (Some(Act::Right), _) => (row, (month + 1).min(11)),
            (Some(Act::Next), 11) => (row + 1, 0),
            (Some(Act::Next), _) => (row, month + 1),
            (Some(Act::Previous), 0) => (row - 1, 11),
            (Some(Act::Previous), _) => (row, month - 1),
            (Some(Act::First), _) => (row, 0),
            (Some(Act::Last), _) => (row, 11),
            _ => return self.edit(row, month, key),
        };
        self.at = Some(next);
        self.is_fresh = true;
        Touched::Moved
    }

    fn edit(&mut self, row: usize, month: usize, key: Key) -> Touched {
        let Some(figure) = self.rows.get_mut(row).and_then(|row| row.get_mut(month)) else { return Touched::Pass };
        match (act_for(key, &[Front::Months]), key) {
            (_, Key::Char(c)) if c.is_ascii_digit() || matches!(c, '.' | ',' | '-') => {
                if self.is_fresh {
                    figure.clear();
                }
                if figure.len() >= FIGURE_CHARS {
                    return Touched::Full;
                }
                figure.push(if c == ',' { '.' } else { c });
            }
            (Some(Act::RubOut), _) => {
                figure.pop();
            }
            (Some(Act::Clear), _) => figure.clear(),
            _ => return Touched::Pass,
        }
        self.is_fresh = false;
        Touched::Value
    }

    /// Takes those characters of pasted text that can be in a figure.
    pub fn paste(&mut self, pasted: &str) -> Pasted {
        let Some((row, month)) = self.at else { return Pasted::Nothing };
        let mut result = Pasted::Nothing;
        for c in pasted.chars().filter(|c| !c.is_control()) {
            match self.edit(row, month, Key::Char(c)) {
                Touched::Value => result = Pasted::Whole,
                Touched::Full => return Pasted::Cut,
                _ => {}
            }
        }
        result
    }

    /// The lists, or what is wrong with them.
    pub fn lists(&self) -> Result<Lists, String> {
        let row = |n: usize| -> Result<Vec<f64>, String> {
            let figures = self.rows.get(n).into_iter().flatten().zip(MONTHS);
            figures
                .map(|(figure, month)| {
                    figure.parse().map_err(|_| {
                        let name = ROWS.get(n).map_or("", |row| row.0);
                        if figure.is_empty() {
                            format!("the {name} of {month} is missing")
                        } else {
                            format!("the {name} of {month}, `{figure}`, is not a number")
                        }
                    })
                })
                .collect()
        };
        let has_rain = self.rows.get(2).is_some_and(|row| row.iter().any(|figure| !figure.is_empty()));
        Ok((row(0)?, row(1)?, if has_rain { Some(row(2)?) } else { None }))
    }

    /// Draws it.
    pub fn draw(&self, frame: &mut Frame, area: Rect, theme: Theme, signs: &Signs) {
        let buf = frame.buffer_mut();
        let x_of = |month: usize| area.x + CELLS.0 + u16::try_from(month).unwrap_or(0) * CELLS.1;
        for (month, name) in MONTHS.iter().enumerate() {
            paint::put(buf, area, x_of(month), area.y, &format!("{name:>4}"), theme.heading());
        }
        let mut cursor = None;
        for ((row, figures), y) in self.rows.iter().enumerate().zip(area.y + 1..area.bottom()) {
            let unit = if row == 2 { "mm" } else { signs.celsius };
            let pointer = if self.at.is_some_and(|at| at.0 == row) { signs.pointer } else { " " };
            paint::put(buf, area, area.x, y, pointer, theme.key());
            let label = format!("{} {unit}", ROWS.get(row).map_or("", |row| row.1));
            paint::put(buf, area, area.x + 2, y, &label, theme.plain());
            for (month, figure) in figures.iter().enumerate() {
                let is_here = self.at == Some((row, month));
                let style = theme.field(is_here && self.is_fresh);
                paint::put(buf, area, x_of(month), y, &format!("{figure:>4}"), style);
                if is_here {
                    cursor = Some((x_of(month) + 4, y));
                }
            }
        }
        if let Some(place) = cursor.filter(|place| area.contains((*place).into())) {
            frame.set_cursor_position(place);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(months: &mut Months, keys: &[Key]) {
        for key in keys {
            months.key(*key);
        }
    }

    #[test]
    fn figures_are_typed_over_walked_through_and_read() {
        let list: Vec<f64> = (0..12).map(f64::from).collect();
        let mut months = Months::of_lists(&list, &list.iter().map(|v| v + 8.5).collect::<Vec<_>>(), None);
        months.enter(true);
        typed(
            &mut months,
            &[Key::Char('-'), Key::Char('1'), Key::Char(','), Key::Char('5'), Key::Right, Key::Char('2')],
        );
        typed(&mut months, &[Key::Down, Key::End, Key::Backspace]);
        let (tmin, tmax, rain) = months.lists().unwrap();
        assert_eq!((&tmin[..3], tmax[0], tmax[11], rain), (&[-1.5, 2.0, 2.0][..], 8.5, 19.0, None));
        typed(&mut months, &[Key::Down, Key::Char('9')]);
        assert_eq!(months.lists().unwrap_err(), "the rain of Jan is missing");
        assert_eq!(months.key(Key::Down), Touched::Below);
        assert!(!months.is_entered());
        months.enter(true);
        assert_eq!(months.key(Key::Up), Touched::Above);
    }

    #[test]
    fn of_pasted_text_a_figure_takes_what_can_be_typed_into_it() {
        let list: Vec<f64> = (0..12).map(f64::from).collect();
        let mut months = Months::of_lists(&list, &list, None);
        assert_eq!(months.paste("4"), Pasted::Nothing);
        months.enter(true);
        assert_eq!(months.paste("-1,5 °C\n"), Pasted::Whole);
        assert_eq!(months.lists().unwrap().0[0].to_string(), "-1.5");
        assert_eq!(months.paste(&"1".repeat(1_000_000)), Pasted::Cut);
        assert_eq!(months.rows[0][0], "-1.51");
    }
}
