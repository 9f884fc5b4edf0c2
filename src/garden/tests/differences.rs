//! What two gardens have changed since they were one.

use super::*;

fn told(found: &Differences) -> Vec<String> {
    let names = |_: &str| None;
    let mut lines = Vec::new();
    for part in &found.parts {
        for (who, changes) in [("mine", &part.mine), ("theirs", &part.theirs)] {
            for change in changes {
                lines.push(format!("{}, {who}: {}", part.place.words(), change.words(&names)));
            }
        }
    }
    lines
}

fn edited(base: &Garden, edits: Vec<Edit>) -> Garden {
    let mut garden = base.clone();
    for edit in edits {
        edit.apply_to(&mut garden).unwrap();
    }
    garden
}

fn two_beds() -> Garden {
    edited(
        &Garden::empty("two beds"),
        vec![
            Edit::AddBed { at: 0, bed: bed("A1", 4_800) },
            Edit::AddBed { at: 1, bed: bed("A2", 4_800) },
            Edit::AddPlanting(Box::new(leek(1, "A1"))),
        ],
    )
}

#[test]
fn each_change_is_told_in_its_bed_with_who_made_it() {
    let base = two_beds();
    let later = Planting { clump: 3, to_mm: Mm(1_200), notes: "late".to_owned(), ..leek(1, "A1") };
    let mine = edited(&base, vec![Edit::ChangePlanting(Box::new(later)), Edit::Rename("mine".to_owned())]);
    let past = PastCrop {
        id: EntryId(1),
        bed: "A1".to_owned(),
        year: 2026,
        what: "pea".to_owned(),
        strip_mm: None,
        side: Side::Whole,
    };
    let theirs = edited(
        &base,
        vec![
            Edit::put(past),
            Edit::AddPlanting(Box::new(leek(2, "A2"))),
            Edit::ChangeBed { id: "A2".to_owned(), bed: bed("A2", 5_000) },
        ],
    );
    let found = Differences::between(&base, &mine, &theirs);
    assert_eq!(
        told(&found),
        [
            "bed A1, mine: leek (p1): strip, clump, notes changed",
            "bed A1, theirs: past crop pea 2026: put in",
            "bed A2, theirs: the bed itself: length changed",
            "bed A2, theirs: leek (p2): put in",
            "outside of beds, mine: the garden's name: changed",
        ]
    );
    let both: Vec<bool> = found.parts.iter().map(Part::is_both).collect();
    assert_eq!(both, [true, false, false]);
}

#[test]
fn what_moved_is_told_in_both_beds_and_what_both_changed_alike_is_left_out() {
    let base = two_beds();
    let moved = || Edit::ChangePlanting(Box::new(leek(1, "A2")));
    let mine = edited(&base, vec![moved()]);
    assert_eq!(
        told(&Differences::from_to(&base, &mine)),
        ["bed A1, mine: leek (p1): moved to A2", "bed A2, mine: leek (p1): moved here from A1"]
    );
    let theirs = edited(&base, vec![moved(), Edit::RemoveBed("A1".to_owned())]);
    assert_eq!(told(&Differences::between(&base, &mine, &theirs)), ["bed A1, theirs: the bed itself: taken out"]);
    assert!(Differences::between(&base, &mine, &mine).is_empty());
}

#[test]
fn two_equal_entries_of_a_list_count_as_two() {
    let base = two_beds();
    let entry = |id| SoilEntry {
        id: EntryId(id),
        bed: "A1".to_owned(),
        date: day("2027-03-01"),
        amendment: Amendment::Lime,
        depth_mm: None,
        weight_g: None,
    };
    let add = |id| Edit::put(entry(id));
    let (one, two) = (edited(&base, vec![add(1)]), edited(&base, vec![add(1), add(2)]));
    assert_eq!(told(&Differences::from_to(&one, &two)), ["bed A1, mine: lime given on 2027-03-01: put in"]);
    assert_eq!(told(&Differences::from_to(&two, &one)), ["bed A1, mine: lime given on 2027-03-01: taken out"]);
}

#[test]
fn another_order_of_the_beds_is_told_once() {
    let base = two_beds();
    let mut mine = base.clone();
    mine.beds.reverse();
    assert_eq!(told(&Differences::from_to(&base, &mine)), ["outside of beds, mine: the order of the beds: changed"]);
}
