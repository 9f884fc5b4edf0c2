//! Top and bottom line.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::{Clear, Widget as _};

use super::{paint, text};
use crate::tui::keys::{COMMANDS, Front, hindrance, hints as layer_hints};
use crate::tui::scene::Scene;
use crate::tui::theme::Theme;
use crate::tui::view::{Screen, Tone};
use crate::units::text::shown;

/// Garden, screens, week, whether all is saved.
pub fn top(buf: &mut Buffer, area: Rect, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    let week = view.week;
    let day = |date: chrono::NaiveDate| date.format("%-d %b").to_string();
    let is_narrow = area.width < 100;
    let this = if week == crate::units::Week::of(session.today) && !is_narrow { " (this week)" } else { "" };
    let mut right = match session.keeping.mark() {
        // Where room is short, the mark replaces the end of the week.
        Some(mark) if is_narrow => format!("[{mark}] {week} {}", day(week.monday())),
        Some(mark) => format!("[{mark}] {week} {} {} {}{this}", day(week.monday()), signs.to, day(week.sunday())),
        None => format!("{week} {} {} {}{this}", day(week.monday()), signs.to, day(week.sunday())),
    };
    if session.is_unsaved() {
        right.push_str(" *");
    }
    let bar = theme.bar();
    paint::put_filled(buf, area, "", bar, signs);
    let right_x = area.right().saturating_sub(u16::try_from(text::width(&right)).unwrap_or(u16::MAX).saturating_add(1));
    let mut x = area.x + 1;
    for (n, screen) in Screen::ALL.iter().enumerate() {
        let is_current = *screen == view.screen;
        let style = if is_current {
            bar.patch(theme.heading()).add_modifier(ratatui::style::Modifier::UNDERLINED)
        } else {
            bar
        };
        let words = format!("{} {}", n + 1, if is_narrow { screen.short_title() } else { screen.title() });
        if x + u16::try_from(words.len()).unwrap_or(0) >= right_x {
            break;
        }
        x += paint::put(buf, area, x, area.y, &words, style) + 2;
    }
    let name = shown(&session.plan().garden().name);
    let room = right_x.saturating_sub(x + 2);
    if room > 8 {
        paint::put(buf, area, x + 1, area.y, &text::cut(&name, usize::from(room), signs.ellipsis), bar);
    }
    paint::put(buf, area, right_x.max(area.x), area.y, &right, bar);
}

/// A notice longer than the bottom line: over the last lines of the screen, at most a third of it.
pub fn long_notice(buf: &mut Buffer, area: Rect, scene: Scene<'_>) {
    let Scene { view, theme, signs, .. } = scene;
    let Some(notice) = view.notice.as_ref().filter(|notice| text::width(&notice.text) >= usize::from(area.width))
    else {
        return;
    };
    let cells = usize::from(area.width.saturating_sub(2));
    let mut lines = text::wrap(&notice.text, cells);
    let n_most = usize::from(area.height / 3).max(1);
    if lines.len() > n_most {
        lines.truncate(n_most);
        if let Some(last) = lines.last_mut() {
            *last = text::cut(&format!("{last} {}", signs.ellipsis), cells, signs.ellipsis);
        }
    }
    let height = u16::try_from(lines.len()).unwrap_or(1);
    let place = Rect { y: area.bottom().saturating_sub(height), height, ..area };
    Clear.render(place, buf);
    for (line, y) in lines.iter().zip(place.top()..place.bottom()) {
        let row = Rect { y, height: 1, ..place };
        paint::put_filled(buf, row, &format!(" {line}"), tone(theme, notice.tone), signs);
    }
}

fn tone(theme: Theme, tone: Tone) -> ratatui::style::Style {
    match tone {
        Tone::Done => theme.done(),
        Tone::Trouble => theme.trouble(),
    }
}

/// The notice; or else the keys of the front layer, given by its fronts; or else those of this screen.
pub fn bottom(buf: &mut Buffer, area: Rect, scene: Scene<'_>, fronts: Option<&[Front]>) {
    let Scene { session, view, theme, signs, .. } = scene;
    Clear.render(area, buf);
    if let Some(notice) = &view.notice {
        paint::put_filled(buf, area, &format!(" {}", notice.text), tone(theme, notice.tone), signs);
        return;
    }
    let mut hints: Vec<Hint> = match fronts {
        Some(fronts) => layer_hints(fronts, signs.is_ascii)
            .into_iter()
            .filter(|(row, _)| hindrance(row.needs, session, view).is_none())
            .map(|(row, keys)| Hint { place: row.bottom, keys, title: row.title })
            .collect(),
        None => COMMANDS
            .iter()
            .filter(|row| row.bottom > 0 && row.works_on(view.screen) && row.hindrance(session, view).is_none())
            .map(|row| {
                let keys = row.keys.first().map(|key| key.words(signs.is_ascii)).unwrap_or_default();
                Hint { place: row.bottom, keys, title: row.title }
            })
            .collect(),
    };
    hints.sort_by_key(|hint| hint.place);
    let mut room = usize::from(area.width).saturating_sub(1);
    let mut order: Vec<usize> = (0..hints.len()).collect();
    order.sort_by_key(|&idx| (hints[idx].place < LAST, hints[idx].place));
    let mut chosen = vec![false; hints.len()];
    for idx in order {
        let cells = hints[idx].cells();
        if cells <= room {
            room -= cells;
            chosen[idx] = true;
        }
    }
    let mut x = area.x + 1;
    for (hint, _) in hints.iter().zip(chosen).filter(|(_, is_chosen)| *is_chosen) {
        x += paint::put(buf, area, x, area.y, &hint.keys, theme.key()) + 1;
        x += paint::put(buf, area, x, area.y, hint.title, theme.plain()) + 2;
    }
}

/// Keys of the bottom line and what they do.
struct Hint {
    place: u8,
    keys: String,
    title: &'static str,
}

/// Place from which hints (help, commands, quit; what closes a layer) are always shown.
const LAST: u8 = 12;

impl Hint {
    /// Cells it takes, including the gap after it.
    fn cells(&self) -> usize {
        text::width(&self.keys) + text::width(self.title) + 3
    }
}
