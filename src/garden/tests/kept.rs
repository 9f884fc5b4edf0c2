//! Steps kept for another day.

use super::*;

/// Renames of a garden, each a step.
fn renamed(n: usize) -> (Garden, Undo) {
    let (mut garden, mut undo) = (Garden::empty("name 0"), Undo::default());
    for n in 1..=n {
        undo.done(format!("rename to {n}"), Edit::Rename(format!("name {n}")).apply_to(&mut garden).unwrap());
    }
    (garden, undo)
}

#[test]
fn the_last_two_hundred_steps_are_kept_newest_first_and_taken_back_with_their_titles() {
    let (mut garden, undo) = renamed(201);
    let kept = undo.to_keep();
    assert_eq!((kept.len(), limits::N_STEPS_KEPT), (200, 200));
    assert_eq!(kept[0], r#"3 (how:TakenBack,title:"rename to 201",edit:Rename("name 200"))"#);
    let mut again = Undo::of_kept(kept.clone());
    assert_eq!((again.undo_title(), again.redo_title()), (Some("rename to 201"), None));
    assert_eq!(again.to_keep(), kept, "what is not taken back is kept as it was");
    let state = again.state();
    for n in (1..=200).rev() {
        let record = again.undo(&mut garden).unwrap();
        assert_eq!((record.how, record.title), (How::TakenBack, format!("rename to {}", n + 1)));
        assert_eq!(garden.name, format!("name {n}"));
        assert_ne!(again.state(), state);
    }
    assert_eq!((again.undo(&mut garden), again.end()), (None, None), "the 201st is not kept");
    assert_eq!(again.to_keep(), [""; 0]);
    while again.redo(&mut garden).is_some() {}
    assert_eq!((garden.name.as_str(), again.state()), ("name 201", state));
    assert_eq!(again.to_keep(), kept, "made again, they are the same steps");
}

#[test]
fn steps_are_kept_up_to_their_bytes() {
    let mut garden = garden();
    let mut undo = Undo::default();
    // Some forty kilobytes of notes a step, so that not two hundred go into a mebibyte.
    for n in 0..limits::N_STEPS_KEPT {
        let planting =
            |id: u32| change(&garden, id, |p| p.notes = char::from(b'a' + (n % 26) as u8).to_string().repeat(2_000));
        let edits = vec![planting(7); 20];
        let edit = Edit::Several { title: "many".to_owned(), edits };
        undo.done(format!("{n}"), edit.apply_to(&mut garden).unwrap());
    }
    let kept = undo.to_keep();
    let n_bytes: usize = kept.iter().map(String::len).sum();
    let next = kept[0].len();
    assert!(n_bytes <= limits::STEPS_KEPT_BYTES && n_bytes + next > limits::STEPS_KEPT_BYTES, "{n_bytes}, {next}");
    assert!(kept.len() < 50, "{}", kept.len());
    // Oldest dropped first.
    let start = garden.clone();
    assert_eq!(Undo::of_kept(kept).undo(&mut garden).unwrap().title, "199");
    assert_ne!(garden, start);
}

#[test]
fn a_step_that_cannot_be_read_or_does_not_fit_ends_the_way_back_and_changes_nothing() {
    let not_there =
        Record { how: How::TakenBack, title: "place leek".to_owned(), edit: Edit::RemovePlanting(PlantingId(77)) };
    // It applies, and leaves a garden that no file may hold.
    let invalid = Record { how: How::TakenBack, title: "rename".to_owned(), edit: Edit::Rename("x".repeat(201)) };
    let newer = "9 (how:TakenBack,title:\"t\",edit:Fly)".to_owned();
    for (line, says) in [
        (not_there.to_line().unwrap(), "there is no planting p77"),
        (invalid.to_line().unwrap(), "200 are the most"),
        (newer, "a newer bedfellow"),
        ("3 (how:TakenBack,title:\"t\",edit:Fly)".to_owned(), "not readable"),
        // As the first form wrote rows of lists, by their places.
        ("(how:TakenBack,title:\"t\",edit:RemoveAccepted(3))".to_owned(), "an earlier bedfellow"),
        (String::new(), "not readable"),
    ] {
        let (mut garden, undo) = renamed(4);
        let mut kept = undo.to_keep();
        kept[2].clone_from(&line);
        let mut undo = Undo::of_kept(kept);
        assert!(undo.end().is_none());
        assert!(undo.undo(&mut garden).is_some() && undo.undo(&mut garden).is_some());
        let before = garden.clone();
        assert_eq!(undo.undo(&mut garden), None, "{line}");
        assert_eq!(undo.undo(&mut garden), None, "{line}");
        assert_eq!((&garden, undo.undo_title()), (&before, None), "{line}");
        let why = undo.end().unwrap().to_string();
        assert!(why.contains(says), "{line}: {why}");
        // What was taken back before it can be made again, and an edit goes on from there.
        assert!(undo.redo(&mut garden).is_some());
        assert_eq!(garden.name, "name 3");
        let state = undo.state();
        undo.done("rename", Edit::Rename("new".to_owned()).apply_to(&mut garden).unwrap());
        assert_ne!(undo.state(), state);
        assert!(undo.undo(&mut garden).is_some());
        assert_eq!((undo.state(), undo.to_keep().len()), (state, 1), "{line}: only what can be taken back is kept");
    }
}

#[test]
fn a_step_written_to_take_for_ever_is_not_made() {
    // A bed that is there is put in its own place, as often as a mebibyte of text says so.
    let mut garden = garden();
    garden.plantings = (1..=50_000).map(|id| Planting { id: PlantingId(id), ..garden.plantings[0].clone() }).collect();
    let edit = Edit::ChangeBed { id: "A1".to_owned(), bed: garden.bed("A1").unwrap().clone() };
    let edit = Edit::Several { title: "long".to_owned(), edits: vec![edit; 8_000] };
    let line = Record { how: How::TakenBack, title: "long".to_owned(), edit }.to_line().unwrap();
    assert!(line.len() < limits::STEPS_KEPT_BYTES, "{}", line.len());
    let mut undo = Undo::of_kept(vec![line]);
    assert_eq!(undo.undo(&mut garden), None);
    assert_eq!(undo.end(), Some(&RecordError::TooMuch));
    // Said after "the step before cannot be taken back" and after "edits of the journal were not made again".
    let said = "too many entries of the garden's lists would have to be moved, which would take too long";
    assert_eq!(RecordError::TooMuch.to_string(), said);
}

#[test]
fn a_step_of_an_earlier_day_taken_back_is_known_again_when_its_record_is_replayed() {
    let (mut garden, undo) = renamed(2);
    let kept = undo.to_keep();
    let mut undo = Undo::of_kept(kept.clone());
    let record = undo.undo(&mut garden).unwrap();
    let again = Undo::of_kept(kept);
    assert!(again.would(How::TakenBack, &record.edit) && !again.would(How::MadeAgain, &record.edit));
}
