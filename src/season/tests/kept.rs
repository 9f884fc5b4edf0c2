//! A sitting that goes on with the steps of an earlier day.

use super::*;
use crate::garden::Undo;

/// Left, and opened again from what is kept.
fn left_and_opened(left: &Sitting, records: &[String]) -> Sitting {
    let garden = Garden::from_ron(&garden_of(left).to_ron(), "g.ron").unwrap();
    Sitting::reopened(garden, &book(), None, Undo::of_kept(left.course().to_keep()), records).0
}

fn garden_of(sitting: &Sitting) -> &Garden {
    sitting.plan().garden()
}

fn is_worked_out_anew(sitting: &Sitting) -> bool {
    worked_out(sitting.plan()) == worked_out(&Plan::new(garden_of(sitting).clone(), &book()))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_earlier_days_did_is_taken_back_and_worked_out_anew(
        days in prop::collection::vec(prop::collection::vec(step(), 1..8), 1..4), n_undone in 1..6_usize,
    ) {
        let mut first = sitting(start());
        for step in days.iter().flatten() {
            match step {
                Step::Undo => drop(first.undo()),
                // It does not outlive the day.
                Step::Redo => first = left_and_opened(&first, &[]),
                step => drop(edit_of(&first, step).map(|edit| first.apply(edit))),
            }
        }
        first = left_and_opened(&first, &[]);
        prop_assert!(first.is_as_at(0));
        // A kill after some of it was taken back: the journal knows the steps again.
        let mut killed = left_and_opened(&first, &[]);
        let records: Vec<String> = (0..n_undone).map_while(|_| killed.undo()).map(|record| record.to_line().unwrap()).collect();
        let mut again = left_and_opened(&first, &records);
        prop_assert_eq!(garden_of(&again), garden_of(&killed));
        prop_assert_eq!(again.is_as_at(0), records.is_empty());
        prop_assert_eq!(worked_out(again.plan()), worked_out(killed.plan()));
        prop_assert_eq!((again.undo_title(), again.redo_title()), (killed.undo_title(), killed.redo_title()));
        while again.redo().is_some() {}
        prop_assert_eq!(garden_of(&again), garden_of(&first));
        prop_assert!(again.is_as_at(0));
        while again.undo().is_some() {
            prop_assert!(is_worked_out_anew(&again));
        }
        prop_assert_eq!(garden_of(&again), &start());
        while again.redo().is_some() {
            prop_assert!(is_worked_out_anew(&again));
        }
        prop_assert_eq!(garden_of(&again), garden_of(&first));
    }
}

/// A journal that leads to a bed past counting is not made; the steps of an earlier day stay.
#[test]
fn records_that_are_refused_at_their_end_leave_the_earlier_steps() {
    let mut first = sitting(start());
    first.apply(Edit::Rename("before".to_owned())).unwrap();
    let too_many: Vec<String> = (10..=10 + crate::garden::limits::N_AT_ONCE as u32)
        .map(|id| {
            let edit =
                Edit::AddPlanting(Box::new(planting(id, "B2", "beetroot", grid(25), day(2027, 5, 1), day(2027, 8, 1))));
            Record { how: crate::garden::How::Made, title: "place".to_owned(), edit }.to_line().unwrap()
        })
        .collect();
    let taken_back = left_and_opened(&first, &[]).undo().unwrap().to_line().unwrap();
    let records: Vec<String> = [vec![taken_back], too_many].concat();
    let garden = garden_of(&first).clone();
    let undo = Undo::of_kept(first.course().to_keep());
    let (mut again, replayed) = Sitting::reopened(garden, &book(), None, undo, &records);
    assert_eq!((replayed.stopped.map(|(place, _)| place), garden_of(&again)), (Some(0), garden_of(&first)));
    assert!(again.is_as_at(0));
    assert_eq!(again.undo().unwrap().title, first.undo_title().unwrap());
    assert_eq!(garden_of(&again), &start());
}
