//! No text of a garden, and nothing typed or pasted, reaches a screen as it should not.

use proptest::prelude::*;

use crate::places::{LAYERS, SCREENS};
use crate::sitting::{COLOUR, NO_COLOUR, Sitting, book};
use bedfellow::export::{ListOptions, PlantingList, planting_rows, planting_table, write_list};
use bedfellow::garden::{Accepted, Against, EntryId, Garden, HazardSeen, PlantingId};
use bedfellow::tui::{Input, Options};
use bedfellow::units::text::{is_unshowable, json_escaped, shown};

const DEMO: &str = include_str!("../../demo/walled-garden.ron");

/// Gardens tried: each is worked out and drawn on every screen and layer, which takes a debug build its time.
const N_GARDENS: u32 = 6;

/// Text with what terminals obey, what turns lines round, what nobody sees, and what is only wide or stacked.
fn strange() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("\u{1b}]0;owned\u{7}"),
        Just("\u{1b}[2J\u{1b}[31m"),
        Just("\u{9b}5n"),
        Just("\u{90}q\u{9c}"),
        Just("\r\n\t\u{8}\u{7f}\0"),
        Just("\u{202e}abc\u{2066}"),
        Just("\u{61c}\u{200e}\u{200f}"),
        Just("\u{200b}\u{2060}\u{feff}\u{ad}"),
        Just("\u{fff9}x\u{fffb}"),
        Just("\u{e0001}\u{e0041}\u{e007f}"),
        Just("\u{2028}\u{2029}"),
        Just("\u{200d}\u{200c}\u{fe0f}"),
        Just("👩\u{200d}🌾日本גזר क्\u{200d}ष"),
        Just("e\u{301}\u{301}\u{301}"),
        Just("=plain, \"words\""),
    ];
    let any = prop::char::any().prop_map(String::from);
    prop::collection::vec(prop_oneof![4 => piece.prop_map(str::to_owned), 1 => any], 1..5)
        .prop_map(|pieces| pieces.concat())
}

/// The demo garden with strange text in every one of its texts. Checks of the file would refuse some of it: here the
/// screens stand for themselves.
fn with_text(strange: &str) -> Garden {
    let mut garden = Garden::from_ron(DEMO, "demo").unwrap();
    // Behind the id, so that the ways to the screens still find their bed.
    let put = |text: &mut String| text.push_str(strange);
    put(&mut garden.name);
    put(&mut garden.site.currency);
    put(&mut garden.header_comment);
    for bed in &mut garden.beds {
        for text in [&mut bed.id, &mut bed.name, &mut bed.notes] {
            put(text);
        }
    }
    for planting in &mut garden.plantings {
        for text in [&mut planting.bed, &mut planting.variety, &mut planting.notes] {
            put(text);
        }
    }
    // Some crops that no book knows.
    for planting in garden.plantings.iter_mut().step_by(7) {
        put(&mut planting.crop);
    }
    for past in &mut garden.past {
        put(&mut past.bed);
    }
    for past in garden.past.iter_mut().step_by(3) {
        put(&mut past.what);
    }
    for seen in &mut garden.hazards_seen {
        for text in [&mut seen.bed, &mut seen.notes] {
            put(text);
        }
    }
    let bed = garden.beds[0].id.clone();
    let date = "2026-05-01".parse().unwrap();
    garden.hazards_seen.push(HazardSeen {
        id: EntryId::NONE,
        bed,
        hazard: format!("rot{strange}"),
        date,
        notes: strange.to_owned(),
    });
    for entry in &mut garden.soil_log {
        put(&mut entry.bed);
    }
    for accepted in &mut garden.accepted {
        put(&mut accepted.reason);
    }
    let planting = garden.plantings.first().map_or(PlantingId(1), |planting| planting.id);
    garden.accepted.push(Accepted {
        id: EntryId::NONE,
        rule: strange.to_owned(),
        planting,
        against: Against::Hazard(strange.to_owned()),
        reason: strange.to_owned(),
    });
    for household in &mut garden.households {
        put(&mut household.name);
    }
    for kind in &mut garden.box_kinds {
        put(&mut kind.name);
    }
    for expense in &mut garden.expenses {
        for text in [&mut expense.kind, &mut expense.notes] {
            put(text);
        }
    }
    for lot in &mut garden.seed_tin {
        for text in [&mut lot.crop, &mut lot.variety] {
            put(text);
        }
    }
    let mut leek = book().crop("leek").unwrap().clone();
    for text in [
        &mut leek.name,
        &mut leek.short_name,
        &mut leek.latin,
        &mut leek.calendar.bolting_note,
        &mut leek.keeping.conditions,
        &mut leek.spacing.source,
        &mut leek.calendar.source,
        leek.caution.get_or_insert_default(),
    ] {
        put(text);
    }
    leek.other_names.push(strange.to_owned());
    garden.own_crops.push(leek);
    garden.number_rows();
    garden
}

fn assert_shows(sitting: &Sitting, place: &str, size: (u16, u16)) {
    for cell in sitting.buffer(size).content() {
        let symbol = cell.symbol();
        assert!(!symbol.chars().any(is_unshowable), "{place} at {size:?} shows {symbol:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: N_GARDENS, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_a_garden_says_every_screen_and_layer_is_harmless(strange in strange(), pasted in strange()) {
        let ascii = Options { is_ascii: true, ..NO_COLOUR };
        for (options, size) in [(COLOUR, (200, 50)), (ascii, (80, 24))] {
            for place in SCREENS.iter().chain(&LAYERS) {
                let mut sitting = Sitting::at(with_text(&strange), options, size);
                place.go(&mut sitting);
                assert_shows(&sitting, place.name, size);
                // Typed and pasted into whatever takes text, then taken with Enter: what is said then is seen too.
                sitting.keys(&strange.replace('<', ""));
                sitting.input(&Input::Paste(pasted.clone()));
                assert_shows(&sitting, place.name, size);
                sitting.keys("<Enter>");
                assert_shows(&sitting, place.name, size);
            }
        }
    }

    #[test]
    fn whatever_a_garden_says_list_table_and_json_are_harmless(strange in strange()) {
        let sitting = Sitting::at(with_text(&strange), COLOUR, (80, 24));
        let plan = sitting.session.plan();
        let list = PlantingList::of_plan(plan, &ListOptions::default());
        let rows: Vec<_> = planting_rows(plan).collect();
        for text in [
            write_list(&list, false),
            write_list(&list, true),
            planting_table(&rows).unwrap().replace("\r\n", "\n"),
            json_escaped(serde_json::to_string(&list).unwrap()),
            json_escaped(serde_json::to_string(&rows).unwrap()),
        ] {
            let bad = text.lines().find(|line| line.chars().any(is_unshowable));
            prop_assert!(bad.is_none(), "{bad:?}");
            prop_assert!(text.lines().all(|line| shown(line) == line));
        }
        let json = serde_json::to_string(&rows).unwrap();
        let parsed = |json: &str| serde_json::from_str::<serde_json::Value>(json).unwrap();
        prop_assert!(parsed(&json_escaped(json.clone())) == parsed(&json), "escaped JSON says something else");
    }

    #[test]
    fn an_error_of_a_file_is_harmless(strange in strange(), at in 0_usize..4_000) {
        let mut text = DEMO.to_owned();
        let at = (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap();
        text.insert_str(at, &strange);
        if let Err(error) = Garden::from_ron(&text, &strange) {
            let message = error.to_string();
            prop_assert!(message.lines().all(|line| shown(line) == line), "{message:?}");
            prop_assert!(message.lines().count() < 20, "{message}");
        }
    }
}
