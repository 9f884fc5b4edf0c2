//! Any command by a few letters of its title, sentence or key.

use nucleo_matcher::pattern::{CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher, Utf32Str};
use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::garden::limits::NAME_CHARS;
use crate::tui::context::Context;
use crate::tui::keys::{Act, COMMANDS, Front, Key, Row};
use crate::tui::scene::Scene;
use crate::tui::view::View;
use crate::tui::widgets::line::Line;
use crate::tui::widgets::{paint, text};

/// The command finder.
#[derive(Debug, Clone)]
pub struct Finder {
    letters: Line,
    row: usize,
}

impl Default for Finder {
    fn default() -> Self {
        Self { letters: Line::new("", NAME_CHARS), row: 0 }
    }
}

impl Finder {
    fn matches(&self, view: &View) -> Vec<&'static Row> {
        let rows: Vec<&'static Row> = COMMANDS.iter().filter(|row| row.works_on(view.screen)).collect();
        let letters = self.letters.value().trim();
        if letters.is_empty() {
            return rows;
        }
        let pattern = Pattern::parse(letters, CaseMatching::Ignore, Normalization::Smart);
        let mut matcher = Matcher::new(Config::DEFAULT);
        let mut buffer = Vec::new();
        let mut scored: Vec<(u32, &'static Row)> = rows
            .into_iter()
            .filter_map(|row| {
                let title = pattern.score(Utf32Str::new(row.title, &mut buffer), &mut matcher).map(|score| score * 3);
                let words = format!("{} {} {}", row.title, row.sentence, row.keys_words(true));
                let sentence = pattern.score(Utf32Str::new(&words, &mut buffer), &mut matcher);
                let key = row.keys.iter().any(|key| key.words(true) == letters).then_some(10_000);
                key.or(title).max(sentence).map(|score| (score, row))
            })
            .collect();
        // Scattered letters count only if no word begins with what was typed; words of titles come first.
        let wanted: Vec<String> = letters.split_whitespace().map(str::to_lowercase).collect();
        let begins = |words: &str| {
            let words = words.to_lowercase();
            let words: Vec<&str> = words.split(|c: char| !c.is_alphanumeric()).collect();
            wanted.iter().all(|wanted| words.iter().any(|word| word.starts_with(wanted.as_str())))
        };
        let rank = |row: &Row| {
            if row.keys.iter().any(|key| key.words(true) == letters) || begins(row.title) {
                0
            } else {
                1 + u8::from(!begins(&format!("{} {}", row.title, row.sentence)))
            }
        };
        if scored.iter().any(|(_, row)| rank(row) < 2) {
            scored.retain(|(_, row)| rank(row) < 2);
        }
        scored.sort_by_key(|(score, row)| (rank(row), std::cmp::Reverse(*score)));
        scored.into_iter().map(|(_, row)| row).collect()
    }

    /// Types, walks, runs.
    pub fn key(&mut self, act: Option<Act>, key: Key, cx: &mut Context<'_>) -> After {
        match act {
            Some(Act::Back) => return After::Close,
            Some(Act::Take) => {
                let chosen = self.matches(cx.view).get(self.row).copied();
                if let Some(row) = chosen {
                    match row.hindrance(cx.session, cx.view) {
                        Some(why) => cx.view.complain(format!("{}: {why}", row.title)),
                        None => return After::Run(row.command),
                    }
                }
                return After::Close;
            }
            Some(Act::Down) => self.row = (self.row + 1).min(self.matches(cx.view).len().saturating_sub(1)),
            Some(Act::Up) => self.row = self.row.saturating_sub(1),
            Some(Act::RubOut) if self.letters.value().is_empty() => return After::Close,
            _ if cx.type_into(&mut self.letters, key) => self.row = 0,
            _ => {}
        }
        After::Stay
    }

    /// Takes pasted text.
    pub fn paste(&mut self, pasted: &str, cx: &mut Context<'_>) {
        cx.paste_into(&mut self.letters, pasted);
        self.row = 0;
    }

    /// Draws the list.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { session, view, theme, signs, .. } = scene;
        let inside =
            paint::layer_box(frame.buffer_mut(), area, (76, area.height.min(18)), "Find a command", theme, signs);
        if inside.height < 2 {
            return;
        }
        let buf = frame.buffer_mut();
        paint::put(buf, inside, inside.x + 1, inside.y, ":", theme.key());
        let (letters, cursor) = self.letters.visible(usize::from(inside.width.saturating_sub(4)));
        paint::put(buf, inside, inside.x + 3, inside.y, &letters, theme.plain());
        let rows = self.matches(view);
        let list = Rect { y: inside.y + 1, height: inside.height - 1, ..inside };
        let top = paint::scroll_top(self.row, rows.len(), usize::from(list.height));
        for ((idx, row), y) in rows.iter().enumerate().skip(top).zip(list.top()..list.bottom()) {
            let hindered = row.hindrance(session, view);
            let style = match (idx == self.row, hindered) {
                (true, _) => theme.selected(),
                (false, Some(_)) => theme.faint(),
                (false, None) => theme.plain(),
            };
            let keys = row.keys.first().map(|key| key.words(signs.is_ascii)).unwrap_or_default();
            let sentence = hindered.map_or_else(|| row.sentence.to_owned(), |why| format!("not now: {why}"));
            let words =
                format!(" {} {} {sentence}", text::fill(&keys, 9, ""), text::fill(row.title, 17, signs.ellipsis));
            paint::put_filled(buf, paint::line_of(list, y), &words, style, signs);
        }
        paint::scrollbar(buf, list, top, rows.len(), scene);
        let cursor = cursor.saturating_add(inside.x + 3);
        if cursor < inside.right() {
            frame.set_cursor_position((cursor, inside.y));
        }
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Finder, Front::Line]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::keys::Command;
    use crate::tui::view::{Options, Screen};
    use crate::units::Week;

    fn found(letters: &str, screen: Screen) -> Vec<Command> {
        let today = chrono::NaiveDate::from_ymd_opt(2027, 6, 14).unwrap();
        let mut view = View::new(Week::of(today), Options::default());
        view.screen = screen;
        let mut finder = Finder::default();
        finder.letters.set(letters);
        finder.matches(&view).iter().map(|row| row.command).collect()
    }

    #[test]
    fn words_that_begin_so_stand_alone_and_those_of_titles_come_first() {
        // The sentence of redo contains "undone".
        assert_eq!(found("undo", Screen::Ground), [Command::Undo, Command::Redo]);
        assert_eq!(found("save as", Screen::Ground)[0], Command::SaveAs);
        assert_eq!(found("u", Screen::Ground)[0], Command::Undo);
    }

    #[test]
    fn letters_that_begin_no_word_are_looked_for_scattered() {
        assert!(found("intplnt", Screen::Bed).contains(&Command::Interplant));
    }
}
