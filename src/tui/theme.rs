//! Styles, asked for by meaning. Colours are sixteen-colour names over the terminal's own background;
//! the colourless theme is made of modifiers. Signs and words always say the same as a colour.

use ratatui::style::{Color, Modifier, Style};

use crate::garden::Severity;

/// The styles.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Theme {
    has_colour: bool,
}

impl Theme {
    /// The theme asked for.
    pub fn of(has_colour: bool) -> Self {
        Self { has_colour }
    }

    fn coloured(self, colour: Color, otherwise: Modifier) -> Style {
        if self.has_colour { Style::new().fg(colour) } else { Style::new().add_modifier(otherwise) }
    }

    /// Running text.
    pub fn plain(self) -> Style {
        Style::new()
    }

    /// Less important text.
    pub fn faint(self) -> Style {
        self.coloured(Color::DarkGray, Modifier::DIM)
    }

    /// Headings.
    pub fn heading(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    /// Top and bottom line.
    pub fn bar(self) -> Style {
        if self.has_colour {
            Style::new().fg(Color::Black).bg(Color::Gray)
        } else {
            Style::new().add_modifier(Modifier::REVERSED)
        }
    }

    /// A key on the bottom line.
    pub fn key(self) -> Style {
        self.coloured(Color::Cyan, Modifier::BOLD).add_modifier(Modifier::BOLD)
    }

    /// What is selected.
    pub fn selected(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    /// What is selected while a layer is in front.
    pub fn selected_behind(self) -> Style {
        Style::new().add_modifier(Modifier::UNDERLINED)
    }

    /// A frame around the selection.
    pub fn frame(self, is_selected: bool) -> Style {
        if is_selected { self.coloured(Color::Cyan, Modifier::BOLD).add_modifier(Modifier::BOLD) } else { self.faint() }
    }

    /// A finding: in the colour of the text, heavier the graver it is, since hues tell plantings apart.
    pub fn severity(self, severity: Severity) -> Style {
        match severity {
            Severity::Breach => Style::new().add_modifier(Modifier::BOLD),
            Severity::Caution => Style::new(),
            Severity::Note => Style::new().add_modifier(Modifier::DIM),
        }
    }

    /// Something that could not be done.
    pub fn trouble(self) -> Style {
        self.coloured(Color::LightRed, Modifier::BOLD).add_modifier(Modifier::BOLD)
    }

    /// Something that was done.
    pub fn done(self) -> Style {
        self.coloured(Color::Cyan, Modifier::BOLD)
    }

    /// The nth planting of a bed: blue, orange (yellow), cyan, magenta, white by turns; letters tell them apart without colour.
    pub fn planting(self, n: usize) -> Style {
        const TURNS: [Color; 5] = [Color::LightBlue, Color::Yellow, Color::Cyan, Color::Magenta, Color::White];
        if self.has_colour { Style::new().fg(TURNS[n % TURNS.len()]) } else { Style::new() }
    }

    /// The week looked at.
    pub fn this_week(self) -> Style {
        Style::new().add_modifier(Modifier::UNDERLINED)
    }

    /// A field being filled in.
    pub fn field(self, is_focused: bool) -> Style {
        if is_focused { self.selected() } else { self.plain() }
    }
}
