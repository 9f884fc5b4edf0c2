//! Snapshots of what is shown, and of the styles where they carry a meaning.

use crate::places::{LAYERS, Place, SCREENS};
use crate::sitting::{COLOUR, NO_COLOUR, Sitting};

fn shoot(places: &[Place], size: (u16, u16)) {
    for place in places {
        let mut sitting = Sitting::at_demo(COLOUR, size);
        place.go(&mut sitting);
        let name = format!("{}_{}x{}", place.name, size.0, size.1);
        insta::assert_snapshot!(name, sitting.frame(size).backend());
    }
}

#[test]
fn every_screen_at_80_by_24() {
    shoot(&SCREENS, (80, 24));
}

#[test]
fn every_screen_at_200_by_50() {
    shoot(&SCREENS, (200, 50));
}

#[test]
fn every_screen_at_the_least_size() {
    shoot(&SCREENS, bedfellow::tui::draw::LEAST);
}

#[test]
fn every_layer_at_80_by_24() {
    shoot(&LAYERS, (80, 24));
}

#[test]
fn every_layer_at_200_by_50() {
    shoot(&LAYERS, (200, 50));
}

#[test]
fn selection_and_findings_are_told_with_and_without_colour() {
    for place in SCREENS.iter().filter(|place| ["ground", "findings"].contains(&place.name)) {
        for (options, look) in [(COLOUR, "colour"), (NO_COLOUR, "no_colour")] {
            let mut sitting = Sitting::at_demo(options, (80, 24));
            place.go(&mut sitting);
            let buffer = sitting.buffer((80, 24));
            insta::assert_snapshot!(format!("{}_styles_{look}", place.name), format!("{buffer:?}"));
        }
    }
}

#[test]
fn without_colour_no_cell_has_any() {
    use ratatui::style::Color;
    for place in SCREENS.iter().chain(&LAYERS) {
        let mut sitting = Sitting::at_demo(NO_COLOUR, (80, 24));
        place.go(&mut sitting);
        let buffer = sitting.buffer((80, 24));
        assert!(
            buffer.content().iter().all(|cell| cell.fg == Color::Reset && cell.bg == Color::Reset),
            "{}",
            place.name
        );
    }
}
