//! Paints the whole frame from session and view; changes neither.
//!
//! ```text
//! top line                   widgets/bars.rs
//! body                       screens/…, then the layers over it
//! bottom line                widgets/bars.rs
//! ```

use ratatui::Frame;
use ratatui::layout::Rect;

use super::screens::{bed, book, findings, ground, year};
use super::session::Session;
use super::view::{Screen, View};
use super::widgets::{bars, paint};

/// Least size of any use.
pub const LEAST: (u16, u16) = (40, 12);

/// The regions of the whole screen: top line, body, bottom line.
pub fn regions(area: Rect) -> (Rect, Rect, Rect) {
    let top = Rect { height: area.height.min(1), ..area };
    let bottom_height = u16::from(area.height >= 2);
    let bottom = Rect { y: area.bottom() - bottom_height, height: bottom_height, ..area };
    let body = Rect { y: top.bottom(), height: area.height - top.height - bottom_height, ..area };
    (top, body, bottom)
}

/// Paints one frame.
pub fn draw(frame: &mut Frame, session: &Session, view: &View) {
    let area = frame.area();
    if area.is_empty() {
        return;
    }
    if area.width < LEAST.0 || area.height < LEAST.1 {
        let words = format!("needs {}x{} or more", LEAST.0, LEAST.1);
        paint::put(frame.buffer_mut(), area, area.x, area.y, &words, ratatui::style::Style::new());
        return;
    }
    let (top, body, bottom) = regions(area);
    match view.screen {
        Screen::Ground => ground::draw(frame, body, session, view),
        Screen::Bed => bed::draw(frame, body, session, view),
        Screen::Year => year::draw(frame, body, session, view),
        Screen::Book => book::draw(frame, body, session, view),
        Screen::Findings => findings::draw(frame, body, session, view),
    }
    bars::top(frame.buffer_mut(), top, session, view);
    bars::bottom(frame.buffer_mut(), bottom, session, view);
    for layer in &view.layers {
        layer.draw(frame, body, session, view);
    }
    if view.options.is_ascii {
        paint::to_ascii(frame.buffer_mut());
    }
}
