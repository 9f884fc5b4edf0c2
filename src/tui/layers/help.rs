//! The keys of this screen, from the table of commands.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::{After, Desk};
use crate::tui::keys::{COMMANDS, Group, Key};
use crate::tui::scene::Scene;
use crate::tui::signs::Signs;
use crate::tui::widgets::{paint, text};

/// The help layer.
#[derive(Debug, Clone, Default)]
pub struct Help {
    top: usize,
}

impl Help {
    /// Scrolls or closes.
    pub fn key(&mut self, key: Key, _desk: &mut Desk<'_>) -> After {
        match key {
            Key::Down | Key::Char('j') => self.top += 1,
            Key::Up | Key::Char('k') => self.top = self.top.saturating_sub(1),
            Key::PageDown | Key::Char(' ' | '}') => self.top += 12,
            Key::PageUp | Key::Char('{') => self.top = self.top.saturating_sub(12),
            Key::Home => self.top = 0,
            _ => return After::Close,
        }
        self.top = self.top.min(COMMANDS.len() + 10);
        After::Stay
    }

    /// Draws the list.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { session, view, theme, signs } = scene;
        let title = format!("Keys of {}", view.screen.title());
        let buf = frame.buffer_mut();
        let inside = paint::layer_box(buf, area, (96, area.height), &title, theme, signs);
        let mut lines: Vec<(String, String, Option<&str>)> = Vec::new();
        let mut group: Option<Group> = None;
        for row in COMMANDS.iter().filter(|row| row.works_on(view.screen)) {
            if group != Some(row.group) {
                if group.is_some() {
                    lines.push((String::new(), String::new(), None));
                }
                group = Some(row.group);
                lines.push((row.group.title().to_owned(), String::new(), None));
            }
            lines.push((row.keys_words(signs.is_ascii), row.sentence.to_owned(), row.hindrance(session, view)));
        }
        lines.push((String::new(), String::new(), None));
        for (sign, words) in [
            (signs.breach, "breach: against a rule"),
            (signs.caution, "caution: think twice"),
            (signs.note, "note: worth knowing"),
        ] {
            lines.push((sign.to_owned(), words.to_owned(), None));
        }
        let height = usize::from(inside.height);
        let top = self.top.min(lines.len().saturating_sub(height));
        for (line, y) in lines.iter().skip(top).zip(inside.top()..inside.bottom()) {
            let (keys, sentence, hindered) = line;
            if sentence.is_empty() {
                paint::put(buf, inside, inside.x + 1, y, keys, theme.heading());
                continue;
            }
            paint::put(buf, inside, inside.x + 2, y, keys, theme.key());
            let room = usize::from(inside.width).saturating_sub(17);
            let words = match hindered {
                Some(why) => format!("{sentence} (not now: {why})"),
                None => sentence.clone(),
            };
            let style = if hindered.is_some() { theme.faint() } else { theme.plain() };
            paint::put(buf, inside, inside.x + 16, y, &text::cut(&words, room, signs.ellipsis), style);
        }
        paint::scrollbar(buf, inside, top, lines.len(), scene);
        if lines.len() > top + height && inside.height > 0 {
            let more = format!(" {} more lines below ", lines.len() - top - height);
            paint::put(buf, area, inside.x + 2, inside.bottom(), &more, theme.faint());
        }
    }

    /// Its keys.
    pub fn hint(&self, _signs: &Signs) -> String {
        "Up Down scroll   any other key closes".to_owned()
    }
}
