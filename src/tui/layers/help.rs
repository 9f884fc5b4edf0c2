//! The keys of this screen, from the table of commands.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::tui::context::Context;
use crate::tui::keys::{Act, COMMANDS, Front, Group, Key, LAYER_KEYS, hindrance, rows_of};
use crate::tui::scene::Scene;
use crate::tui::widgets::{paint, text};

/// The help layer.
#[derive(Debug, Clone, Default)]
pub struct Help {
    top: usize,
    /// The fronts whose keys are listed; empty for the keys of the screen.
    of: Vec<Front>,
}

/// Lines of a page.
const PAGE: usize = 12;

/// Fronts in forms and lists; their keys are listed after those of the screen.
const IN_FORMS: [Front; 6] = [Front::Fields, Front::Choice, Front::Figure, Front::Day, Front::Line, Front::Picker];

impl Help {
    /// The keys of a layer.
    pub fn of_layer(fronts: Vec<Front>) -> Self {
        Self { top: 0, of: fronts }
    }

    /// Scrolls or closes.
    pub fn key(&mut self, act: Option<Act>, _key: Key, _desk: &mut Context<'_>) -> After {
        match act {
            Some(Act::Down) => self.top += 1,
            Some(Act::Up) => self.top = self.top.saturating_sub(1),
            Some(Act::PageDown) => self.top += PAGE,
            Some(Act::PageUp) => self.top = self.top.saturating_sub(PAGE),
            Some(Act::First) => self.top = 0,
            _ => return After::Close,
        }
        // No further than there can be lines: those of both tables.
        self.top = self.top.min(COMMANDS.len() + LAYER_KEYS.len());
        After::Stay
    }

    /// The lines: keys, sentence (empty for a heading), why not now.
    fn lines<'a>(&self, scene: Scene<'a>) -> Vec<(String, String, Option<&'a str>)> {
        let Scene { session, view, signs, .. } = scene;
        let mut lines: Vec<(String, String, Option<&str>)> = Vec::new();
        let heading = |lines: &mut Vec<(String, String, Option<&str>)>, title: &str| {
            if !lines.is_empty() {
                lines.push((String::new(), String::new(), None));
            }
            lines.push((title.to_owned(), String::new(), None));
        };
        let of_front = |front: Front| {
            rows_of(front).map(move |row| {
                let why = hindrance(row.needs, session, view);
                (row.keys_words(signs.is_ascii), row.sentence.to_owned(), why)
            })
        };
        if !self.of.is_empty() {
            self.of.iter().for_each(|front| lines.extend(of_front(*front)));
            return lines;
        }
        let mut group: Option<Group> = None;
        for row in COMMANDS.iter().filter(|row| row.works_on(view.screen)) {
            if group != Some(row.group) {
                group = Some(row.group);
                heading(&mut lines, row.group.title());
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
        for front in IN_FORMS {
            heading(&mut lines, &format!("In {}", front.title()));
            lines.extend(of_front(front));
        }
        lines
    }

    /// Draws the list.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { view, theme, signs, .. } = scene;
        let title =
            if self.of.is_empty() { format!("Keys of {}", view.screen.title()) } else { "Keys here".to_owned() };
        let buf = frame.buffer_mut();
        let inside = paint::layer_box(buf, area, (96, area.height), &title, theme, signs);
        let lines = self.lines(scene);
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

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Help]
    }
}
