//! What keys do across screens and layers.

use super::{Effect, Input, Key, update};
use crate::garden::{Against, EntryId, Layout, PastCrop, PlannedDates, Planting, PlantingId, Side};
use crate::tui::fixture::*;
use crate::tui::layers::Layer;
use crate::tui::view::{Options, Screen};
use crate::units::Mm;

fn plain() -> Options {
    Options::default()
}

fn past_leek(bed: &str, year: i32) -> PastCrop {
    let id = EntryId(u32::try_from(year).unwrap());
    PastCrop { id, bed: bed.to_owned(), year, what: "leek".to_owned(), strip_mm: None, side: Side::Whole }
}

#[test]
fn what_was_taken_back_is_no_longer_unsaved() {
    let (mut session, mut ui) = look_at(garden(), plain());
    assert!(!session.is_unsaved());
    type_keys(&mut session, &mut ui, &["+"]);
    assert!(session.is_unsaved());
    type_keys(&mut session, &mut ui, &["u"]);
    assert!(!session.is_unsaved(), "all is as in the file");
    // Another edit in its place is not the one that was saved.
    type_keys(&mut session, &mut ui, &["+"]);
    session.saved_revision = session.sitting.revision();
    type_keys(&mut session, &mut ui, &["u"]);
    assert!(session.is_unsaved(), "the file has the edit");
    type_keys(&mut session, &mut ui, &["-"]);
    assert!(session.is_unsaved());
    type_keys(&mut session, &mut ui, &["u", "u"]);
    assert!(session.is_unsaved());
}

#[test]
fn an_edit_made_again_is_saved_already() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["-"]);
    session.saved_revision = session.sitting.revision();
    type_keys(&mut session, &mut ui, &["u"]);
    assert!(session.is_unsaved());
    session.sitting.redo().unwrap();
    assert!(!session.is_unsaved());
}

#[test]
fn a_number_key_leads_out_of_the_why_box() {
    let (mut session, mut ui) = look_at(garden(), plain());
    ui.view.screen = Screen::Findings;
    type_keys(&mut session, &mut ui, &["w"]);
    assert!(matches!(ui.layers.last(), Some(Layer::Why(_))));
    type_keys(&mut session, &mut ui, &["3"]);
    assert!(ui.layers.is_empty() && ui.view.screen == Screen::Year);
}

#[test]
fn on_findings_g_goes_to_the_first_of_a_bed() {
    let mut garden = garden();
    garden.past.push(past_leek("B2", 2026));
    let mut leek = garden.plantings[0].clone();
    leek.planned.plant = Some(day("2027-06-20")); // still to come on the day looked at
    garden.plantings.push(Planting { id: PlantingId(5), bed: "B2".to_owned(), ..leek });
    let (mut session, mut ui) = look_at(garden, plain());
    ui.view.screen = Screen::Findings;
    type_keys(&mut session, &mut ui, &["End", "g", "B2", "Enter"]);
    let finding = session.plan().finding_at(ui.view.finding_row).unwrap();
    assert_eq!(finding.bed_idx, 1);
    assert!(
        (0..ui.view.finding_row).all(|row| session.plan().finding_at(row).unwrap().bed_idx != 1),
        "it is the first"
    );
    assert_eq!(ui.view.screen, Screen::Findings);
}

#[test]
fn a_repeat_without_a_free_slot_says_what_stands_there_and_offers_the_next_one() {
    let (mut session, mut ui) = look_at(garden(), plain());
    // The garlic of the only pot.
    type_keys(&mut session, &mut ui, &["End", "c"]);
    let Some(Layer::Confirm(confirm)) = ui.layers.last() else { panic!("{:?}", ui.view.notice) };
    assert!(
        confirm.question.contains("Garlic until") && confirm.question.contains("P1 from 0 to 30 cm"),
        "{}",
        confirm.question
    );
    type_keys(&mut session, &mut ui, &["P"]);
    let copy = session.plan().garden().planting(PlantingId(5)).unwrap();
    let enters = session.plan().standing(PlantingId(5)).unwrap().stages.enters;
    assert_eq!((copy.bed.as_str(), copy.crop.as_str()), ("P1", "garlic"));
    assert!(enters >= session.plan().standing(PlantingId(4)).unwrap().stages.clear && enters >= session.today);
    assert_eq!(ui.view.planting, Some(PlantingId(5)));
    // What stands between others has no slot of its own.
    type_keys(&mut session, &mut ui, &["u", "Home", "Down", "Down", "c"]);
    assert!(ui.view.notice.as_ref().unwrap().text.contains("between Leek"), "{:?}", ui.view.notice);
}

#[test]
fn a_past_crop_is_named_by_a_few_letters_listed_on_its_bed_and_taken_out() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["y", "pars", "Enter", "Esc"]);
    let past = session.plan().garden().past.clone();
    assert_eq!(past.iter().map(|past| (past.what.as_str(), past.year)).collect::<Vec<_>>(), [("parsnip", 2026)]);
    assert!(text(&session, &ui, 200, 50).contains("past years (y changes them): 2026 Parsnip"));
    type_keys(&mut session, &mut ui, &["y"]);
    update(&mut session, &mut ui, &Input::Key(Key::Ctrl('d')));
    assert!(session.plan().garden().past.is_empty());
}

#[test]
fn suggestions_are_walked_through_and_cleared() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["y", "onion"]);
    let screen = text(&session, &ui, 80, 24);
    assert!(screen.contains("Salad onion") && screen.contains("a family"), "{screen}");
    type_keys(&mut session, &mut ui, &["Down", "Enter"]);
    let what = session.plan().garden().past[0].what.clone();
    assert!(what.contains("onion"), "{what}");
    type_keys(&mut session, &mut ui, &["leek", "Esc"]);
    assert!(matches!(ui.layers.last(), Some(Layer::PastForm(_))), "the first Esc clears the letters");
    type_keys(&mut session, &mut ui, &["Esc"]);
    assert!(ui.layers.is_empty());
}

#[test]
fn every_family_and_the_usual_crop_of_a_word_can_be_entered_as_past_crops() {
    let (mut session, mut ui) = look_at(garden(), plain());
    let families = session.plan().book().families().to_vec();
    assert!(families.iter().any(|family| family.common.contains(';')));
    for family in &families {
        let name = family.usual_name();
        assert!(!name.contains(';') && !name.is_empty(), "{name}");
        // A family named as a crop is (asparagus) is meant by its id; the bare word is the crop.
        let typed = if session.plan().book().find(name).is_some() { family.id.as_str() } else { name };
        type_keys(&mut session, &mut ui, &["y", typed]);
        let screen = text(&session, &ui, 80, 24);
        assert!(!screen.contains("; "), "a plain name is offered: {screen}");
        type_keys(&mut session, &mut ui, &["Enter"]);
        let past = session.plan().garden().past.last().map(|past| past.what.clone()).unwrap_or_default();
        assert_eq!(past, family.id, "{typed}");
        type_keys(&mut session, &mut ui, &["Esc"]);
    }
    assert_eq!(session.plan().garden().past.len(), families.len());
    // A bare word is the usual crop of that name, as everywhere else.
    for (word, id) in [("potato", "potato-maincrop"), ("onion", "onion-sets"), ("carrot", "carrot-maincrop")] {
        type_keys(&mut session, &mut ui, &["y", word, "Enter", "Esc"]);
        assert_eq!(session.plan().garden().past.last().map(|past| past.what.as_str()), Some(id));
    }
    // Taken with Tab, it is added from another field.
    type_keys(&mut session, &mut ui, &["y", "cabbage family"]);
    update(&mut session, &mut ui, &Input::Key(Key::Tab));
    type_keys(&mut session, &mut ui, &["Enter", "Esc"]);
    assert_eq!(session.plan().garden().past.last().map(|past| past.what.as_str()), Some("brassicaceae"));
}

/// A planting of B2 that is over by June.
fn over(id: u32, strip_cm: (i32, i32)) -> Planting {
    let mut planting = garden().plantings[0].clone();
    (planting.id, planting.bed, planting.crop) = (PlantingId(id), "B2".to_owned(), "lettuce-leaf".to_owned());
    (planting.from_mm, planting.to_mm) = (Mm::from_cm(strip_cm.0), Mm::from_cm(strip_cm.1));
    planting.layout = Layout::Grid { spacing_mm: Mm(200) };
    planting.planned =
        PlannedDates { plant: Some(day("2027-03-20")), clear: Some(day("2027-05-30")), ..PlannedDates::default() };
    planting
}

#[test]
fn a_bed_is_shortened_under_what_is_over_but_not_under_what_stands() {
    let mut with_past = garden();
    with_past.plantings.extend([over(5, (0, 200)), over(6, (200, 240))]);
    let (mut session, mut ui) = look_at(with_past.clone(), plain());
    type_keys(&mut session, &mut ui, &["Right", "b", "Down", "Down", "Down", "180", "Enter"]);
    assert!(ui.layers.is_empty(), "{:?}", ui.layers);
    let garden = session.plan().garden();
    assert_eq!(garden.beds[1].length_mm, Mm::from_cm(180));
    assert_eq!(garden.planting(PlantingId(5)).unwrap().to_mm, Mm::from_cm(180));
    assert!(garden.planting(PlantingId(6)).is_none());
    let kept: Vec<_> = garden.past.iter().map(|past| (past.what.as_str(), past.year, past.strip_mm)).collect();
    assert_eq!(kept, [("lettuce-leaf", 2027, Some((Mm::from_cm(200), Mm::from_cm(240))))]);
    assert!(crate::garden::validate(garden).is_empty());
    type_keys(&mut session, &mut ui, &["u"]);
    assert_eq!(session.plan().garden(), &with_past);
    // Carrots stand to the end of B1.
    type_keys(&mut session, &mut ui, &["Left", "b", "Down", "Down", "Down", "300", "Enter"]);
    assert!(matches!(ui.layers.last(), Some(Layer::BedForm(_))));
    assert_eq!(session.plan().garden(), &with_past);
}

#[test]
fn what_could_follow_is_walked_to_its_end_and_back() {
    let (mut session, mut ui) = look_at(garden(), plain());
    type_keys(&mut session, &mut ui, &["Right", "n", "End"]);
    let screen = text(&session, &ui, 80, 24);
    let place = screen.lines().find(|line| line.contains(" of ")).unwrap().to_owned();
    let numbers: Vec<usize> = place.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    assert!(numbers.len() == 2 && numbers[0] == numbers[1] && numbers[0] > 5, "{place}");
    type_keys(&mut session, &mut ui, &["Home"]);
    assert!(text(&session, &ui, 80, 24).contains(&format!("1 of {}", numbers[1])));
}

#[test]
fn a_finding_is_accepted_for_a_reason_stays_listed_and_is_taken_back() {
    let mut garden = garden();
    // Leeks in the year after leeks.
    let mut leek = garden.plantings[0].clone();
    leek.planned.plant = Some(day("2027-06-20")); // still to come on the day looked at
    garden.past = vec![past_leek("B2", 2026)].into();
    garden.plantings.push(Planting { id: PlantingId(5), bed: "B2".to_owned(), ..leek });
    let (mut session, mut ui) = look_at(garden, plain());
    ui.view.screen = Screen::Findings;
    // Narrowed by letters, the finding that is accepted is the one that is shown.
    type_keys(&mut session, &mut ui, &["/", "onion family", "Enter"]);
    type_keys(&mut session, &mut ui, &["A"]);
    let shown = text(&session, &ui, 200, 50);
    assert!(shown.contains("Accept \"leek: onion family is back") && shown.contains("because"), "{shown}");
    // Without a reason it is not accepted, and the question stays.
    type_keys(&mut session, &mut ui, &["Enter"]);
    assert!(session.plan().garden().accepted.is_empty() && !ui.layers.is_empty());
    assert!(ui.view.notice.as_ref().unwrap().text.contains("give a reason"), "{:?}", ui.view.notice);
    type_keys(&mut session, &mut ui, &["no other bed was free", "Enter"]);
    assert!(ui.layers.is_empty());
    let [accepted] = &session.plan().garden().accepted[..] else { panic!("{:?}", session.plan().garden().accepted) };
    assert_eq!(
        (accepted.rule.as_str(), accepted.planting, accepted.reason.as_str()),
        ("family-return", PlantingId(5), "no other bed was free")
    );
    assert_eq!(accepted.against, Against::Past { year: 2026, what: "leek".to_owned() });
    assert_eq!(session.plan().finding_counts().n_accepted, 1);
    let listed = session.plan().findings();
    let reasons: Vec<_> = listed.iter().filter_map(|finding| finding.accepted.as_deref()).collect();
    assert_eq!(reasons, ["no other bed was free"]);
    let shown = text(&session, &ui, 200, 50);
    assert!(shown.lines().any(|line| line.contains("accepted") && line.contains("B2")), "{shown}");
    assert!(shown.contains("no other bed was free"), "{shown}");
    // The same key takes it back; so does undo of what was done.
    type_keys(&mut session, &mut ui, &["A"]);
    assert!(session.plan().garden().accepted.is_empty() && ui.layers.is_empty());
    type_keys(&mut session, &mut ui, &["u"]);
    assert_eq!(session.plan().garden().accepted.len(), 1);
    type_keys(&mut session, &mut ui, &["u"]);
    assert!(session.plan().garden().accepted.is_empty());
}

#[test]
fn esc_leaves_a_finding_as_it_is_and_what_is_about_no_planting_cannot_be_accepted() {
    let mut garden = garden();
    garden.past = vec![PastCrop { what: "no such plant".to_owned(), ..past_leek("B2", 2026) }].into();
    let (mut session, mut ui) = look_at(garden, plain());
    ui.view.screen = Screen::Findings;
    type_keys(&mut session, &mut ui, &["/", "no such plant", "Enter", "A", "so be it", "Esc"]);
    assert!(session.plan().garden().accepted.is_empty() && ui.layers.is_empty());
    type_keys(&mut session, &mut ui, &["A", "so be it", "Enter"]);
    assert!(session.plan().garden().accepted.is_empty() && ui.layers.is_empty());
    assert!(ui.view.notice.as_ref().unwrap().text.contains("about no planting"), "{:?}", ui.view.notice);
}

#[test]
fn on_a_screen_too_small_to_be_seen_keys_do_nothing_but_leave() {
    let (mut session, mut ui) = look_at(garden(), plain());
    let before = session.plan().garden().clone();
    update(&mut session, &mut ui, &Input::Resize(39, 12));
    type_keys(&mut session, &mut ui, &["x", "+", "3"]);
    update(&mut session, &mut ui, &Input::Paste("leek".to_owned()));
    assert_eq!((session.plan().garden(), ui.view.screen), (&before, Screen::Bed));
    for key in [Key::Char('q'), Key::Ctrl('c')] {
        assert_eq!(update(&mut session, &mut ui, &Input::Key(key)), [Effect::Quit], "{key:?}");
    }
    update(&mut session, &mut ui, &Input::Resize(40, 12));
    type_keys(&mut session, &mut ui, &["+"]);
    assert_ne!(session.plan().garden(), &before);
}
