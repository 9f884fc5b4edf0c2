//! What screens and layers look like, on a garden in which every date is given: no snapshot here moves when growth reckons anew.
//!
//! What the program works out itself (days in a form, what could follow, the chart of a crop) is asserted in `claims.rs` instead.

use crate::places::{LAYERS, Place, SCREENS};
use crate::sitting::{ASCII, COLOUR, NO_COLOUR, Sitting};

const SMALL: (u16, u16) = (80, 24);
const LARGE: (u16, u16) = (200, 50);

/// Screens and layers of which one look tells more than a list of claims, and those whose division changes in a large window.
const SHOWN_SMALL: [&str; 20] = [
    "ground",
    "bed",
    "year",
    "findings",
    "changing",
    "moving",
    "help",
    "finder",
    "picker",
    "accepting",
    "new_bed",
    "past",
    "site",
    "site_months",
    "families",
    "confirm",
    "welcome",
    "file_changed",
    "what_differs",
    "versions",
];
const SHOWN_LARGE: [&str; 5] = ["ground", "bed", "year", "findings", "versions"];
const SHOWN_LEAST: [&str; 2] = ["ground", "bed"];

fn place(name: &str) -> &'static Place {
    SCREENS.iter().chain(&LAYERS).find(|place| place.name == name).unwrap()
}

fn shoot(names: &[&str], size: (u16, u16)) {
    for name in names {
        let mut sitting = Sitting::at_given(COLOUR, size);
        place(name).go(&mut sitting);
        insta::assert_snapshot!(format!("{name}_{}x{}", size.0, size.1), sitting.picture(size));
    }
}

#[test]
fn screens_and_layers_at_80_by_24() {
    shoot(&SHOWN_SMALL, SMALL);
}

#[test]
fn screens_at_200_by_50() {
    shoot(&SHOWN_LARGE, LARGE);
}

#[test]
fn screens_at_the_least_size() {
    shoot(&SHOWN_LEAST, bedfellow::tui::view::LEAST);
}

#[test]
fn ground_in_ascii_without_colour() {
    let mut sitting = Sitting::at_given(ASCII, SMALL);
    sitting.keys("gA2<Enter>");
    let buffer = sitting.buffer(SMALL);
    assert!(buffer.content().iter().all(|cell| cell.symbol().is_ascii()));
    insta::assert_snapshot!("ground_in_ascii_80x24", sitting.picture(SMALL));
}

#[test]
fn without_colour_no_cell_has_any() {
    use ratatui::style::Color;
    for place in SCREENS.iter().chain(&LAYERS) {
        let mut sitting = Sitting::at_given(NO_COLOUR, SMALL);
        place.go(&mut sitting);
        let buffer = sitting.buffer(SMALL);
        assert!(
            buffer.content().iter().all(|cell| cell.fg == Color::Reset && cell.bg == Color::Reset),
            "{}",
            place.name
        );
    }
}
