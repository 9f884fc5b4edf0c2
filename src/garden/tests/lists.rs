//! Rows of lists: their keys, what every list has in common, and files that give no numbers.

use std::collections::BTreeMap;

use super::*;

fn household(id: u32, name: &str) -> Household {
    Household { id: EntryId(id), name: name.to_owned(), n_people: 4, wants_g_per_week: BTreeMap::new() }
}

/// A garden with two rows in every list, and both of them.
fn full() -> (Garden, Vec<Entry>) {
    let mut garden = garden();
    let leek = crate::crops::CropBook::embedded().unwrap().crop("leek").unwrap().clone();
    let mut entries: Vec<Entry> = Vec::new();
    for n in [8, 9] {
        let (id, bed, date) = (EntryId(n), "A2".to_owned(), day("2027-01-12"));
        let name = format!("x{n}");
        entries.extend([
            FamilyReturn { family: name.clone(), years: n }.into(),
            Happened { id, planting: PlantingId(7), date, what: Happening::Lost { plants: n, why: None } }.into(),
            PastCrop { id, bed: bed.clone(), ..garden.past[0].clone() }.into(),
            HazardSeen { id, ..garden.hazards_seen[0].clone() }.into(),
            SoilEntry { id, bed, ..garden.soil_log[0].clone() }.into(),
            Accepted {
                id,
                rule: name.clone(),
                planting: PlantingId(7),
                against: Against::Nothing,
                reason: name.clone(),
            }
            .into(),
            Quiet { id, rule: name.clone(), bed: Some("A2".to_owned()), crop: None, reason: name.clone() }.into(),
            household(n, &name).into(),
            BoxKind { id, name: name.clone(), n_crops: 5, weight_g: 3_000 }.into(),
            Price { id, crop: name.clone(), minor_per_kg: 320 }.into(),
            Expense { id, date, kind: name.clone(), minor: 1_250, notes: String::new() }.into(),
            SeedLot { id, crop: name.clone(), variety: name.clone(), n_seeds: 300, packed_year: 2026 }.into(),
            crate::crops::Crop { id: name.clone(), name, ..leek.clone() }.into(),
        ] as [Entry; 13]);
    }
    assert_eq!(entries.len(), 2 * List::ALL.len(), "a list has no row here");
    for entry in &entries {
        Edit::Put(Box::new(entry.clone())).apply_to(&mut garden).unwrap();
    }
    (garden, entries)
}

#[test]
fn a_row_of_every_list_is_taken_out_and_put_back_where_it_stood() {
    let (full, entries) = full();
    for entry in entries {
        let mut garden = full.clone();
        let title = Edit::Take(entry.key()).title(&garden);
        let back = Edit::Take(entry.key()).apply_to(&mut garden).unwrap();
        assert_ne!(garden.to_ron(), full.to_ron());
        assert_eq!(entry.key().find(&garden), None);
        assert!(!title.contains("take out a"), "{title}");
        let again = Edit::Take(entry.key()).apply_to(&mut garden).unwrap_err().to_string();
        assert!(again.starts_with(&format!("there is no {} ", entry.list().about().one)), "{again}");
        back.apply_to(&mut garden).unwrap();
        assert_eq!(garden, full);
        assert!(Edit::Put(Box::new(entry)).apply_to(&mut garden).is_err());
        assert_eq!(garden, full);
    }
}

#[test]
fn every_list_is_told_in_differences_and_titles() {
    let (full, entries) = full();
    let before = garden();
    let found = Differences::from_to(&before, &full);
    let told: Vec<String> =
        found.parts.iter().flat_map(|part| &part.mine).map(|change| change.words(&|_| None)).collect();
    assert_eq!(told.len(), entries.len());
    insta::assert_snapshot!(told.join("\n"));
    let titles = entries.iter().take(List::ALL.len()).flat_map(|entry| {
        let of = |edit: Edit| edit.title(&full);
        [of(Edit::Put(Box::new(entry.clone()))), of(Edit::Change(Box::new(entry.clone()))), of(Edit::Take(entry.key()))]
    });
    insta::assert_snapshot!(titles.collect::<Vec<_>>().join("\n"));
}

#[test]
fn rows_without_a_number_are_given_the_next_ones_in_their_order() {
    let text = |rows: &str| {
        let head = Garden::empty("hand").to_ron();
        format!("{}    households: [{rows}],\n)\n", head.trim_end().strip_suffix(')').unwrap())
    };
    let read = |rows: &str| Garden::from_ron(&text(rows), "g.ron").map(|garden| garden.households);
    let by_hand =
        read("(name: \"Mill\", n_people: 4), (id: 7, name: \"Ash\", n_people: 4), (name: \"Kiln\", n_people: 4)");
    assert_eq!(by_hand, Ok(vec![household(7, "Ash"), household(8, "Mill"), household(9, "Kiln")].into()));
    let shuffled = read("(id: 2, name: \"Mill\", n_people: 4), (id: 1, name: \"Ash\", n_people: 4)");
    assert_eq!(shuffled, Ok(vec![household(1, "Ash"), household(2, "Mill")].into()));
    let doubled = read("(id: 3, name: \"Mill\", n_people: 4),\n(id: 3, name: \"Ash\", n_people: 4)").unwrap_err();
    insta::assert_snapshot!(doubled);
    let misspelt = read("(idd: 3, name: \"Mill\", n_people: 4)").unwrap_err().to_string();
    assert!(misspelt.starts_with("error: `idd` is not a field of "), "{misspelt}");
    assert!(misspelt.contains("did you mean `id`?"), "{misspelt}");
}

#[test]
fn one_row_changed_by_both_is_told_on_both_sides_and_the_rest_is_left_out() {
    let (base, _) = full();
    let renamed = |name: &str| {
        let mut garden = base.clone();
        Edit::change(household(8, name)).apply_to(&mut garden).unwrap();
        garden
    };
    let found = Differences::between(&base, &renamed("Mill"), &renamed("Kiln"));
    let words = |changes: &[Change]| changes.iter().map(|change| change.words(&|_| None)).collect::<Vec<_>>();
    assert_eq!(found.parts.len(), 1);
    assert_eq!(words(&found.parts[0].mine), ["household Mill: changed"]);
    assert_eq!(words(&found.parts[0].theirs), ["household Kiln: changed"]);
    assert!(Differences::between(&base, &renamed("Mill"), &renamed("Mill")).is_empty());
}
