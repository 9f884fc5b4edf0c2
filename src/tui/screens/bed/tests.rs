//! The Bed screen and the planting moved on it, by keys and by what is drawn.

use crate::garden::{Cover, Garden, Layout, PlantingId, Side};
use crate::tui::fixture::*;
use crate::tui::view::{Options, Shown};
use crate::units::Mm;

const SIZES: [(u16, u16); 8] = [(0, 0), (1, 1), (20, 5), (40, 12), (60, 16), (80, 24), (120, 30), (200, 50)];

fn plain() -> Options {
    Options::default()
}

#[test]
fn arrows_walk_beds_and_plantings() {
    let (mut session, mut ui) = look_at(garden(), plain());
    assert_eq!(ui.view.planting, Some(PlantingId(3)), "carrots went in first");
    type_keys(&mut session, &mut ui, &["Down"]);
    assert_eq!(ui.view.planting, Some(PlantingId(1)));
    type_keys(&mut session, &mut ui, &["Up", "Up"]);
    assert_eq!(ui.view.planting, Some(PlantingId(3)));
    type_keys(&mut session, &mut ui, &["Right"]);
    assert_eq!((ui.view.bed_idx, ui.view.planting), (1, None));
    type_keys(&mut session, &mut ui, &["End"]);
    assert_eq!((ui.view.bed_idx, ui.view.planting), (2, Some(PlantingId(4))));
    type_keys(&mut session, &mut ui, &["Right", "Home"]);
    assert_eq!(ui.view.bed_idx, 0);
}

#[test]
fn the_header_of_a_covered_bed_tells_of_the_air_there() {
    let mut covered = garden();
    covered.beds[0].cover = Cover::UnheatedTunnel;
    let (session, ui) = look_at(covered, plain());
    let header = |width| text(&session, &ui, width, 24).lines().nth(1).map(ToOwned::to_owned).unwrap_or_default();
    assert!(header(80).contains("· bed · under the tunnel: ") && header(80).contains("frost "), "{}", header(80));
    assert!(header(200).contains("bed, unheated tunnel · under the tunnel: day "), "{}", header(200));
    assert!(header(40).contains("unheated tunnel"), "{}", header(40));
    let (session, ui) = look_at(garden(), plain());
    assert!(!text(&session, &ui, 200, 50).contains("under the"));
}

#[test]
fn every_size_is_drawn_whatever_is_in_front() {
    let mut odd = garden();
    odd.beds.push(bed("L1", 1, 100_000));
    odd.beds.push(bed("W1", 100_000, 1));
    let setups: [&[&str]; 9] = [
        &[],
        &["Right"],
        &["End"],
        &["g", "P1", "Enter"],
        &["g", "L1", "Enter"],
        &["a", "leek", "Enter"],
        &["Enter"],
        &["m", "Right"],
        &["i", "salad on", "Enter"],
    ];
    for keys in setups {
        for is_ascii in [false, true] {
            let (mut session, mut ui) = look_at(odd.clone(), Options { is_ascii, ..plain() });
            type_keys(&mut session, &mut ui, keys);
            for (width, height) in SIZES {
                drawn(&session, &ui, width, height);
            }
        }
    }
    let (session, ui) = look_at(Garden::empty("nothing"), plain());
    for (width, height) in SIZES {
        drawn(&session, &ui, width, height);
    }
}

#[test]
fn ascii_screens_hold_only_ascii() {
    for keys in [&[][..], &["Enter"], &["m", "Right"], &["i", "salad on", "Enter"], &["Right"], &["End"]] {
        let (mut session, mut ui) = look_at(garden(), Options { is_ascii: true, ..plain() });
        type_keys(&mut session, &mut ui, keys);
        for (width, height) in [(40, 12), (80, 24), (200, 50)] {
            let screen = text(&session, &ui, width, height);
            let strange: Vec<char> = screen.chars().filter(|c| !c.is_ascii()).collect();
            assert!(strange.is_empty(), "{strange:?} in\n{screen}");
        }
    }
}

#[test]
fn only_the_selected_planting_is_drawn_when_asked() {
    let (mut session, mut ui) = look_at(garden(), Options { is_ascii: true, ..plain() });
    let letters = |screen: &str, letter: char| {
        let picture: Vec<&str> = screen.lines().skip(3).take(8).collect();
        picture.iter().flat_map(|line| line.chars().skip(6)).filter(|c| *c == letter).count()
    };
    let all = text(&session, &ui, 80, 24);
    assert!(letters(&all, 'b') > 0 && letters(&all, 'a') > 0, "{all}");
    type_keys(&mut session, &mut ui, &["v"]);
    assert_eq!(ui.view.shown, Shown::Selected);
    let one = text(&session, &ui, 80, 24);
    assert!(letters(&one, 'b') == 0 && letters(&one, 'a') > 0, "{one}");
}

#[test]
fn each_clump_of_leeks_has_its_letter_at_its_place() {
    // 120 × 240 cm in 30 cm squares are 4 lines of 8 stations.
    let (session, ui) = look_at(garden(), Options { is_ascii: true, ..plain() });
    let screen = text(&session, &ui, 200, 50);
    let lines: Vec<&str> =
        screen.lines().filter(|line| line.starts_with("     |") || line.get(5..6) == Some("|")).collect();
    let with_letters = lines.iter().filter(|line| line.matches('b').count() == 8).count();
    assert_eq!(with_letters, 4, "{screen}");
}

#[test]
fn a_planting_is_moved_along_its_bed_and_through_the_weeks_as_one_edit() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["m", "Right", "Left", "Left", "-", "s", "]", "}"]);
    let before = session.plan().garden().planting(PlantingId(3)).unwrap().clone();
    assert_eq!((before.from_mm, before.to_mm), (Mm(2400), Mm(4800)), "nothing is changed before Enter");
    type_keys(&mut session, &mut ui, &["Enter"]);
    let after = session.plan().garden().planting(PlantingId(3)).unwrap().clone();
    // At the end of the bed the first step to the right goes nowhere.
    assert_eq!((after.from_mm, after.to_mm, after.side), (Mm(2200), Mm(4500), Side::Left));
    assert_eq!(after.planned.sow, Some(day("2027-06-14")), "five weeks after 10 May");
    assert!(ui.layers.is_empty());
    type_keys(&mut session, &mut ui, &["u"]);
    assert_eq!(session.plan().garden().planting(PlantingId(3)), Some(&before));
    assert!(session.sitting.undo_title().is_none(), "it was one edit");
}

#[test]
fn moving_is_given_up_without_a_trace() {
    let (mut session, mut ui) = look_at(garden(), plain());
    let before = session.plan().garden().clone();
    type_keys(&mut session, &mut ui, &["m", "Down", "Left", "+"]);
    assert_eq!(ui.view.bed_idx, 1, "the screen follows to the other bed");
    type_keys(&mut session, &mut ui, &["Esc"]);
    assert_eq!((ui.view.bed_idx, session.plan().garden()), (0, &before));
    assert!(session.sitting.undo_title().is_none());
}

#[test]
fn a_host_takes_what_stands_between_along_into_another_bed() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["Down", "m", "Down", "Enter"]);
    let garden = session.plan().garden();
    let (leek, onion) = (garden.planting(PlantingId(1)).unwrap(), garden.planting(PlantingId(2)).unwrap());
    assert_eq!((leek.bed.as_str(), onion.bed.as_str()), ("B2", "B2"));
    assert_eq!(ui.view.bed_idx, 1);
    type_keys(&mut session, &mut ui, &["u"]);
    assert_eq!(session.plan().garden().planting(PlantingId(2)).unwrap().bed, "B1");
}

#[test]
fn a_strip_too_long_for_a_pot_is_cut_to_it() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["m", "Down", "Down", "Enter"]);
    let carrot = session.plan().garden().planting(PlantingId(3)).unwrap();
    assert_eq!((carrot.bed.as_str(), carrot.from_mm, carrot.to_mm), ("P1", Mm(0), Mm(300)));
    assert!(matches!(carrot.layout, Layout::Drill { .. }));
}

#[test]
fn bed_screen_at_80_by_24() {
    let (session, ui) = look_at(garden(), plain());
    insta::assert_snapshot!(text(&session, &ui, 80, 24));
}

#[test]
fn bed_screen_in_ascii_at_80_by_24() {
    let (session, ui) = look_at(garden(), Options { is_ascii: true, ..plain() });
    insta::assert_snapshot!(text(&session, &ui, 80, 24));
}

#[test]
fn bed_screen_at_200_by_50() {
    let (session, ui) = look_at(garden(), plain());
    insta::assert_snapshot!(text(&session, &ui, 200, 50));
}

#[test]
fn bed_screen_at_40_by_12() {
    let (session, ui) = look_at(garden(), plain());
    insta::assert_snapshot!(text(&session, &ui, 40, 12));
}

#[test]
fn empty_bed_and_pot_at_80_by_24() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["Right"]);
    insta::assert_snapshot!("empty_bed", text(&session, &ui, 80, 24));
    type_keys(&mut session, &mut ui, &["Right"]);
    insta::assert_snapshot!("pot", text(&session, &ui, 80, 24));
}

#[test]
fn moving_at_80_by_24() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["m", "Left", "Left", "Left"]);
    insta::assert_snapshot!(text(&session, &ui, 80, 24));
}

#[test]
fn moving_at_200_by_50() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["m", "Left", "Left", "Left"]);
    insta::assert_snapshot!(text(&session, &ui, 200, 50));
}

#[test]
fn the_selected_planting_is_told_by_more_than_colour() {
    let (session, ui) = look_at(garden(), Options { is_ascii: true, ..plain() });
    let buffer = drawn(&session, &ui, 80, 24);
    let reversed: String = (2..12)
        .flat_map(|y| (6..79).map(move |x| (x, y)))
        .filter(|at| buffer[*at].modifier.contains(ratatui::style::Modifier::REVERSED))
        .map(|at| buffer[at].symbol().to_owned())
        .collect();
    assert!(!reversed.is_empty() && reversed.chars().all(|c| c == 'a'), "{reversed}");
}
