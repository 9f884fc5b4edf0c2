//! No size of window is too strange.

use crate::places::{LAYERS, SCREENS};
use crate::sitting::{COLOUR, NO_COLOUR, Sitting};
use bedfellow::tui::Options;
use bedfellow::tui::keys::COMMANDS;
use bedfellow::tui::layers::Layer;

const STRANGE: [(u16, u16); 12] =
    [(0, 0), (1, 1), (3, 2), (0, 24), (80, 0), (20, 5), (39, 12), (40, 12), (41, 60), (300, 12), (79, 13), (500, 200)];

#[test]
fn every_screen_and_layer_survives_every_size() {
    let ascii = Options { is_ascii: true, ..NO_COLOUR };
    for place in SCREENS.iter().chain(&LAYERS) {
        for options in [COLOUR, ascii] {
            let mut sitting = Sitting::at_demo(options, (80, 24));
            place.go(&mut sitting);
            // The largest once is enough: it is slow where nothing is optimised.
            for size in STRANGE.into_iter().filter(|size| size.0 < 500 || options.is_ascii) {
                let buffer = sitting.buffer(size);
                assert_eq!(buffer.content().len(), usize::from(size.0) * usize::from(size.1));
                if options.is_ascii {
                    let strange = buffer.content().iter().find(|cell| !cell.symbol().is_ascii());
                    assert!(strange.is_none(), "{} at {size:?} shows {strange:?}", place.name);
                }
            }
        }
    }
}

#[test]
fn keys_are_taken_at_every_size() {
    for size in STRANGE.into_iter().filter(|size| size.0 < 500) {
        for place in SCREENS.iter().chain(&LAYERS) {
            let mut sitting = Sitting::at_demo(COLOUR, size);
            place.go(&mut sitting);
            sitting.keys("<Down><Down><Tab><Up>]]}<End>");
            sitting.buffer(size);
        }
    }
}

#[test]
fn a_garden_without_beds_has_every_screen() {
    for place in SCREENS.iter().chain(&LAYERS) {
        for size in [(80, 24), (40, 12), (200, 50)] {
            let mut sitting = Sitting::at_nothing(COLOUR, size);
            place.go(&mut sitting);
            sitting.buffer(size);
        }
    }
}

/// Every key on every screen, and Enter in whatever it opened.
#[test]
fn no_key_changes_a_garden_that_is_only_looked_at() {
    for why in [Sitting::is_open_elsewhere, Sitting::is_only_looked_at] {
        no_key_changes_it(why);
    }
}

fn no_key_changes_it(is_told_why: fn(&mut Sitting)) {
    let mut sitting = Sitting::at_demo(COLOUR, (80, 24));
    is_told_why(&mut sitting);
    sitting.keys("<Enter>");
    let before = sitting.session.plan().garden().clone();
    for screen in ['1', '2', '3', '4', '5'] {
        for row in COMMANDS {
            for key in row.keys {
                sitting.keys(&format!("<Esc><Esc>{screen}<Tab>"));
                sitting.key(*key);
                let is_form = |layer: &Layer| {
                    matches!(layer, Layer::PlantingForm(_) | Layer::BedForm(_) | Layer::PastForm(_) | Layer::Adjust(_))
                };
                assert!(!sitting.ui.layers.iter().any(is_form), "{:?} on {screen} opens a form", row.command);
                sitting.keys("<Enter>");
                assert!(!sitting.ui.layers.iter().any(is_form), "{:?} on {screen} leads to a form", row.command);
                sitting.keys("<Esc><Esc>");
            }
        }
    }
    assert_eq!(sitting.session.plan().garden(), &before);
    assert!(sitting.session.take_records().is_empty());
}
