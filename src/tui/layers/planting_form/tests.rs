//! The form by keys: what is typed and what the garden holds afterwards.

use crate::crops::Raised;
use crate::garden::{Layout, PlantingId, Side};
use crate::tui::fixture::*;
use crate::tui::layers::Layer;
use crate::tui::session::Session;
use crate::tui::ui::Ui;
use crate::tui::view::{Options, Tone};
use crate::units::Mm;

fn start() -> (Session, Ui) {
    look_at(garden(), Options::default())
}

#[test]
fn a_crop_is_placed_with_three_keys_and_its_name() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Right", "a", "leek", "Enter", "Enter"]);
    assert!(ui.layers.is_empty());
    let placed = session.plan().garden().planting(PlantingId(5)).unwrap();
    assert_eq!((placed.crop.as_str(), placed.bed.as_str()), ("leek", "B2"));
    assert_eq!((placed.from_mm, placed.to_mm), (Mm(0), Mm(2400)), "the whole empty bed");
    assert_eq!(ui.view.planting, Some(PlantingId(5)));
    type_keys(&mut session, &mut ui, &["u"]);
    assert_eq!(session.plan().garden(), &garden());
}

#[test]
fn typed_values_are_placed() {
    let (mut session, mut ui) = start();
    // Focus opens on the start of the strip; side, layout, spacing, clump follow below.
    let keys = [
        "Right", "a", "leek", "Enter", "Clear", "40", "Down", "Clear", "160", "Down", "l", "Down", "Down", "Clear",
        "30", "Down", "Clear", "4", "Enter",
    ];
    type_keys(&mut session, &mut ui, &keys);
    let placed = session.plan().garden().planting(PlantingId(5)).unwrap();
    assert_eq!((placed.from_mm, placed.to_mm, placed.side), (Mm(400), Mm(1600), Side::Left));
    assert_eq!((&placed.layout, placed.clump), (&Layout::Grid { spacing_mm: Mm(300) }, 4));
    // 120 × 60 cm in 30 cm squares: 4 × 2 stations of 4.
    let standing = session.plan().standing(PlantingId(5)).unwrap();
    assert_eq!((standing.n_stations, standing.n_plants), (8, 32));
}

#[test]
fn escape_leaves_no_trace() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Right", "a", "leek", "Enter", "Clear", "40", "Esc"]);
    assert_eq!(session.plan().garden(), &garden());
    assert!(ui.layers.is_empty() && session.sitting.undo_title().is_none());
}

#[test]
fn nonsense_keeps_the_form_open_with_what_was_typed() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Right", "a", "leek", "Enter", "Clear", "12.55", "Enter"]);
    assert!(matches!(ui.layers.last(), Some(Layer::PlantingForm(_))));
    assert_eq!(ui.view.notice.as_ref().map(|notice| notice.tone), Some(Tone::Trouble));
    assert_eq!(session.plan().garden(), &garden());
    let screen = text(&session, &ui, 80, 24);
    assert!(screen.contains("12.55") && screen.contains("finer than a millimetre"), "{screen}");
    type_keys(&mut session, &mut ui, &["Backspace", "Enter"]);
    assert_eq!(session.plan().garden().planting(PlantingId(5)).unwrap().from_mm, Mm(125));
}

#[test]
fn a_strip_beyond_its_bed_or_reversed_is_refused_in_the_form() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Right", "a", "leek", "Enter", "Down", "Clear", "241", "Enter"]);
    assert!(text(&session, &ui, 80, 24).contains("the bed is 240 cm long"));
    type_keys(&mut session, &mut ui, &["Up", "Clear", "200", "Down", "Clear", "100", "Enter"]);
    assert!(text(&session, &ui, 80, 24).contains("must end after its start at 200 cm"));
    assert_eq!(session.plan().garden(), &garden());
}

#[test]
fn another_layout_shows_its_own_fields_filled_from_the_book() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Right", "a", "carrot", "Enter", "Down", "Down", "Down"]);
    for (letter, shown, hidden) in [
        ("r", ["rows cm", "in row cm"], "per metre"),
        ("d", ["rows cm", "per metre"], "in row cm"),
        ("g", ["spacing cm", "clump"], "rows cm"),
        ("e", ["spacing cm", "edge"], "rows cm"),
        ("b", ["host", "clump"], "spacing cm"),
        ("b", ["per sq. m", "setback cm"], "clump"),
    ] {
        type_keys(&mut session, &mut ui, &[letter]);
        let screen = text(&session, &ui, 80, 24);
        assert!(shown.iter().all(|label| screen.contains(label)) && !screen.contains(hidden), "{letter}\n{screen}");
    }
    type_keys(&mut session, &mut ui, &["Left", "Left", "Left", "Left", "Enter"]);
    let placed = session.plan().garden().planting(PlantingId(5)).unwrap();
    assert!(matches!(placed.layout, Layout::Rows { .. }), "{:?}", placed.layout);
}

#[test]
fn an_interplanting_stands_at_the_centres_of_its_host() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Down", "Down", "x", "Home", "Down", "i", "salad on", "Enter", "Enter"]);
    let host =
        ui.view.planting.and_then(|id| session.plan().garden().planting(id)).and_then(crate::garden::Planting::host);
    assert_eq!(host, Some(PlantingId(1)), "{:?}", ui.view.notice);
    // Between 8 × 4 stations are 7 × 3 cells.
    assert_eq!(session.plan().standing(ui.view.planting.unwrap()).unwrap().n_stations, 21);
}

#[test]
fn between_the_lines_of_a_drill_there_are_no_cells() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["i", "lettuce", "Enter", "Enter"]);
    assert!(matches!(ui.layers.last(), Some(Layer::PlantingForm(_))));
    assert!(text(&session, &ui, 80, 24).contains("host: choose a planting set out as grid"));
    assert_eq!(session.plan().garden(), &garden());
}

#[test]
fn the_day_it_goes_in_stays_when_it_is_raised_another_way() {
    let (mut session, mut ui) = start();
    // The crop's ways of raising are those of the book: salad onions are sown in place or raised in modules.
    type_keys(&mut session, &mut ui, &["Down", "Down", "Enter"]);
    let Some(Layer::PlantingForm(form)) = ui.layers.last_mut() else { panic!("the form is open") };
    form.fields.focus_on("raised");
    type_keys(&mut session, &mut ui, &["s", "Enter"]);
    let onion = session.plan().garden().planting(PlantingId(2)).unwrap();
    assert_eq!(
        (onion.raised, onion.planned.sow, onion.planned.plant),
        (Raised::InPlace, Some(day("2027-06-07")), None)
    );
}

#[test]
fn a_crop_that_is_placed_has_the_dates_proposed_for_each_way_until_one_is_typed() {
    let (mut session, mut ui) = start();
    let day_of = |ui: &Ui, name: &str| {
        let Some(Layer::PlantingForm(form)) = ui.layers.last() else { panic!("the form is open") };
        form.fields.value(name).to_owned()
    };
    let focus = |ui: &mut Ui, name: &str| {
        let Some(Layer::PlantingForm(form)) = ui.layers.last_mut() else { panic!("the form is open") };
        form.fields.focus_on(name);
    };
    type_keys(&mut session, &mut ui, &["Right", "a", "leek", "Enter"]);
    let proposed = |session: &Session, ui: &Ui, raised| {
        let dates = session.plan().proposed_dates(ui.view.bed_idx, "leek", raised, ui.view.week.monday()).unwrap();
        dates.sow.or(dates.plant).unwrap().to_string()
    };
    let in_modules = proposed(&session, &ui, Raised::Module);
    assert_eq!((day_of(&ui, "sow"), day_of(&ui, "plant")), (String::new(), in_modules.clone()));
    focus(&mut ui, "raised");
    type_keys(&mut session, &mut ui, &["s"]);
    let sown = proposed(&session, &ui, Raised::InPlace);
    assert!(sown != in_modules);
    assert_eq!((day_of(&ui, "sow"), day_of(&ui, "plant")), (sown, String::new()));
    type_keys(&mut session, &mut ui, &["i"]);
    assert_eq!(day_of(&ui, "plant"), in_modules);
    focus(&mut ui, "plant");
    type_keys(&mut session, &mut ui, &["Clear", "2027-06-15"]);
    focus(&mut ui, "raised");
    type_keys(&mut session, &mut ui, &["s"]);
    assert_eq!(day_of(&ui, "sow"), "2027-06-15");
}

#[test]
fn a_date_is_set_and_then_worked_out_again() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Enter"]);
    let focus = |ui: &mut Ui, name: &str| {
        let Some(Layer::PlantingForm(form)) = ui.layers.last_mut() else { panic!("the form is open") };
        form.fields.focus_on(name);
        form.fields.fields[form.fields.focus].when_empty.clone()
    };
    let worked_out = focus(&mut ui, "clear");
    assert!(worked_out.parse::<chrono::NaiveDate>().is_ok(), "{worked_out}");
    type_keys(&mut session, &mut ui, &["]", "Enter"]);
    let later = day(&worked_out) + chrono::Duration::weeks(1);
    assert_eq!(session.plan().garden().planting(PlantingId(3)).unwrap().planned.clear, Some(later));
    type_keys(&mut session, &mut ui, &["Enter"]);
    focus(&mut ui, "clear");
    type_keys(&mut session, &mut ui, &["Clear", "Enter"]);
    assert_eq!(session.plan().garden().planting(PlantingId(3)).unwrap().planned.clear, None);
}

#[test]
fn a_breach_is_placed_all_the_same_and_said() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["a", "leek", "Enter", "Clear", "0", "Enter"]);
    assert!(session.plan().garden().planting(PlantingId(5)).is_some());
    let notice = ui.view.notice.clone().unwrap();
    assert!(notice.tone == Tone::Trouble && notice.text.starts_with("placed, but breach: "), "{notice:?}");
}

#[test]
fn what_is_placed_or_moved_without_a_breach_says_how_to_undo_it() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Right", "a", "leek", "Enter", "Enter"]);
    let notice = ui.view.notice.clone().unwrap();
    assert!(notice.tone == Tone::Done && notice.text.ends_with("(u undoes)"), "{notice:?}");
    type_keys(&mut session, &mut ui, &["m", "]", "Enter"]);
    let notice = ui.view.notice.clone().unwrap();
    assert!(notice.tone == Tone::Done && notice.text.ends_with("(u undoes)"), "{notice:?}");
}

#[test]
fn a_change_to_another_bed_follows_the_planting() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Enter"]);
    let Some(Layer::PlantingForm(form)) = ui.layers.last_mut() else { panic!("the form is open") };
    form.fields.focus_on("bed");
    type_keys(&mut session, &mut ui, &["Right", "Down", "Down", "Clear", "0", "Enter"]);
    let carrot = session.plan().garden().planting(PlantingId(3)).unwrap();
    assert_eq!((carrot.bed.as_str(), carrot.from_mm, carrot.to_mm), ("B2", Mm(0), Mm(2400)));
    assert_eq!((ui.view.bed_idx, ui.view.planting), (1, Some(PlantingId(3))));
}

#[test]
fn pasted_text_goes_into_a_field_and_places_nothing() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Enter", "Up"]);
    let pasted = crate::tui::update::Input::Paste("early\nround".to_owned());
    crate::tui::update::update(&mut session, &mut ui, &pasted);
    assert_eq!(session.plan().garden(), &garden());
    type_keys(&mut session, &mut ui, &["Enter"]);
    assert_eq!(session.plan().garden().planting(PlantingId(3)).unwrap().variety, "early round");
}

#[test]
fn placing_at_80_by_24() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Right", "a", "leek", "Enter"]);
    insta::assert_snapshot!(text(&session, &ui, 80, 24));
}

#[test]
fn placing_at_200_by_50() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Right", "a", "leek", "Enter"]);
    insta::assert_snapshot!(text(&session, &ui, 200, 50));
}

#[test]
fn an_interplanting_that_crowds_at_80_by_24() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Down", "i", "lettuce", "Enter"]);
    insta::assert_snapshot!(text(&session, &ui, 80, 24));
}

#[test]
fn troubles_at_80_by_24() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Enter", "Clear", "12.55", "Down", "Clear"]);
    insta::assert_snapshot!(text(&session, &ui, 80, 24));
}

#[test]
fn placing_at_40_by_12() {
    let (mut session, mut ui) = start();
    type_keys(&mut session, &mut ui, &["Right", "a", "leek", "Enter"]);
    insta::assert_snapshot!(text(&session, &ui, 40, 12));
}
