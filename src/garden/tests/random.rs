//! Random gardens and random edits.

use std::sync::LazyLock;

use proptest::prelude::*;

use super::*;
use crate::crops::{Crop, CropBook};

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[a-z]{1,8}",
        Just("O'Brien \"best\" \\ (½ m²), ä // no comment /* \u{301}".to_owned()),
    ]
}

fn notes() -> impl Strategy<Value = String> {
    prop_oneof![text(), Just("two\nlines\tand a tab".to_owned())]
}

fn any_day() -> impl Strategy<Value = NaiveDate> {
    (0_u64..2_000).prop_map(|n| day("2025-01-01") + chrono::Days::new(n))
}

fn layout() -> impl Strategy<Value = Layout> {
    let mm = || (1_i32..900).prop_map(Mm);
    let run = || prop_oneof![Just(Run::Along), Just(Run::Across)];
    prop_oneof![
        mm().prop_map(|spacing_mm| Layout::Grid { spacing_mm }),
        mm().prop_map(|spacing_mm| Layout::Offset { spacing_mm }),
        (mm(), mm(), run()).prop_map(|(row_mm, in_row_mm, run)| Layout::Rows { row_mm, in_row_mm, run }),
        (mm(), 0.1_f64..200.0, run()).prop_map(|(row_mm, plants_per_m, run)| Layout::Drill {
            row_mm,
            plants_per_m,
            run
        }),
        (mm(), side()).prop_map(|(spacing_mm, along)| Layout::Edge { spacing_mm, along }),
        (1_u32..12).prop_map(|host| Layout::Between { host: PlantingId(host) }),
        (0.1_f64..900.0).prop_map(|plants_per_m2| Layout::Broadcast { plants_per_m2 }),
    ]
}

fn side() -> impl Strategy<Value = Side> {
    prop_oneof![Just(Side::Whole), Just(Side::Left), Just(Side::Right)]
}

fn bed_id() -> impl Strategy<Value = String> {
    prop_oneof![Just("A1"), Just("A2"), Just("B1"), Just("B2"), Just("Bed 5")].prop_map(str::to_owned)
}

prop_compose! {
    fn planting()(
        id in 1_u32..12,
        bed in bed_id(),
        crop in "[a-z]{1,6}(-[a-z]{1,4})?",
        (from, length) in (0_i32..3_000, 1_i32..3_000),
        layout in layout(),
        side in side(),
        clump in 0_u32..8,
        setback in proptest::option::of(0_i32..300),
        mut days in proptest::collection::vec(proptest::option::of(any_day()), 5),
        is_sorted in prop::bool::weighted(0.8),
        (variety, notes) in (text(), notes()),
    ) -> Planting {
        if is_sorted {
            days.sort();
        }
        Planting {
            id: PlantingId(id), bed, crop, variety, layout, side, clump, notes,
            from_mm: Mm(from), to_mm: Mm(from + length),
            setback_mm: setback.map(Mm),
            raised: Raised::Module,
            planned: PlannedDates {
                sow: days[0], plant: days[1], first_pick: days[2], last_pick: days[3], clear: days[4],
            },
        }
    }
}

fn a_bed() -> impl Strategy<Value = Bed> {
    (bed_id(), 1_000_i32..6_000, 0_u32..400, text(), notes()).prop_map(|(id, length, bearing_deg, name, notes)| Bed {
        bearing_deg,
        name,
        notes,
        kind: BedKind::Border,
        ..bed(&id, length)
    })
}

/// A crop to be altered.
static LEEK: LazyLock<Crop> = LazyLock::new(|| CropBook::embedded().unwrap().crop("leek").unwrap().clone());

fn against() -> impl Strategy<Value = Against> {
    prop_oneof![
        Just(Against::Nothing),
        (1_u32..12).prop_map(|id| Against::Planting(PlantingId(id))),
        (1_890..2_210, text()).prop_map(|(year, what)| Against::Past { year, what }),
        text().prop_map(Against::Hazard),
        (1_890..2_210).prop_map(Against::WeeksAfter),
        (1_890..2_210).prop_map(Against::WeeksBefore),
    ]
}

fn happening() -> impl Strategy<Value = Happening> {
    let amount = || proptest::option::of(0_u32..9_000);
    let household = proptest::option::of((0_u32..5).prop_map(EntryId));
    prop_oneof![
        Just(Happening::Sown),
        Just(Happening::Emerged),
        Just(Happening::Planted),
        (amount(), amount(), household, any::<bool>()).prop_map(|(g, pieces, household, is_last)| Happening::Picked {
            g,
            pieces,
            household,
            is_last
        }),
        (0_u32..30, proptest::option::of(Just(Cause::Frost))).prop_map(|(plants, why)| Happening::Lost { plants, why }),
        proptest::option::of(Just(Ending::Bolted)).prop_map(|why| Happening::Ended { why }),
    ]
}

/// A row of any list, with a key that is likely there.
fn entry() -> impl Strategy<Value = Entry> {
    let id = || (0_u32..5).prop_map(EntryId);
    prop_oneof![
        (text(), 0_u32..120).prop_map(|(family, years)| FamilyReturn { family, years }.into()),
        (id(), 0_u32..12, any_day(), happening()).prop_map(|(id, planting, date, what)| {
            Happened { id, planting: PlantingId(planting), date, what }.into()
        }),
        (id(), bed_id(), 1_890..2_210).prop_map(|(id, bed, year)| {
            let what = "pea".to_owned();
            PastCrop { id, bed, year, what, strip_mm: Some((Mm(0), Mm(9))), side: Side::Left }.into()
        }),
        (id(), bed_id(), any_day(), notes()).prop_map(|(id, bed, date, notes)| HazardSeen {
            id,
            bed,
            hazard: "clubroot".to_owned(),
            date,
            notes
        }
        .into()),
        (id(), bed_id(), any_day()).prop_map(|(id, bed, date)| {
            SoilEntry { id, bed, date, amendment: Amendment::Lime, depth_mm: None, weight_g: Some(100) }.into()
        }),
        (id(), 1_u32..12, against(), notes()).prop_map(|(id, planting, against, reason)| {
            let planting = PlantingId(planting);
            Accepted { id, rule: "repeat".to_owned(), planting, against, reason }.into()
        }),
        (id(), proptest::option::of(bed_id()), proptest::option::of(text()), notes())
            .prop_map(|(id, bed, crop, reason)| Quiet { id, rule: "gap".to_owned(), bed, crop, reason }.into()),
        (id(), text(), 0_u32..10_010, text()).prop_map(|(id, name, n_people, crop)| {
            Household { id, name, n_people, wants_g_per_week: [(crop, 300)].into() }.into()
        }),
        (id(), text()).prop_map(|(id, name)| BoxKind { id, name, n_crops: 5, weight_g: 3_000 }.into()),
        (id(), text(), 0_u32..900).prop_map(|(id, crop, minor_per_kg)| Price { id, crop, minor_per_kg }.into()),
        (id(), any_day(), text(), notes()).prop_map(|(id, date, kind, notes)| Expense {
            id,
            date,
            kind,
            minor: 1_250,
            notes
        }
        .into()),
        (id(), text(), text(), 1_890..2_210).prop_map(|(id, crop, variety, packed_year)| {
            SeedLot { id, crop, variety, n_seeds: 300, packed_year }.into()
        }),
        ("own-[a-c]", text(), notes())
            .prop_map(|(id, name, caution)| { Crop { id, name, caution: Some(caution), ..LEEK.clone() }.into() }),
    ]
}

pub fn edit() -> impl Strategy<Value = Edit> {
    let at = || 0_usize..4;
    let simple = prop_oneof![
        6 => planting().prop_map(|p| Edit::AddPlanting(Box::new(p))),
        3 => planting().prop_map(|p| Edit::ChangePlanting(Box::new(p))),
        2 => (1_u32..12).prop_map(|id| Edit::RemovePlanting(PlantingId(id))),
        4 => (at(), a_bed()).prop_map(|(at, bed)| Edit::AddBed { at, bed }),
        1 => bed_id().prop_map(Edit::RemoveBed),
        3 => (bed_id(), a_bed()).prop_map(|(id, bed)| Edit::ChangeBed { id, bed }),
        10 => entry().prop_map(|entry| Edit::Put(Box::new(entry))),
        5 => entry().prop_map(|entry| Edit::Change(Box::new(entry))),
        5 => entry().prop_map(|entry| Edit::Take(entry.key())),
        1 => (-100.0_f64..100.0, 1_u32..14).prop_map(|(latitude_deg, month)| Edit::SetSite(Site {
            latitude_deg,
            last_frost: MonthDay { month, day: 30 },
            ..Garden::empty("").site
        })),
        1 => (text(), proptest::collection::vec(-80.0_f64..80.0, 11..13)).prop_map(|(file, months)| {
            let warmer = months.iter().map(|month| month + 5.0).collect();
            let climate = if months.len() == 11 {
                ClimateChoice::Weather { file }
            } else {
                ClimateChoice::Normals { tmin_c: months, tmax_c: warmer, rain_mm: None, spread_c: Some(1.5) }
            };
            Edit::SetSite(Site { climate, ..Garden::empty("").site })
        }),
        1 => text().prop_map(Edit::Rename),
    ]
    .boxed();
    let several = proptest::collection::vec(simple.clone(), 0..5)
        .prop_map(|edits| Edit::Several { title: "several".to_owned(), edits });
    prop_oneof![5 => simple, 1 => several]
}

/// All that is worked out for a bed may depend on.
pub fn of_bed(garden: &Garden, id: &str) -> impl PartialEq + use<> {
    let plantings: Vec<_> = garden.plantings.iter().filter(|p| p.bed == id).cloned().collect();
    let is_here = |accepted: &&Accepted| plantings.iter().any(|p| p.id == accepted.planting);
    let accepted: Vec<_> = garden.accepted.iter().filter(is_here).cloned().collect();
    let is_told_here = |row: &&Happened| plantings.iter().any(|p| p.id == row.planting);
    let happened: Vec<_> = garden.happened.iter().filter(is_told_here).copied().collect();
    let past: Vec<_> = garden.past.iter().filter(|past| past.bed == id).cloned().collect();
    let hazards: Vec<_> = garden.hazards_seen.iter().filter(|seen| seen.bed == id).cloned().collect();
    let soil: Vec<_> = garden.soil_log.iter().filter(|entry| entry.bed == id).cloned().collect();
    (garden.bed(id).cloned(), plantings, happened, accepted, past, hazards, soil)
}

fn saved(garden: &Garden) -> (Garden, String) {
    (garden.clone(), garden.to_ron())
}

proptest! {
    #[test]
    fn any_edits_taken_back_leave_the_same_garden_and_the_same_bytes(
        edits in proptest::collection::vec(edit(), 1..40),
    ) {
        let mut garden = garden();
        let mut path = vec![saved(&garden)];
        let mut undo = Undo::default();
        for edit in edits {
            let before = garden.clone();
            let title = edit.title(&garden);
            prop_assert!(!title.chars().any(crate::units::text::is_unshowable));
            let Ok(inverse) = edit.apply_to(&mut garden) else {
                prop_assert_eq!(&garden, &before);
                continue;
            };
            let problems = validate(&garden);
            prop_assert!(problems.is_empty(), "{problems:?}");
            let mut back = garden.clone();
            inverse.clone().apply_to(&mut back).unwrap();
            prop_assert_eq!(&back, &before);
            undo.done(title, inverse);
            path.push(saved(&garden));
        }
        for expected in path.iter().rev().skip(1) {
            undo.undo(&mut garden).unwrap();
            prop_assert_eq!(&saved(&garden), expected);
        }
        prop_assert_eq!(undo.undo(&mut garden), None);
        for expected in path.iter().skip(1) {
            undo.redo(&mut garden).unwrap();
            prop_assert_eq!(&saved(&garden), expected);
        }
    }

    /// Leaving and coming back another day changes nothing of what can be taken back.
    #[test]
    fn steps_kept_over_any_number_of_days_are_taken_back_to_the_same_bytes(
        steps in proptest::collection::vec((edit(), 0_u8..8), 1..60),
    ) {
        let (mut garden, mut undo) = (garden(), Undo::default());
        // The texts on the way here, with what each step is called.
        let mut way = vec![(String::new(), garden.to_ron())];
        for (edit, which) in steps {
            match which {
                0 => {
                    garden = Garden::from_ron(&garden.to_ron(), "g.ron").unwrap();
                    undo = Undo::of_kept(undo.to_keep());
                    prop_assert_eq!(undo.redo_title(), None);
                }
                1 | 2 => {
                    let made = undo.undo(&mut garden).map(|record| record.title);
                    let expected = if way.len() > 1 { way.pop().map(|(title, _)| title) } else { None };
                    prop_assert_eq!(made, expected);
                }
                _ => {
                    let title = edit.title(&garden);
                    if let Ok(inverse) = edit.apply_to(&mut garden) {
                        undo.done(title.clone(), inverse);
                        way.push((title, garden.to_ron()));
                    }
                }
            }
            prop_assert_eq!(&garden.to_ron(), &way.last().unwrap().1);
        }
        undo = Undo::of_kept(undo.to_keep());
        for (title, before) in way.iter().skip(1).map(|(title, _)| title).zip(way.iter().map(|(_, text)| text)).rev() {
            prop_assert_eq!(&undo.undo(&mut garden).unwrap().title, title);
            prop_assert_eq!(&garden.to_ron(), before);
        }
        prop_assert_eq!((undo.undo(&mut garden), undo.end()), (None, None));
    }

    /// What the journal is for: the records of a sitting, made again on the garden it began with, give its end.
    #[test]
    fn records_of_edits_taken_back_and_made_again_lead_to_the_same_bytes(
        steps in proptest::collection::vec((edit(), 0_u8..6), 1..40),
    ) {
        let start = garden();
        let (mut garden, mut undo) = (start.clone(), Undo::default());
        let mut lines = Vec::new();
        for (edit, which) in steps {
            let record = match which {
                0 | 1 => undo.undo(&mut garden),
                2 => undo.redo(&mut garden),
                _ => edit.clone().apply_to(&mut garden).ok().map(|inverse| {
                    let title = edit.title(&garden);
                    undo.done(title.clone(), inverse);
                    Record { how: How::Made, title, edit }
                }),
            };
            lines.extend(record.map(|record| record.to_line().unwrap()));
        }
        prop_assert!(lines.iter().all(|line| !line.contains(['\n', '\r'])));
        let mut replayed = Garden::from_ron(&start.to_ron(), "g.ron").unwrap();
        let made = replay(&mut replayed, &lines).map_err(|(place, error)| TestCaseError::fail(format!("{place}: {error}")))?;
        prop_assert_eq!(made.len(), lines.len());
        prop_assert_eq!(replayed.to_ron(), garden.to_ron());
        // No difference is found where there is none.
        let found = Differences::from_to(&start, &garden);
        prop_assert!(start != garden || found.is_empty(), "{found:?}");
    }

    #[test]
    fn any_garden_is_read_back_as_it_was_written(edits in proptest::collection::vec(edit(), 1..60)) {
        let mut garden = garden();
        for edit in edits {
            edit.apply_to(&mut garden).ok();
        }
        let text = garden.to_ron();
        let read = Garden::from_ron(&text, "g.ron");
        prop_assert!(read.is_ok(), "{}\n{text}", read.unwrap_err());
        let read = read.unwrap();
        prop_assert_eq!(&read, &garden);
        prop_assert_eq!(read.to_ron(), text);
    }

    #[test]
    fn a_garden_cut_anywhere_or_with_a_piece_replaced_gives_a_message_or_a_garden(
        cut_at in 0_usize..3_000, n_lost in 0_usize..40, put_in in "[(){}\\[\\],:\"'/*#\\-.a1 \n\u{1b}é]{0,4}",
    ) {
        let text: Vec<char> = garden().to_ron().chars().collect();
        let start = cut_at.min(text.len());
        let end = (start + n_lost).min(text.len());
        let broken: String = text[..start].iter().copied().chain(put_in.chars()).chain(text[end..].iter().copied()).collect();
        if let Err(error) = Garden::from_ron(&broken, "g.ron") {
            let message = error.to_string();
            prop_assert!(message.starts_with("error: "));
            prop_assert!(!message.lines().any(|line| line.chars().any(crate::units::text::is_unshowable)));
        }
        let truncated: String = text[..start].iter().collect();
        if let Err(error) = Garden::from_ron(&truncated, "g.ron") {
            prop_assert!(error.to_string().starts_with("error: "));
        }
    }
}
