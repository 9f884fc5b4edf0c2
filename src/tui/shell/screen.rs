//! The terminal to draw on, its size kept within bounds.

use std::io::{Stdout, stdout};

use ratatui::backend::{Backend, ClearType, CrosstermBackend, WindowSize};
use ratatui::buffer::Cell;
use ratatui::layout::{Position, Size};
use rustix::termios::tcgetwinsize;

/// Most columns and rows that are drawn: some 20 times the area of real screens, and still cheap enough for a frame. A
/// terminal may report any size, and the cells of the largest would take hundreds of gigabytes.
pub const MOST: Size = Size { width: 1000, height: 500 };

/// The size assumed for a terminal that does not know its own, as on a serial line.
const UNKNOWN: Size = Size { width: 80, height: 24 };

/// The size that is drawn, and the terminal's own if that is larger.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Drawn {
    /// Columns and rows that are drawn.
    pub size: Size,
    /// What the terminal reports, if that is more.
    pub beyond: Option<Size>,
}

impl Drawn {
    /// What is drawn on a terminal of this size.
    fn of(told: Size) -> Self {
        if told.width == 0 || told.height == 0 {
            return Self { size: UNKNOWN, beyond: None };
        }
        let size = Size { width: told.width.min(MOST.width), height: told.height.min(MOST.height) };
        Self { size, beyond: (size != told).then_some(told) }
    }

    /// What is drawn on the terminal as it is now. It asks the terminal that is drawn on, which need not be the process's own.
    pub fn now() -> std::io::Result<Self> {
        let told = tcgetwinsize(stdout())?;
        Ok(Self::of(Size { width: told.ws_col, height: told.ws_row }))
    }
}

/// The terminal library's way of drawing, within bounds.
pub struct Within(CrosstermBackend<Stdout>);

impl Within {
    /// On the standard output.
    pub fn new() -> Self {
        Self(CrosstermBackend::new(stdout()))
    }
}

impl Backend for Within {
    type Error = std::io::Error;

    fn size(&self) -> std::io::Result<Size> {
        Ok(Drawn::now()?.size)
    }

    fn window_size(&mut self) -> std::io::Result<WindowSize> {
        Ok(WindowSize { columns_rows: self.size()?, pixels: Size::ZERO })
    }

    fn draw<'a, I>(&mut self, content: I) -> std::io::Result<()>
    where
        I: Iterator<Item = (u16, u16, &'a Cell)>,
    {
        self.0.draw(content)
    }

    fn append_lines(&mut self, n: u16) -> std::io::Result<()> {
        self.0.append_lines(n)
    }

    fn hide_cursor(&mut self) -> std::io::Result<()> {
        self.0.hide_cursor()
    }

    fn show_cursor(&mut self) -> std::io::Result<()> {
        self.0.show_cursor()
    }

    fn get_cursor_position(&mut self) -> std::io::Result<Position> {
        self.0.get_cursor_position()
    }

    fn set_cursor_position<P: Into<Position>>(&mut self, position: P) -> std::io::Result<()> {
        self.0.set_cursor_position(position)
    }

    fn clear(&mut self) -> std::io::Result<()> {
        self.0.clear()
    }

    fn clear_region(&mut self, clear_type: ClearType) -> std::io::Result<()> {
        self.0.clear_region(clear_type)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Backend::flush(&mut self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_drawn_as_it_is_within_bounds() {
        let drawn = |width, height| {
            let drawn = Drawn::of(Size { width, height });
            (drawn.size.width, drawn.size.height, drawn.beyond.is_some())
        };
        assert_eq!(drawn(80, 24), (80, 24, false));
        assert_eq!(drawn(1, 1), (1, 1, false));
        assert_eq!(drawn(1000, 500), (1000, 500, false));
        assert_eq!(drawn(1001, 40), (1000, 40, true));
        assert_eq!(drawn(65535, 65535), (1000, 500, true));
        for (width, height) in [(0, 0), (0, 24), (80, 0)] {
            assert_eq!(drawn(width, height), (80, 24, false));
        }
    }
}
