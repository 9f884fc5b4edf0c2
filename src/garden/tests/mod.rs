//! Behaviour of a garden as a whole: edits and their inverses, undo, saving and loading.

use chrono::NaiveDate;

use super::*;
use crate::crops::Raised;
use crate::units::Mm;

mod differences;
mod edges;
mod kept;
mod lists;
pub(crate) mod random;
mod real;
mod record;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn bed(id: &str, length_mm: i32) -> Bed {
    Bed {
        id: id.to_owned(),
        name: String::new(),
        width_mm: Mm(1_200),
        length_mm: Mm(length_mm),
        east_mm: Mm(0),
        south_mm: Mm(0),
        bearing_deg: 0,
        kind: BedKind::Bed,
        cover: Cover::Open,
        soil: SoilTexture::Loam,
        renewed_yearly: false,
        notes: String::new(),
    }
}

fn leek(id: u32, bed: &str) -> Planting {
    Planting {
        id: PlantingId(id),
        bed: bed.to_owned(),
        crop: "leek".to_owned(),
        variety: String::new(),
        from_mm: Mm(0),
        to_mm: Mm(2_400),
        side: Side::Whole,
        layout: Layout::Grid { spacing_mm: Mm(300) },
        setback_mm: None,
        clump: 4,
        raised: Raised::Module,
        planned: PlannedDates {
            sow: Some(day("2027-03-15")),
            plant: Some(day("2027-06-07")),
            clear: Some(day("2028-03-06")),
            ..PlannedDates::default()
        },
        notes: String::new(),
    }
}

fn onion_between(id: u32, host: u32, bed: &str) -> Planting {
    Planting {
        crop: "salad-onion".to_owned(),
        layout: Layout::Between { host: PlantingId(host) },
        planned: PlannedDates { plant: Some(day("2027-06-07")), ..PlannedDates::default() },
        ..leek(id, bed)
    }
}

pub fn garden() -> Garden {
    Garden {
        beds: vec![bed("A1", 4_800), bed("A2", 2_400)].into(),
        plantings: vec![leek(1, "A1"), onion_between(2, 1, "A1"), leek(7, "A2")],
        past: vec![PastCrop {
            id: EntryId(1),
            bed: "A1".to_owned(),
            year: 2024,
            what: "shallot".to_owned(),
            strip_mm: None,
            side: Side::Whole,
        }]
        .into(),
        hazards_seen: vec![HazardSeen {
            id: EntryId(1),
            bed: "A2".to_owned(),
            hazard: "clubroot".to_owned(),
            date: day("2025-08-01"),
            notes: String::new(),
        }]
        .into(),
        soil_log: vec![SoilEntry {
            id: EntryId(1),
            bed: "A1".to_owned(),
            date: day("2026-11-20"),
            amendment: Amendment::Compost,
            depth_mm: Some(Mm(30)),
            weight_g: None,
        }]
        .into(),
        ..Garden::empty("Walled garden")
    }
}

fn change(garden: &Garden, id: u32, with: impl FnOnce(&mut Planting)) -> Edit {
    let mut planting = garden.planting(PlantingId(id)).unwrap().clone();
    with(&mut planting);
    Edit::ChangePlanting(Box::new(planting))
}

fn change_bed(garden: &Garden, id: &str, with: impl FnOnce(&mut Bed)) -> Edit {
    let mut bed = garden.bed(id).unwrap().clone();
    with(&mut bed);
    Edit::ChangeBed { id: id.to_owned(), bed }
}

/// The edit is refused with that message and leaves the garden as it was.
fn refused(edit: Edit, message: &str) {
    let mut tried = garden();
    let error = edit.apply_to(&mut tried).unwrap_err();
    assert_eq!(error.to_string(), message);
    assert_eq!(tried, garden());
}

#[test]
fn a_valid_garden_has_no_problems() {
    assert_eq!(validate(&garden()), []);
    assert_eq!(validate(&Garden::empty("x")), []);
}

#[test]
fn plantings_stay_in_order_of_their_numbers() {
    let mut garden = garden();
    Edit::AddPlanting(Box::new(leek(4, "A2"))).apply_to(&mut garden).unwrap();
    let ids: Vec<_> = garden.plantings.iter().map(|p| p.id.0).collect();
    assert_eq!(ids, [1, 2, 4, 7]);
    assert_eq!(garden.next_planting_id(), PlantingId(8));
}

#[test]
fn the_plantings_of_ascending_numbers_are_found_wherever_they_lie() {
    let mut garden = garden();
    garden.plantings = (1..200).map(|n| leek(3 * n + n % 3, "A2")).collect();
    for step in [1, 2, 7, 50, 700] {
        let ids: Vec<_> = (0..700).step_by(step).map(PlantingId).collect();
        let found: Vec<_> = garden.plantings_of(&ids).map(|planting| planting.id).collect();
        let expected: Vec<_> = ids.iter().copied().filter(|&id| garden.planting(id).is_some()).collect();
        assert_eq!(found, expected);
    }
    assert!(garden.plantings_of(&[]).next().is_none());
}

#[test]
fn a_number_that_an_acceptance_speaks_of_is_not_given_again() {
    let mut garden = garden();
    let accepted = |id, planting, against| Accepted {
        id: EntryId(id),
        rule: "repeat".to_owned(),
        planting: PlantingId(planting),
        against,
        reason: "only an edge".to_owned(),
    };
    garden.accepted = vec![accepted(1, 7, Against::Nothing)].into();
    Edit::RemovePlanting(PlantingId(7)).apply_to(&mut garden).unwrap();
    assert_eq!(garden.next_planting_id(), PlantingId(8));
    garden.accepted = vec![
        accepted(1, 1, Against::Planting(PlantingId(12))),
        accepted(2, 1, Against::Past { year: 2024, what: "pea".to_owned() }),
    ]
    .into();
    assert_eq!(garden.next_planting_id(), PlantingId(13));
}

#[test]
fn another_bed_id_is_carried_to_all_that_names_it_and_back() {
    let mut garden = garden();
    let before = garden.clone();
    let rename = change_bed(&garden, "A1", |bed| bed.id = "B9".to_owned());
    assert_eq!(rename.title(&garden), "rename bed A1 to B9");
    let inverse = rename.apply_to(&mut garden).unwrap();
    assert!(!garden.to_ron().contains("\"A1\""));
    assert_eq!(garden.plantings.iter().filter(|p| p.bed == "B9").count(), 2);
    inverse.apply_to(&mut garden).unwrap();
    assert_eq!(garden, before);
}

#[test]
fn a_bed_goes_only_when_nothing_names_it() {
    refused(
        Edit::RemoveBed("A1".to_owned()),
        "bed `A1` is still named by plantings p1, p2, 1 past crop and 1 entry of the soil log; take these out first",
    );
    let mut garden = garden();
    let edits = vec![
        Edit::RemovePlanting(PlantingId(7)),
        Edit::Take(Key::Hazard(EntryId(1))),
        Edit::RemoveBed("A2".to_owned()),
    ];
    let before = garden.clone();
    let inverse = Edit::Several { title: "clear A2".to_owned(), edits }.apply_to(&mut garden).unwrap();
    assert_eq!(garden.beds.len(), 1);
    inverse.apply_to(&mut garden).unwrap();
    assert_eq!(garden, before);
}

#[test]
fn what_an_edit_would_leave_invalid_is_refused_with_a_sentence() {
    let garden = garden();
    refused(
        change(&garden, 1, |p| p.to_mm = Mm(4_810)),
        "its strip reaches to 481 cm; bed A1 is 480 cm long; end it at 480 cm or before (planting p1)",
    );
    refused(
        change(&garden, 1, |p| p.from_mm = Mm(2_400)),
        "its strip ends at 240 cm, not after its start at 240 cm; make from_mm less than to_mm (planting p1)",
    );
    refused(
        change(&garden, 1, |p| p.planned.clear = p.planned.sow),
        "it is cleared on 2027-03-15, before it is planted on 2027-06-07; exchange or correct the two dates (planting p1)",
    );
    refused(
        change(&garden, 1, |p| p.clump = 101),
        "clump 101 is outside 1 to 100; give the plants raised together at each station (planting p1)",
    );
    refused(
        change_bed(&garden, "A2", |bed| bed.length_mm = Mm(2_000)),
        "its strip reaches to 240 cm; bed A2 is 200 cm long; end it at 200 cm or before (planting p7)",
    );
    refused(
        Edit::Rename("a\u{1b}[31m".to_owned()),
        "`a␛[31m` has a control character (U+001B); take that character out (the garden)",
    );
    refused(Edit::RemovePlanting(PlantingId(3)), "there is no planting p3");
    refused(Edit::AddPlanting(Box::new(leek(1, "A1"))), "there is a planting p1 already");
    refused(Edit::AddPlanting(Box::new(leek(3, "Z"))), "there is no bed `Z`");
    refused(Edit::AddBed { at: 0, bed: bed("A2", 900) }, "there is a bed `A2` already");
    refused(Edit::Take(Key::Past(EntryId(2))), "there is no past crop 2");
    refused(Edit::put(garden.past[0].clone()), "there is a past crop 1 already");
    refused(Edit::put(garden.soil_log[0].clone()), "there is an entry of the soil log 1 already");
    refused(
        Edit::put(PastCrop { id: EntryId::NONE, ..garden.past[0].clone() }),
        "row number 0 is outside 1 to 999999999; give a number that no other row of the list has, or leave it out \
         (entry 1 of past)",
    );
    let elsewhere = HazardSeen { bed: "Z".to_owned(), ..garden.hazards_seen[0].clone() };
    refused(Edit::change(elsewhere), "there is no bed `Z`");
}

#[test]
fn a_host_and_what_stands_between_its_stations_stay_together() {
    let garden = garden();
    refused(
        Edit::RemovePlanting(PlantingId(1)),
        "it stands between the stations of p1, which is not there; \
         name a planting of the same bed as its host, or choose another layout (planting p2)",
    );
    let to_a2 = |id| change(&garden, id, |p| p.bed = "A2".to_owned());
    let mut moved = garden.clone();
    assert!(to_a2(1).apply_to(&mut moved).is_err());
    assert!(to_a2(2).apply_to(&mut moved).is_err());
    let both = Edit::Several { title: "move leek to A2".to_owned(), edits: vec![to_a2(1), to_a2(2)] };
    let inverse = both.apply_to(&mut moved).unwrap();
    assert_eq!(moved.planting(PlantingId(2)).unwrap().bed, "A2");
    inverse.apply_to(&mut moved).unwrap();
    assert_eq!(moved, garden);
}

#[test]
fn several_edits_happen_all_or_not_at_all() {
    let garden = garden();
    let edits = vec![
        change_bed(&garden, "A2", |bed| bed.id = "C3".to_owned()),
        Edit::AddPlanting(Box::new(leek(9, "C3"))),
        Edit::RemovePlanting(PlantingId(55)),
    ];
    refused(Edit::Several { title: "x".to_owned(), edits }, "there is no planting p55");
}

#[test]
fn a_crop_no_book_knows_is_no_fault_of_the_garden() {
    let mut garden = garden();
    change(&garden, 1, |p| p.crop = "forgotten-root".to_owned()).apply_to(&mut garden).unwrap();
    assert_eq!(validate(&garden), []);
}

#[test]
fn titles_say_what_changed() {
    let garden = garden();
    let of = |with: fn(&mut Planting)| change(&garden, 1, with).title(&garden);
    assert_eq!(of(|p| p.bed = "A2".to_owned()), "move leek from A1 to A2");
    assert_eq!(of(|p| p.to_mm = Mm(1_200)), "shorten leek in A1");
    assert_eq!(of(|p| p.to_mm = Mm(3_600)), "lengthen leek in A1");
    assert_eq!(of(|p| (p.from_mm, p.to_mm) = (Mm(100), Mm(2_500))), "move leek along A1");
    assert_eq!(of(|p| p.side = Side::Left), "move leek across A1");
    assert_eq!(of(|p| p.layout = Layout::Offset { spacing_mm: Mm(300) }), "set out leek in A1 anew");
    assert_eq!(of(|p| p.crop = "winter-cabbage".to_owned()), "replace leek by winter cabbage in A1");
    assert_eq!(of(|p| p.raised = Raised::InPlace), "raise leek in A1 another way");
    assert_eq!(of(|p| p.variety = "Blue".to_owned()), "change the variety of leek in A1");
    assert_eq!(of(|p| p.notes = "x".to_owned()), "change the notes on leek in A1");
    assert_eq!(of(|p| p.planned.clear = Some(day("2028-03-13"))), "keep leek in A1 a week longer");
    assert_eq!(of(|p| p.planned.clear = Some(day("2028-02-21"))), "clear leek in A1 2 weeks earlier");
    assert_eq!(of(|p| p.planned.clear = None), "change the dates of leek in A1");
    let later = |p: &mut Planting| {
        for date in [&mut p.planned.sow, &mut p.planned.plant, &mut p.planned.clear] {
            *date = date.map(|date| date + chrono::Days::new(14));
        }
    };
    assert_eq!(of(later), "move leek in A1 2 weeks later");
    assert_eq!(Edit::AddPlanting(Box::new(leek(9, "A2"))).title(&garden), "place leek in A2");
    let between = Edit::AddPlanting(Box::new(onion_between(9, 7, "A2")));
    assert_eq!(between.title(&garden), "place salad onion between leek in A2");
    assert_eq!(Edit::RemovePlanting(PlantingId(2)).title(&garden), "remove salad onion from A1");
    assert_eq!(change_bed(&garden, "A1", |b| b.width_mm = Mm(900)).title(&garden), "resize bed A1");
    assert_eq!(change_bed(&garden, "A1", |b| b.east_mm = Mm(900)).title(&garden), "move bed A1");
    assert_eq!(Edit::Take(Key::Past(EntryId(1))).title(&garden), "take shallot 2024 out of the history of A1");
    assert_eq!(Edit::Take(Key::Hazard(EntryId(1))).title(&garden), "take back clubroot in A2");
    let years = |years| Edit::return_after("alliaceae", years, &garden).unwrap().title(&garden);
    assert_eq!(years(Some(4)), "bring alliaceae back after 4 years");
    assert_eq!(years(Some(0)), "leave alliaceae out of rotation");
}

#[test]
fn undo_goes_back_to_the_start_and_redo_to_the_end() {
    let start = garden();
    let (mut garden, mut undo) = (start.clone(), Undo::default());
    assert_eq!(undo.undo(&mut garden), None);
    let mut make = |garden: &mut Garden, edit: Edit| {
        let title = edit.title(garden);
        undo.done(title, edit.apply_to(garden).unwrap());
    };
    make(&mut garden, Edit::AddPlanting(Box::new(leek(9, "A1"))));
    let edit = change(&garden, 9, |p| p.bed = "A2".to_owned());
    make(&mut garden, edit);
    let end = garden.clone();
    assert_eq!(undo.undo_title(), Some("move leek from A1 to A2"));
    let told = |step: Option<Record>| step.map(|record| (record.how, record.title));
    let title = "move leek from A1 to A2".to_owned();
    assert_eq!(told(undo.undo(&mut garden)), Some((How::TakenBack, title)));
    let title = "place leek in A1".to_owned();
    assert_eq!(told(undo.undo(&mut garden)), Some((How::TakenBack, title)));
    assert_eq!((&garden, undo.undo(&mut garden.clone())), (&start, None));
    assert_eq!(undo.redo_title(), Some("place leek in A1"));
    assert!(undo.redo(&mut garden).is_some() && undo.redo(&mut garden).is_some());
    assert_eq!((&garden, undo.redo_title()), (&end, None));
    undo.undo(&mut garden);
    let edit = Edit::Rename("New".to_owned());
    let inverse = edit.apply_to(&mut garden).unwrap();
    undo.done("rename the garden", inverse);
    assert_eq!(undo.redo_title(), None, "what was undone is gone once something else is done");
}

#[test]
fn the_head_comment_survives_a_save_and_stays_a_comment() {
    let text = format!("// The walled garden.\n// Mistakes on purpose: none.\n{}", garden().to_ron());
    let read = Garden::from_ron(&text, "g.ron").unwrap();
    assert_eq!(read.to_ron(), text);
    let mut careless = garden();
    careless.header_comment = "no comment\nat all".to_owned();
    assert!(careless.to_ron().starts_with("// no comment\n// at all\n(\n"));
    assert!(Garden::from_ron(&careless.to_ron(), "g.ron").is_ok());
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_are_taken() {
    let text = format!("\u{feff}{}", garden().to_ron().replace('\n', "\r\n"));
    assert_eq!(Garden::from_ron(&text, "g.ron").unwrap(), garden());
}

#[test]
fn plantings_in_any_order_are_read_and_saved_in_order() {
    let mut shuffled = garden();
    shuffled.plantings.rotate_left(2);
    assert_eq!(Garden::from_ron(&shuffled.to_ron(), "g.ron").unwrap(), garden());
}

#[test]
fn no_optional_value_is_written_with_its_wrapping() {
    let mut full = garden();
    full.plantings[0].setback_mm = Some(Mm(100));
    let what = Happening::Picked { g: Some(900), pieces: Some(3), household: Some(EntryId(1)), is_last: false };
    full.happened = vec![Happened { id: EntryId(1), planting: PlantingId(1), date: day("2027-10-04"), what }].into();
    full.past[0].strip_mm = Some((Mm(0), Mm(50)));
    let text = full.to_ron();
    assert!(!text.contains("Some(") && !text.contains("None"), "{text}");
    assert_eq!(Garden::from_ron(&text, "g.ron").unwrap(), full);
}
