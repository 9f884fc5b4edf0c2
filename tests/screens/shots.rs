//! Snapshots of what is shown, and of the styles where they carry a meaning.

use crate::places::{LAYERS, Place, SCREENS};
use crate::sitting::{ASCII, COLOUR, NO_COLOUR, Sitting};

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

/// Weeks from 14 June to the middle of April and to the beginning of October.
const SEASONS: [(&str, &str); 3] = [("april", "{{"), ("june", ""), ("october", "}}}}")];

#[test]
fn ground_grows_from_april_to_october() {
    for (season, keys) in SEASONS {
        for size in [(80, 24), (200, 50)] {
            let mut sitting = Sitting::at_demo(COLOUR, size);
            sitting.keys("gB3<Enter>");
            sitting.keys(keys);
            let name = format!("ground_in_{season}_{}x{}", size.0, size.1);
            insta::assert_snapshot!(name, sitting.frame(size).backend());
        }
    }
}

#[test]
fn ground_in_ascii_without_colour() {
    for size in [(80, 24), (200, 50)] {
        let mut sitting = Sitting::at_demo(ASCII, size);
        sitting.keys("gB3<Enter>}");
        let buffer = sitting.buffer(size);
        assert!(buffer.content().iter().all(|cell| cell.symbol().is_ascii()));
        insta::assert_snapshot!(format!("ground_in_ascii_{}x{}", size.0, size.1), sitting.frame(size).backend());
    }
}

/// Signs of a card's bars, low to high.
const GAUGE: &str = " ▁▂▃▄▅▆▇█";

#[test]
fn the_leeks_on_their_card_never_shrink() {
    let mut sitting = Sitting::at_demo(NO_COLOUR, (80, 24));
    sitting.keys("gB3<Enter>");
    let mut before = 0;
    for _ in 0..30 {
        let text = format!("{}", sitting.frame((80, 24)).backend());
        let line = text.lines().find(|line| line.contains("Leek 256")).unwrap().to_owned();
        let sign = line[..line.find("Leek 256").unwrap()].chars().next_back().unwrap();
        let level = GAUGE.chars().position(|known| known == sign).unwrap();
        assert!(level >= before, "{line}");
        before = level;
        sitting.keys("]");
    }
    // The book sets clumps at 25 cm, here they stand at 30: 64 × 0.25² of 1.2 × 4.8 m are 69 %, the sixth of eight.
    assert_eq!(before, 6);
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
