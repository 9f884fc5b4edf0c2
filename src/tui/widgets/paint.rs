//! Painting on a buffer without ever leaving it.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use ratatui::widgets::{
    Block, Clear, Scrollbar, ScrollbarOrientation, ScrollbarState, StatefulWidget as _, Widget as _,
};

use super::text;
use crate::tui::scene::Scene;
use crate::tui::signs::Signs;
use crate::units::text::shown;

/// Writes text at a place, made safe to show and cut to the area; returns the cells used.
pub fn put(buf: &mut Buffer, area: Rect, x: u16, y: u16, words: &str, style: Style) -> u16 {
    let area = area.intersection(*buf.area());
    if y < area.top() || y >= area.bottom() || x < area.left() || x >= area.right() {
        return 0;
    }
    let room = usize::from(area.right() - x);
    let (end, _) = buf.set_stringn(x, y, shown(words), room, style);
    end - x
}

/// Writes text over a whole line, cut with an ellipsis or padded.
pub fn put_filled(buf: &mut Buffer, line: Rect, words: &str, style: Style, signs: &Signs) {
    put(buf, line, line.x, line.y, &text::fill(words, usize::from(line.width), signs.ellipsis), style);
}

/// The line of an area at `y`; empty outside the area.
pub fn line_of(area: Rect, y: u16) -> Rect {
    cells_of(area, area.x, y, area.width)
}

/// Cells of a line of an area from a column on, clipped to the area.
pub fn cells_of(area: Rect, x: u16, y: u16, width: u16) -> Rect {
    Rect { x, y, width, height: 1 }.intersection(area)
}

/// Draws a frame around an area with a title in its top edge; returns the inside.
pub fn frame(buf: &mut Buffer, area: Rect, title: &str, style: Style, title_style: Style, signs: &Signs) -> Rect {
    if area.width < 2 || area.height < 2 {
        return Rect { width: 0, height: 0, ..area };
    }
    let mut block = Block::bordered().border_set(signs.border()).border_style(style);
    if !title.is_empty() && area.width > 6 {
        let words = text::cut(title, usize::from(area.width - 6), signs.ellipsis);
        // One cell of the edge is left before the title.
        block = block
            .title(Line::from_iter([Span::styled(signs.rule, style), Span::styled(format!(" {words} "), title_style)]));
    }
    let inside = block.inner(area);
    block.render(area, buf);
    inside
}

/// A rectangle of at most that size in the middle of an area.
pub fn centred(area: Rect, width: u16, height: u16) -> Rect {
    let (width, height) = (width.min(area.width), height.min(area.height));
    Rect { x: area.x + (area.width - width) / 2, y: area.y + (area.height - height) / 2, width, height }
}

/// Clears and frames a box in the middle of an area, for a layer; returns its inside.
pub fn layer_box(
    buf: &mut Buffer,
    area: Rect,
    size: (u16, u16),
    title: &str,
    theme: crate::tui::theme::Theme,
    signs: &Signs,
) -> Rect {
    let outer = centred(area, size.0, size.1);
    Clear.render(outer, buf);
    frame(buf, outer, title, theme.frame(true), theme.heading(), signs)
}

/// Shows in the right edge of a frame which part of a list is visible, unless all of it is.
pub fn scrollbar(buf: &mut Buffer, list: Rect, top: usize, n_lines: usize, scene: Scene<'_>) {
    let Scene { theme, signs, .. } = scene;
    let height = usize::from(list.height);
    if n_lines <= height {
        return;
    }
    let mut state = ScrollbarState::new(n_lines - height).position(top).viewport_content_length(height);
    let bar = Scrollbar::new(ScrollbarOrientation::VerticalRight)
        .begin_symbol(None)
        .end_symbol(None)
        .track_symbol(Some(signs.upright))
        .thumb_symbol(signs.scroll)
        .style(theme.frame(true));
    let edge = Rect { x: list.right(), width: 1, ..list }.intersection(*buf.area());
    bar.render(edge, buf, &mut state);
}

/// First line to draw so that `selected` of `n_lines` is visible in `height` lines.
pub fn scroll_top(selected: usize, n_lines: usize, height: usize) -> usize {
    if height == 0 || n_lines <= height {
        return 0;
    }
    selected.saturating_sub(height / 2).min(n_lines - height)
}

/// Replaces signs beyond ASCII that are left, from names in the garden and notes in the book, cell by cell.
pub fn to_ascii(buf: &mut Buffer) {
    for cell in &mut buf.content {
        if !cell.symbol().is_ascii() {
            let sign = crate::export::to_ascii(cell.symbol()).chars().next().unwrap_or('?');
            cell.set_char(sign);
        }
    }
}
