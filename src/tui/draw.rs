//! Paints the whole frame from the garden and what is on the screen; changes neither.
//!
//! ```text
//! top line                   widgets/bars.rs
//! body                       screens/…, then the layers over it
//! bottom line                widgets/bars.rs, over more lines where what it says is longer
//! ```

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::layers::Layer;
use super::scene::{Scene, regions};
use super::screens;
use super::session::Session;
use super::ui::Ui;
use super::view::LEAST;
use super::widgets::{bars, paint, text};

/// Says which size is needed, in the longest words that fit on a line.
fn draw_least(buf: &mut Buffer, area: Rect, is_ascii: bool) {
    let size = format!("{}{}{}", LEAST.0, if is_ascii { "x" } else { "×" }, LEAST.1);
    let words = [format!("needs {size} or more"), format!("needs {size}"), size.clone()];
    let room = usize::from(area.width);
    match words.iter().find(|words| text::width(words) <= room) {
        Some(words) => {
            paint::put(buf, area, area.x, area.y, words, Style::new());
        }
        // Narrower than the figures: they run down the screen.
        None => {
            let signs: Vec<char> = size.chars().collect();
            for (line, y) in signs.chunks(room.max(1)).zip(area.top()..area.bottom()) {
                paint::put(buf, area, area.x, y, &line.iter().collect::<String>(), Style::new());
            }
        }
    }
}

/// Paints one frame.
pub fn draw(frame: &mut Frame, session: &Session, ui: &Ui) {
    let Ui { view, layers } = ui;
    let area = frame.area();
    if area.is_empty() {
        return;
    }
    if area.width < LEAST.0 || area.height < LEAST.1 {
        draw_least(frame.buffer_mut(), area, view.options.is_ascii);
        return;
    }
    let (top, body, bottom) = regions(area);
    let front = layers.last();
    let draft = front.and_then(Layer::draft);
    let scene = Scene { is_behind: front.is_some(), draft, ..Scene::of(session, view) };
    let (draw_body, _) = screens::face(view.screen);
    draw_body(frame, body, scene);
    bars::top(frame.buffer_mut(), top, scene);
    bars::bottom(frame.buffer_mut(), bottom, scene, front.map(Layer::fronts).as_deref());
    for layer in layers {
        layer.draw(frame, body, scene);
    }
    bars::long_notice(frame.buffer_mut(), area, scene);
    if view.options.is_ascii {
        paint::to_ascii(frame.buffer_mut());
    }
}

#[cfg(test)]
mod tests {
    use crate::tui::fixture::{garden, look_at, text};
    use crate::tui::view::Options;

    #[test]
    fn a_screen_too_small_says_the_least_size_whole() {
        let (session, ui) = look_at(garden(), Options::default());
        for (width, words) in [(39, "needs 40×12 or more"), (18, "needs 40×12"), (10, "40×12"), (5, "40×12")] {
            let screen = text(&session, &ui, width, 5);
            assert_eq!(screen.lines().next().map(str::trim_end), Some(words), "{width}");
        }
        let narrow: String = text(&session, &ui, 2, 5).split_whitespace().collect();
        assert_eq!(narrow, "40×12");
        let (session, ui) = look_at(garden(), Options { is_ascii: true, ..Options::default() });
        assert!(text(&session, &ui, 10, 5).starts_with("40x12"));
    }

    #[test]
    fn what_is_longer_than_the_bottom_line_is_said_whole_over_several_and_never_over_most_of_the_screen() {
        let (session, mut ui) = look_at(garden(), Options::default());
        let words = "not saved: the folder of the upper terrace that was named is not there any more; S saves under another name";
        ui.view.complain(words);
        for (width, height, n_lines) in [(80, 24, 2), (40, 12, 3), (200, 50, 1)] {
            let screen = text(&session, &ui, width, height);
            let last: Vec<&str> = screen.lines().skip(usize::from(height) - n_lines).map(str::trim).collect();
            assert_eq!(last.join(" "), words, "{width}x{height}");
        }
        ui.view.complain("never ending ".repeat(500));
        let screen = text(&session, &ui, 80, 24);
        let n_lines = screen.lines().filter(|line| line.contains("never ending")).count();
        assert_eq!((n_lines, screen.lines().last().unwrap().trim_end().ends_with('…')), (8, true));
    }
}
