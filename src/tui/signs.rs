//! The signs used in drawing: one set for terminals that have them, one in ASCII.

use ratatui::symbols::border;

use crate::garden::Severity;

/// A set of signs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Signs {
    /// Only ASCII.
    pub is_ascii: bool,
    /// A breach.
    pub breach: &'static str,
    /// A caution.
    pub caution: &'static str,
    /// A note.
    pub note: &'static str,
    /// Accepted.
    pub accepted: &'static str,
    /// Times, as in stations × clump.
    pub times: &'static str,
    /// From to.
    pub to: &'static str,
    /// An arrow.
    pub arrow: &'static str,
    /// Selection in a list.
    pub pointer: &'static str,
    /// Cut short.
    pub ellipsis: &'static str,
    /// A bar of the Year screen.
    pub bar: &'static str,
    /// First cell of a bar.
    pub bar_start: &'static str,
    /// The part of a bar in which it is picked.
    pub bar_pick: &'static str,
    /// Part of a bar in which it is picked in some years only.
    pub maybe_picked: &'static str,
    /// Weeks in which a planting stands in some years only.
    pub maybe_stands: &'static str,
    /// A month in which something is done.
    pub month: &'static str,
    /// Empty ground in the growing season.
    pub gap: &'static str,
    /// Ground of a bed with nothing on it.
    pub bare: &'static str,
    /// Ground of a bed by the share that is covered, a quarter each.
    pub shades: [&'static str; 4],
    /// A bar of one cell, an eighth each.
    pub gauge: [&'static str; 8],
    /// Horizontal rule.
    pub rule: &'static str,
    /// Vertical rule.
    pub upright: &'static str,
    /// Corners: top left, top right, bottom left, bottom right.
    pub corners: [&'static str; 4],
    /// The part of a list that is in sight, in its edge.
    pub scroll: &'static str,
    /// Degrees Celsius.
    pub celsius: &'static str,
    /// Between two clauses.
    pub dot: &'static str,
}

/// For terminals that have them.
pub const FULL: Signs = Signs {
    is_ascii: false,
    breach: "≡",
    caution: "=",
    note: "-",
    accepted: "✓",
    times: "×",
    to: "–",
    arrow: "→",
    pointer: "▸",
    ellipsis: "…",
    bar: "▒",
    bar_start: "▌",
    bar_pick: "█",
    maybe_picked: "▓",
    maybe_stands: "░",
    month: "■",
    gap: "·",
    bare: "·",
    shades: ["░", "▒", "▓", "█"],
    gauge: ["▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"],
    rule: "─",
    upright: "│",
    corners: ["┌", "┐", "└", "┘"],
    scroll: "█",
    celsius: "°C",
    dot: "·",
};

/// ASCII only.
pub const ASCII: Signs = Signs {
    is_ascii: true,
    breach: "#",
    caution: "=",
    note: "-",
    accepted: "v",
    times: "x",
    to: "-",
    arrow: "->",
    pointer: ">",
    ellipsis: "~",
    bar: "=",
    bar_start: "[",
    bar_pick: "#",
    maybe_picked: "+",
    maybe_stands: "-",
    month: "#",
    gap: ".",
    bare: ".",
    shades: ["-", "+", "*", "#"],
    gauge: [".", ":", "-", "=", "+", "*", "%", "#"],
    rule: "-",
    upright: "|",
    corners: ["+", "+", "+", "+"],
    scroll: "#",
    celsius: "C",
    dot: "|",
};

impl Signs {
    /// The set asked for.
    pub fn of(is_ascii: bool) -> &'static Self {
        if is_ascii { &ASCII } else { &FULL }
    }

    /// Edges and corners of a frame.
    pub fn border(&self) -> border::Set<'static> {
        let [top_left, top_right, bottom_left, bottom_right] = self.corners;
        border::Set {
            top_left,
            top_right,
            bottom_left,
            bottom_right,
            vertical_left: self.upright,
            vertical_right: self.upright,
            horizontal_top: self.rule,
            horizontal_bottom: self.rule,
        }
    }

    /// Sign of a severity.
    pub fn severity(&self, severity: Severity) -> &'static str {
        match severity {
            Severity::Breach => self.breach,
            Severity::Caution => self.caution,
            Severity::Note => self.note,
        }
    }
}
