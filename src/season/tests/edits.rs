use proptest::prelude::*;

use super::*;
use crate::garden::tests as any;
use crate::garden::{
    Amendment, ClimateChoice, Edit, HazardSeen, Household, Key, PastCrop, Price, Record, Site, SoilEntry,
};
use crate::season::plan::Reach;

const CROPS: [&str; 9] = [
    "runner-bean",
    "leek",
    "garlic",
    "salad-onion",
    "kale",
    "lettuce-head",
    "beetroot",
    "cabbage-summer",
    "potato-first-early",
];
const BEDS: [&str; 4] = ["A1", "A2", "B1", "B2"];

fn start() -> Garden {
    let mut garden = garden(&BEDS);
    // Side by side, so that tall crops shade the bed next to theirs.
    for (n, bed) in (1..).zip(&mut garden.beds) {
        bed.east_mm = Mm::from_cm(165 * n);
    }
    garden.plantings = vec![
        planting(1, "A1", "leek", grid(30), day(2027, 6, 7), day(2028, 3, 1)),
        planting(2, "A1", "salad-onion", Layout::Between { host: PlantingId(1) }, day(2027, 6, 7), day(2027, 8, 9)),
        planting(3, "A2", "garlic", grid(15), day(2026, 10, 20), day(2027, 7, 10)),
        planting(4, "B1", "kale", grid(45), day(2027, 6, 1), day(2028, 3, 1)),
    ];
    garden.past = [("A1", 2026, "kale"), ("A2", 2025, "leek"), ("B1", 2026, "cabbage-summer"), ("B1", 2024, "kale")]
        .map(|(bed, year, what)| PastCrop {
            id: EntryId::NONE,
            bed: bed.to_owned(),
            year,
            what: what.to_owned(),
            strip_mm: None,
            side: Side::Whole,
        })
        .to_vec()
        .into();
    garden.number_rows();
    garden
}

/// What a grower might do next; the numbers choose among what is there.
#[derive(Debug, Clone)]
enum Step {
    Add { crop: usize, bed: usize, start_days: i64, stay_days: i64, strip: i32, side: u8, edge: bool },
    Interplant { host: usize, crop: usize },
    Move { which: usize, bed: usize },
    Shift { which: usize, days: i64 },
    Remove { which: usize },
    AddPast { id: u32, bed: usize, year: i32, crop: usize },
    ChangePast { which: usize, bed: usize },
    TakePast { which: usize },
    Tell { which: usize, days: i64, kind: u8 },
    ChangeTold { which: usize, other: usize },
    TakeTold { which: usize },
    Want { crop: usize },
    Price { crop: usize },
    OwnCrop { id: u8, spacing_cm: i32 },
    TakeOwnCrop,
    Hazard { bed: usize },
    Compost { bed: usize, days: i64 },
    Accept { which: usize },
    Unaccept,
    AddBed { at: usize },
    RenameBed { which: usize },
    ResizeBed { which: usize, length_cm: i32, is_covered: bool },
    ReplaceBed { which: usize },
    RemoveBed { which: usize },
    Return { years: u32 },
    Site { is_upland: bool },
    MoveBoth { one: usize, other: usize, bed: usize },
    Undo,
    Redo,
}

fn step() -> impl Strategy<Value = Step> {
    let n = 0..64_usize;
    prop_oneof![
        6 => (n.clone(), n.clone(), 0..900_i64, 30..250_i64, 0..5_i32, 0..3_u8, any::<bool>()).prop_map(
            |(crop, bed, start_days, stay_days, strip, side, edge)| Step::Add {
                crop, bed, start_days, stay_days, strip, side, edge
            }
        ),
        2 => (n.clone(), n.clone()).prop_map(|(host, crop)| Step::Interplant { host, crop }),
        3 => (n.clone(), n.clone()).prop_map(|(which, bed)| Step::Move { which, bed }),
        3 => (n.clone(), -60..60_i64).prop_map(|(which, days)| Step::Shift { which, days }),
        2 => n.clone().prop_map(|which| Step::Remove { which }),
        2 => (1..9_u32, n.clone(), 2022..2027_i32, n.clone())
            .prop_map(|(id, bed, year, crop)| Step::AddPast { id, bed, year, crop }),
        1 => (n.clone(), n.clone()).prop_map(|(which, bed)| Step::ChangePast { which, bed }),
        2 => n.clone().prop_map(|which| Step::TakePast { which }),
        3 => (n.clone(), 0..900_i64, 0..5_u8).prop_map(|(which, days, kind)| Step::Tell { which, days, kind }),
        1 => (n.clone(), n.clone()).prop_map(|(which, other)| Step::ChangeTold { which, other }),
        1 => n.clone().prop_map(|which| Step::TakeTold { which }),
        1 => n.clone().prop_map(|crop| Step::Want { crop }),
        1 => n.clone().prop_map(|crop| Step::Price { crop }),
        1 => (0..3_u8, 10..60_i32).prop_map(|(id, spacing_cm)| Step::OwnCrop { id, spacing_cm }),
        1 => Just(Step::TakeOwnCrop),
        1 => n.clone().prop_map(|bed| Step::Hazard { bed }),
        1 => (n.clone(), 0..900_i64).prop_map(|(bed, days)| Step::Compost { bed, days }),
        3 => n.clone().prop_map(|which| Step::Accept { which }),
        1 => Just(Step::Unaccept),
        1 => n.clone().prop_map(|at| Step::AddBed { at }),
        1 => n.clone().prop_map(|which| Step::RenameBed { which }),
        1 => (n.clone(), 300..400_i32, any::<bool>())
            .prop_map(|(which, length_cm, is_covered)| Step::ResizeBed { which, length_cm, is_covered }),
        1 => n.clone().prop_map(|which| Step::ReplaceBed { which }),
        1 => n.clone().prop_map(|which| Step::RemoveBed { which }),
        1 => (0..6_u32).prop_map(|years| Step::Return { years }),
        1 => any::<bool>().prop_map(|is_upland| Step::Site { is_upland }),
        1 => (n.clone(), n.clone(), n).prop_map(|(one, other, bed)| Step::MoveBoth { one, other, bed }),
        3 => Just(Step::Undo),
        2 => Just(Step::Redo),
    ]
}

fn pick<T>(list: &[T], n: usize) -> Option<&T> {
    if list.is_empty() { None } else { list.get(n % list.len()) }
}

fn edit_of(sitting: &Sitting, step: &Step) -> Option<Edit> {
    let plan = sitting.plan();
    let garden = plan.garden();
    let later = |days: i64| day(2026, 9, 1) + chrono::Duration::days(days);
    let moved = |which: usize, bed: usize| {
        let planting = pick(&garden.plantings, which)?;
        Some(Planting { bed: pick(&garden.beds, bed)?.id.clone(), ..planting.clone() })
    };
    Some(match *step {
        Step::Add { crop, bed, start_days, stay_days, strip, side, edge } => {
            let layout = if edge { Layout::Edge { spacing_mm: Mm::from_cm(15), along: Side::Left } } else { grid(30) };
            let bed = &pick(&garden.beds, bed)?.id;
            let (from, to) = (later(start_days), later(start_days + stay_days));
            let mut added = planting(garden.next_planting_id().0, bed, pick(&CROPS, crop)?, layout, from, to);
            added.side = [Side::Whole, Side::Left, Side::Right][usize::from(side)];
            Edit::AddPlanting(Box::new(on_strip(added, strip * 30, 180 + strip * 30)))
        }
        Step::Interplant { host, crop } => {
            let host = pick(&garden.plantings, host)?;
            let bed_idx = plan.bed_idx(&host.bed)?;
            let crop = pick(&CROPS, crop)?;
            Edit::AddPlanting(Box::new(plan.proposed_interplanting(bed_idx, host.id, crop, day(2027, 5, 1))?))
        }
        Step::Move { which, bed } => Edit::ChangePlanting(Box::new(moved(which, bed)?)),
        Step::Shift { which, days } => {
            let mut planting = pick(&garden.plantings, which)?.clone();
            let shift = |date: &mut Option<NaiveDate>| *date = date.map(|date| date + chrono::Duration::days(days));
            shift(&mut planting.planned.sow);
            shift(&mut planting.planned.plant);
            shift(&mut planting.planned.clear);
            Edit::ChangePlanting(Box::new(planting))
        }
        Step::Remove { which } => Edit::RemovePlanting(pick(&garden.plantings, which)?.id),
        Step::AddPast { id, bed, year, crop } => Edit::put(PastCrop {
            id: EntryId(id),
            bed: pick(&garden.beds, bed)?.id.clone(),
            year,
            what: (*pick(&CROPS, crop)?).to_owned(),
            strip_mm: None,
            side: Side::Whole,
        }),
        Step::ChangePast { which, bed } => {
            let bed = pick(&garden.beds, bed)?.id.clone();
            Edit::change(PastCrop { bed, ..pick(&garden.past, which)?.clone() })
        }
        Step::TakePast { which } => Edit::Take(Key::Past(pick(&garden.past, which)?.id)),
        Step::Want { crop } => {
            let crop = (*pick(&CROPS, crop)?).to_owned();
            let household = Household {
                id: EntryId::NONE,
                name: "Mill".to_owned(),
                n_people: 4,
                wants_g_per_week: [(crop, 300)].into(),
            };
            Edit::adding(household, garden)
        }
        Step::Tell { which, days, kind } => {
            let what = match kind {
                0 => Happening::Sown,
                1 => Happening::Planted,
                2 => Happening::Ended { why: None },
                _ => Happening::Picked { g: Some(300), pieces: None, household: None, is_last: kind == 4 },
            };
            Edit::adding(happened(pick(&garden.plantings, which)?.id.0, later(days), what), garden)
        }
        Step::ChangeTold { which, other } => {
            let planting = pick(&garden.plantings, other)?.id;
            Edit::change(Happened { planting, ..*pick(&garden.happened, which)? })
        }
        Step::TakeTold { which } => Edit::Take(Key::Happened(pick(&garden.happened, which)?.id)),
        Step::Price { crop } => {
            let crop = (*pick(&CROPS, crop)?).to_owned();
            Edit::adding(Price { id: EntryId::NONE, crop, minor_per_kg: 300 }, garden)
        }
        // Leeks at another distance, or a crop no book knows.
        Step::OwnCrop { id, spacing_cm } => {
            let mut crop = plan.book().crop("leek")?.clone();
            if id > 0 {
                crop.id = format!("own-{id}");
                crop.name = format!("own {id}");
                crop.other_names = Vec::new();
            }
            crop.spacing.equidistant_mm = Some(Mm::from_cm(spacing_cm));
            match garden.row::<crate::crops::Crop>(&crop.id) {
                Some(_) => Edit::change(crop),
                None => Edit::put(crop),
            }
        }
        Step::TakeOwnCrop => Edit::Take(Key::OwnCrop(garden.own_crops.first()?.id.clone())),
        Step::Hazard { bed } => {
            let seen = HazardSeen {
                id: EntryId::NONE,
                bed: pick(&garden.beds, bed)?.id.clone(),
                hazard: "clubroot".to_owned(),
                date: day(2025, 8, 1),
                notes: String::new(),
            };
            Edit::adding(seen, garden)
        }
        Step::Compost { bed, days } => {
            let entry = SoilEntry {
                id: EntryId::NONE,
                bed: pick(&garden.beds, bed)?.id.clone(),
                date: later(days),
                amendment: Amendment::Compost,
                depth_mm: None,
                weight_g: None,
            };
            Edit::adding(entry, garden)
        }
        Step::Accept { which } => {
            Edit::adding(plan.acceptance(pick(&plan.findings(), which)?, "it is all right")?, garden)
        }
        Step::Unaccept => Edit::Take(Key::Accepted(garden.accepted.first()?.id)),
        Step::AddBed { at } => {
            Edit::AddBed { at: at % (garden.beds.len() + 1), bed: bed(&format!("N{}", sitting.revision()), 120, 400) }
        }
        Step::RenameBed { which } => {
            let before = pick(&garden.beds, which)?;
            let renamed = crate::garden::Bed { id: format!("R{}", sitting.revision()), ..before.clone() };
            Edit::ChangeBed { id: before.id.clone(), bed: renamed }
        }
        Step::ResizeBed { which, length_cm, is_covered } => {
            let before = pick(&garden.beds, which)?;
            let cover = if is_covered { Cover::UnheatedTunnel } else { Cover::Open };
            let bed = crate::garden::Bed { length_mm: Mm::from_cm(length_cm), cover, ..before.clone() };
            Edit::ChangeBed { id: before.id.clone(), bed }
        }
        // Taken out and laid out anew under its old name, with a planting in it.
        Step::ReplaceBed { which } => {
            let before = pick(&garden.beds, which)?;
            let id = garden.next_planting_id().0;
            let grown = planting(id, &before.id, "kale", grid(45), day(2027, 6, 1), day(2028, 3, 1));
            Edit::Several {
                title: "lay a bed out anew".to_owned(),
                edits: vec![
                    Edit::RemoveBed(before.id.clone()),
                    Edit::AddBed { at: 0, bed: crate::garden::Bed { cover: Cover::Glass, ..before.clone() } },
                    Edit::AddPlanting(Box::new(grown)),
                ],
            }
        }
        Step::RemoveBed { which } => Edit::RemoveBed(pick(&garden.beds, which)?.id.clone()),
        Step::Site { is_upland } => {
            let name = if is_upland { "maritime-upland" } else { "continental" };
            Edit::SetSite(Site { climate: ClimateChoice::Book(name.to_owned()), ..garden.site.clone() })
        }
        Step::Return { years } => Edit::return_after("amaryllidaceae", years.checked_sub(1), garden)?,
        Step::MoveBoth { one, other, bed } => Edit::Several {
            title: "move both".to_owned(),
            edits: vec![
                Edit::ChangePlanting(Box::new(moved(one, bed)?)),
                Edit::ChangePlanting(Box::new(moved(other, bed)?)),
                Edit::Rename("Moved about".to_owned()),
            ],
        },
        Step::Undo | Step::Redo => return None,
    })
}

/// What of a plan is not as it would be worked out from scratch.
fn from_scratch(plan: &Plan) -> Option<String> {
    let anew = Plan::new(plan.garden().clone(), &book());
    if let Some(table) = plan.table_unlike(&anew) {
        return Some(format!("{table} differs"));
    }
    let (is, should) = (worked_out(plan), worked_out(&anew));
    (is != should).then(|| format!("beds are {is}\nand should be {should}"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_edited_the_plan_is_what_it_would_be_worked_out_from_scratch(steps in prop::collection::vec(step(), 1..25)) {
        let mut sitting = sitting(start());
        for step in steps {
            match step {
                Step::Undo => drop(sitting.undo()),
                Step::Redo => drop(sitting.redo()),
                ref step => {
                    if let Some(edit) = edit_of(&sitting, step) {
                        // Edits that the garden refuses are part of the game: nothing may change then.
                        let _ = sitting.apply(edit);
                    }
                }
            }
            if let Some(differs) = from_scratch(sitting.plan()) {
                prop_assert!(false, "after {step:?}: {differs}");
            }
        }
        while sitting.redo().is_some() {}
        let last = sitting.plan().garden().clone();
        while sitting.undo().is_some() {}
        prop_assert_eq!(sitting.plan().garden(), &start());
        prop_assert_eq!(from_scratch(sitting.plan()), None);
        while sitting.redo().is_some() {}
        prop_assert_eq!(sitting.plan().garden(), &last);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// Rows of every list among them, and several edits at once that undo one another.
    #[test]
    fn a_garden_an_edit_away_comes_to_what_it_would_from_scratch_and_the_plan_it_came_from_stays(
        edits in prop::collection::vec(any::random::edit(), 1..12)
    ) {
        let mut plan = plan(any::garden());
        for edit in edits {
            let before = plan.garden().clone();
            let was = worked_out(&plan);
            let Ok(next) = plan.with(edit.clone()) else { continue };
            if let Some(differs) = from_scratch(&next) {
                prop_assert!(false, "after {edit:?}: {differs}");
            }
            prop_assert_eq!((plan.garden(), worked_out(&plan)), (&before, was));
            prop_assert_eq!(from_scratch(&plan), None);
            let reach = Reach::before(&edit, &before).and_after(&edit, next.garden(), before.beds.len());
            for bed in before.beds.iter().chain(&next.garden().beds).filter(|_| !reach.is_every_bed) {
                let of_bed = |garden| any::random::of_bed(garden, &bed.id);
                // A bed that is gone, or has another name now, has no results.
                let is_there = next.garden().bed(&bed.id).is_some();
                let is_reached = reach.bed_ids.contains(&bed.id) || !is_there;
                prop_assert!(is_reached || of_bed(&before) == of_bed(next.garden()), "{} after {edit:?}", bed.id);
            }
            plan = next;
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// From one plan in many directions, as gardens are weighed.
    #[test]
    fn gardens_one_edit_away_from_the_same_plan_do_not_touch_each_other(steps in prop::collection::vec(step(), 1..12)) {
        let sitting = sitting(start());
        let was = worked_out(sitting.plan());
        let away = steps.iter().filter_map(|step| sitting.plan().with(edit_of(&sitting, step)?).ok());
        for plan in away.collect::<Vec<_>>() {
            prop_assert_eq!(from_scratch(&plan), None);
        }
        prop_assert_eq!((sitting.plan().garden(), worked_out(sitting.plan())), (&start(), was));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() })]

    /// A journal read back: the garden, what is worked out, and what undo and redo would do.
    #[test]
    fn recorded_steps_made_again_lead_to_the_same_plan_and_the_same_undo(steps in prop::collection::vec(step(), 1..25)) {
        let mut first = sitting(start());
        let mut lines = Vec::new();
        for step in steps {
            let record = match step {
                Step::Undo => first.undo(),
                Step::Redo => first.redo(),
                ref step => edit_of(&first, step).and_then(|edit| first.apply(edit).ok()),
            };
            lines.extend(record.map(|record| record.to_line().unwrap()));
        }
        let mut second = sitting(start());
        for line in &lines {
            second.replay(&Record::from_line(line).unwrap()).unwrap();
        }
        prop_assert_eq!(second.plan().garden().to_ron(), first.plan().garden().to_ron());
        prop_assert_eq!(worked_out(second.plan()), worked_out(first.plan()));
        prop_assert_eq!((second.undo_title(), second.redo_title()), (first.undo_title(), first.redo_title()));
        while first.undo().is_some() {
            prop_assert!(second.undo().is_some());
        }
        prop_assert!(second.undo().is_none());
        prop_assert_eq!(second.plan().garden(), first.plan().garden());
    }
}

/// The file was saved between an edit and its taking back, so the journal begins with what was taken back.
#[test]
fn what_was_taken_back_of_a_sitting_before_is_an_edit_like_any_other() {
    let mut first = sitting(start());
    let added = planting(9, "B2", "beetroot", grid(25), day(2027, 5, 1), day(2027, 8, 1));
    first.apply(Edit::AddPlanting(Box::new(added))).unwrap();
    let saved = first.plan().garden().clone();
    let taken_back = first.undo().unwrap();
    let mut second = sitting(saved.clone());
    second.replay(&taken_back).unwrap();
    assert_eq!(second.plan().garden(), first.plan().garden());
    assert_eq!(second.undo_title(), Some("taken back: place beetroot in B2"));
    second.undo().unwrap();
    assert_eq!(second.plan().garden(), &saved);
}

#[test]
fn undo_and_redo_say_what_they_did_and_work_the_beds_out_again() {
    let mut sitting = sitting(start());
    let before = worked_out(sitting.plan());
    let added = planting(9, "B2", "beetroot", grid(25), day(2027, 5, 1), day(2027, 8, 1));
    sitting.apply(Edit::AddPlanting(Box::new(added))).unwrap();
    assert_eq!(sitting.plan().standing_in(3).len(), 1);
    assert_eq!(sitting.undo_title(), Some("place beetroot in B2"));
    let placed = worked_out(sitting.plan());
    assert_eq!(sitting.undo().unwrap().title, "place beetroot in B2");
    assert_eq!(worked_out(sitting.plan()), before);
    assert_eq!(sitting.redo_title(), Some("place beetroot in B2"));
    assert!(sitting.redo().is_some());
    assert_eq!(worked_out(sitting.plan()), placed);
    assert_eq!(sitting.revision(), 3);
}

#[test]
fn an_edit_that_does_not_apply_changes_nothing() {
    let mut sitting = sitting(start());
    let all = |sitting: &Sitting| (worked_out(sitting.plan()), sitting.plan().garden().clone(), sitting.revision());
    let before = all(&sitting);
    assert!(sitting.apply(Edit::RemovePlanting(PlantingId(99))).is_err());
    assert!(sitting.plan().with(Edit::RemovePlanting(PlantingId(99))).is_err());
    assert_eq!(all(&sitting), before);
    assert_eq!(sitting.undo_title(), None);
}

#[test]
fn many_beds_worked_out_on_several_threads_come_out_as_one_by_one() {
    let mut many = garden(&[]);
    let start = start();
    for n in 0..40 {
        let offset = many.plantings.len() as u32;
        for id in BEDS {
            many.beds.push(bed(&format!("{id}-{n}"), 120, 300));
        }
        for planting in &start.plantings {
            let layout = match planting.layout {
                Layout::Between { host } => Layout::Between { host: PlantingId(host.0 + offset) },
                ref layout => layout.clone(),
            };
            let (id, bed) = (PlantingId(planting.id.0 + offset), format!("{}-{n}", planting.bed));
            many.plantings.push(Planting { id, bed, layout, ..planting.clone() });
        }
    }
    let plan = plan(many);
    assert_eq!(plan.beds().len(), 160);
    let n_findings = plan.beds()[..4].iter().map(|bed| bed.findings.len()).sum::<usize>();
    assert!(n_findings > 0);
    assert_eq!(plan.findings().len(), n_findings * 40);
}

/// What is wanted and paid for a crop is asked for only when candidates are weighed, so no bed shows it.
#[test]
fn what_could_follow_is_weighed_by_what_is_wanted_and_paid_now() {
    let mut sitting = sitting(start());
    let ranked = |plan: &Plan| -> Vec<String> {
        plan.candidates(3, day(2027, 6, 1)).into_iter().map(|candidate| format!("{candidate:?}")).collect()
    };
    let before = ranked(sitting.plan());
    let wants = Household {
        id: EntryId::NONE,
        name: "Mill".to_owned(),
        n_people: 4,
        wants_g_per_week: [("beetroot".to_owned(), 900)].into(),
    };
    let price = Price { id: EntryId::NONE, crop: "beetroot".to_owned(), minor_per_kg: 5_000 };
    let garden = sitting.plan().garden();
    for edit in [Edit::adding(wants, garden), Edit::adding(price, garden)] {
        let was = ranked(sitting.plan());
        sitting.apply(edit).unwrap();
        let is = ranked(sitting.plan());
        assert_ne!(is, was);
        assert_eq!(is, ranked(&plan(sitting.plan().garden().clone())));
    }
    sitting.undo().unwrap();
    sitting.undo().unwrap();
    assert_eq!(ranked(sitting.plan()), before);
}

#[test]
fn an_edit_is_called_by_the_books_name_for_the_crop() {
    let mut sitting = sitting(garden(&["A1"]));
    let onions = planting(1, "A1", "onion-overwintered", grid(15), day(2027, 9, 1), day(2028, 6, 20));
    sitting.apply(Edit::AddPlanting(Box::new(onions))).unwrap();
    let book = book();
    let name = &book.crop("onion-overwintered").unwrap().name;
    assert_eq!(sitting.undo_title(), Some(format!("place {} in A1", crate::crops::in_text(name)).as_str()));
    assert_ne!(sitting.undo_title(), Some("place onion overwintered in A1"));
}

fn reach_of(plan: &Plan, edit: &Edit) -> Reach {
    let garden = plan.garden();
    Reach::before(edit, garden).and_after(edit, plan.with(edit.clone()).unwrap().garden(), garden.beds.len())
}

/// No more than that: what is not reached is not worked out.
#[test]
fn an_edit_reaches_the_beds_it_names_before_and_after() {
    let plan = plan(start());
    let reach = |edit: Edit| reach_of(&plan, &edit);
    let beds = |ids: &[&str]| ids.iter().map(|id| (*id).to_owned()).collect();
    let to_b2 = Planting { bed: "B2".to_owned(), ..plan.garden().planting(PlantingId(4)).unwrap().clone() };
    let moved = reach(Edit::ChangePlanting(Box::new(to_b2)));
    assert_eq!(moved, Reach { bed_ids: beds(&["B1", "B2"]), plantings: [PlantingId(4)].into(), ..Reach::default() });
    let past = plan.garden().past[0].clone();
    let to_b1 = reach(Edit::change(PastCrop { bed: "B1".to_owned(), ..past.clone() }));
    assert_eq!(to_b1, Reach { bed_ids: beds(&["A1", "B1"]), is_records: true, ..Reach::default() });
    let taken = reach(Edit::Take(Key::Past(past.id)));
    assert_eq!(taken, Reach { bed_ids: beds(&["A1"]), is_records: true, ..Reach::default() });
    assert_eq!(reach(Edit::Rename("Else".to_owned())), Reach::default());
    let bare = reach(Edit::AddBed { at: 0, bed: bed("C1", 120, 300) });
    assert_eq!(bare, Reach { bed_ids: beds(&["C1"]), is_walk: true, ..Reach::default() });
    let price = Price { id: EntryId::NONE, crop: "leek".to_owned(), minor_per_kg: 300 };
    assert_eq!(reach(Edit::adding(price, plan.garden())), Reach { is_worth: true, ..Reach::default() });
    let site = reach(Edit::SetSite(plan.garden().site.clone()));
    assert_eq!(site, Reach { is_site: true, is_every_bed: true, ..Reach::default() });
    let leek = plan.book().crop("leek").unwrap().clone();
    let own = reach(Edit::put(leek));
    assert_eq!(own, Reach { is_book: true, is_every_bed: true, ..Reach::default() });
    let gone = reach(Edit::RemoveBed("B2".to_owned()));
    assert_eq!(gone, Reach { is_walk: true, ..Reach::default() });
    let years = reach(Edit::return_after("amaryllidaceae", Some(3), plan.garden()).unwrap());
    assert_eq!(years, Reach { is_policy: true, is_every_bed: true, ..Reach::default() });
}

/// Work is shared out alike for 9 to 16 beds and for 17 to 32.
#[test]
fn a_bed_more_reaches_every_bed_where_each_is_looked_at_less_closely_then() {
    let ids: Vec<String> = (1..=16).map(|n| format!("A{n}")).collect();
    let ids: Vec<&str> = ids.iter().map(String::as_str).collect();
    let one_more = Edit::AddBed { at: 0, bed: bed("C1", 120, 300) };
    assert!(reach_of(&plan(garden(&ids)), &one_more).is_every_bed);
    assert!(!reach_of(&plan(garden(&ids[1..])), &one_more).is_every_bed);
}

#[test]
fn what_an_edit_does_not_reach_is_shared() {
    let plan = plan(start());
    let one = plan.garden().planting(PlantingId(4)).unwrap();
    let later = Planting { from_mm: Mm(300), ..one.clone() };
    let next = plan.with(Edit::ChangePlanting(Box::new(later))).unwrap();
    let shared: Vec<bool> = plan.beds().iter().zip(next.beds()).map(|(was, is)| Arc::ptr_eq(was, is)).collect();
    assert_eq!(shared, [true, true, false, true]);
}

#[path = "kept.rs"]
mod kept;
