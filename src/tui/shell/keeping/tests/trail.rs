//! Undo on another day.

use super::*;

impl Desk {
    /// Leaves as `q` does.
    fn leave(mut self) {
        self.frame();
        assert!(self.keeper.may_leave(&mut self.session, &mut self.ui), "{:?}", self.ui.layers);
    }

    /// Takes the last edit back as `u` does; what the bottom line says.
    fn undo(&mut self) -> String {
        self.ui.view.notice = None;
        let key = crate::tui::Input::Key(crate::tui::keys::Key::Char('u'));
        let _ = crate::tui::update(&mut self.session, &mut self.ui, &key);
        self.frame();
        // A command that cannot be done is named before the reason.
        let said = self.notice().1;
        said.strip_prefix("undo: ").unwrap_or(said).to_owned()
    }
}

impl Shed {
    fn trails(&self) -> Vec<PathBuf> {
        trails_beside(&self.file())
    }

    fn reopened(&self) -> Desk {
        let desk = self.open(Box::new(RealDisk));
        assert!(desk.told.is_empty(), "{:?}", desk.told);
        desk
    }

    /// The file after each of these beds was added, in sittings of two.
    fn with_beds(n: u32) -> (Self, Vec<String>) {
        let shed = Self::new();
        let mut texts = vec![shed.saved()];
        for from in (1..=n).step_by(2) {
            let mut desk = shed.reopened();
            for id in from..(from + 2).min(n + 1) {
                desk.add_bed(&format!("A{id}"));
                desk.frame();
                texts.push(desk.text());
            }
            desk.leave();
        }
        (shed, texts)
    }
}

fn trails_beside(file: &Path) -> Vec<PathBuf> {
    let kept = file.with_file_name(format!(".{}.kept", file.file_name().unwrap().to_str().unwrap()));
    let all = std::fs::read_dir(kept).unwrap().map(|entry| entry.unwrap().path());
    all.filter(|path| path.file_name().unwrap().to_str().unwrap().starts_with("trail-")).collect()
}

#[test]
fn what_earlier_days_did_is_taken_back_to_the_same_bytes_with_its_titles() {
    let (shed, texts) = Shed::with_beds(5);
    let mut desk = shed.reopened();
    assert!(!desk.session.is_unsaved());
    for n in (1..=5).rev() {
        assert_eq!(desk.undo(), format!("undone: add bed A{n}"));
        assert_eq!(desk.text(), texts[n - 1]);
        assert!(desk.session.is_unsaved());
        // Left and opened again now and then.
        if n % 2 == 0 {
            desk.leave();
            assert_eq!(shed.saved(), texts[n - 1]);
            desk = shed.reopened();
            assert!(desk.session.redo().is_none(), "redo does not outlive the day");
        }
    }
    assert_eq!(desk.undo(), "nothing to undo");
    assert_eq!(desk.text(), texts[0]);
    desk.session.redo().unwrap();
    assert_eq!(desk.text(), texts[1]);
    desk.leave();
    assert_eq!(shed.saved(), texts[1]);
}

#[test]
fn two_hundred_steps_are_kept_of_two_hundred_and_one() {
    let shed = Shed::new();
    let mut desk = shed.reopened();
    for n in 1..=201 {
        desk.session.apply(Edit::Rename(format!("Plot {n}"))).unwrap();
    }
    desk.leave();
    let mut desk = shed.reopened();
    for n in (1..=200).rev() {
        desk.session.undo().unwrap();
        assert_eq!(desk.session.plan().garden().name, format!("Plot {n}"));
    }
    assert_eq!(desk.session.undo(), None);
}

#[test]
fn the_steps_of_a_file_changed_elsewhere_are_not_offered_and_it_is_said_why() {
    let (shed, texts) = Shed::with_beds(2);
    let theirs = Garden::empty("Theirs").to_ron();
    std::fs::write(shed.file(), &theirs).unwrap();
    let mut desk = shed.reopened();
    let said = "nothing to undo; the file was changed since by something else, and earlier steps do not lead to it";
    assert_eq!(desk.undo(), said);
    assert_eq!(desk.text(), theirs);
    // What is done from here on can be taken back, and no more.
    desk.add_bed("B1");
    assert_eq!(desk.undo(), "undone: add bed B1");
    assert_eq!(desk.undo(), said);
    // Nothing was edited: put back, the file is what the steps lead to.
    desk.leave();
    std::fs::write(shed.file(), &texts[2]).unwrap();
    assert_eq!(shed.reopened().session.sitting.undo_title(), None, "that was saved, and its steps are none");
}

#[test]
fn steps_of_a_file_that_was_only_looked_at_when_changed_are_there_when_it_is_put_back() {
    let (shed, texts) = Shed::with_beds(2);
    std::fs::write(shed.file(), Garden::empty("Theirs").to_ron()).unwrap();
    shed.reopened().leave();
    std::fs::write(shed.file(), &texts[2]).unwrap();
    let mut desk = shed.reopened();
    assert_eq!(desk.undo(), "undone: add bed A2");
    assert_eq!(desk.text(), texts[1]);
}

#[test]
fn of_damaged_steps_those_after_the_damage_are_offered() {
    let (shed, texts) = Shed::with_beds(5);
    let [trail] = &shed.trails()[..] else { panic!("{:?}", shed.trails()) };
    let mut bytes = std::fs::read(trail).unwrap();
    let last_line = bytes[..bytes.len() - 1].iter().rposition(|byte| *byte == b'\n').unwrap();
    bytes[last_line + 40] ^= 1;
    std::fs::write(trail, bytes).unwrap();
    let mut desk = shed.reopened();
    for n in (2..=5).rev() {
        assert_eq!(desk.undo(), format!("undone: add bed A{n}"));
    }
    assert_eq!(desk.undo(), "nothing to undo; the steps kept before are damaged");
    assert_eq!(desk.text(), texts[1]);
    // What could be taken back can be made again, left with, and taken back another day.
    while desk.session.redo().is_some() {}
    desk.add_bed("B1");
    desk.leave();
    let mut desk = shed.reopened();
    assert_eq!(desk.undo(), "undone: add bed B1");
    assert_eq!((desk.undo(), desk.text()), ("undone: add bed A5".to_owned(), texts[4].clone()));
}

#[test]
fn a_step_that_does_not_fit_is_said_and_changes_nothing() {
    let shed = Shed::new();
    let text = shed.saved();
    let opened = Kept::open(&shed.file(), limits::FILE_BYTES, now(), Box::new(RealDisk)).unwrap();
    let mut kept = opened.kept;
    kept.keep_trail(&["3 (how:TakenBack,title:\"place leek\",edit:RemovePlanting(77))".to_owned()]).unwrap();
    drop(kept);
    let mut desk = shed.reopened();
    let said = "nothing to undo; the step before cannot be taken back: the edit does not fit the garden: there is no planting p77";
    assert_eq!((desk.undo(), desk.undo()), (said.to_owned(), said.to_owned()));
    assert_eq!(desk.text(), text);
    assert!(!desk.session.is_unsaved());
}

#[test]
fn after_a_kill_the_journal_lies_above_the_kept_steps() {
    let (shed, texts) = Shed::with_beds(3);
    let mut desk = shed.reopened();
    assert_eq!(desk.undo(), "undone: add bed A3");
    desk.add_bed("B1");
    desk.frame();
    drop(desk);
    assert_eq!(shed.saved(), texts[3], "only the journal has it");
    let mut desk = shed.open(Box::new(RealDisk));
    assert!(desk.told[0].starts_with("2 edits came back"), "{:?}", desk.told);
    assert_eq!(desk.undo(), "undone: add bed B1");
    assert_eq!(desk.text(), texts[2]);
    assert_eq!(desk.undo(), "undone: add bed A2");
    assert_eq!(desk.undo(), "undone: add bed A1");
    assert_eq!((desk.undo(), desk.text()), ("nothing to undo".to_owned(), texts[0].clone()));
}

#[test]
fn whichever_call_is_the_last_before_a_kill_undo_goes_all_the_way() {
    let (shed, texts) = Shed::with_beds(2);
    for n in 0.. {
        // The same file and folder each time.
        let folder = tempfile::tempdir().unwrap();
        copy(shed.0.path(), folder.path());
        let again = Shed(folder);
        let disk = FaultyDisk::sound();
        let mut desk = again.open(Box::new(disk.clone()));
        let n_opening = disk.n_calls();
        disk.die_at(n_opening + n);
        desk.add_bed("A3");
        desk.frame();
        let is_safe = desk.session.keeping.not_on_disk.is_none();
        desk.keeper.leave_now(&mut desk.session, &mut desk.ui);
        let n_calls = disk.n_calls();
        drop(desk);
        let mut desk = again.open(Box::new(RealDisk));
        assert!(!is_safe || desk.session.plan().garden().bed("A3").is_some());
        if desk.session.plan().garden().bed("A3").is_some() {
            assert_eq!(desk.undo(), "undone: add bed A3", "killed in call {n}");
        }
        assert_eq!((desk.undo(), desk.undo()), ("undone: add bed A2".to_owned(), "undone: add bed A1".to_owned()));
        assert_eq!((desk.undo(), desk.text()), ("nothing to undo".to_owned(), texts[0].clone()), "killed in call {n}");
        if n_calls <= n_opening + n {
            assert!(n > 20, "{n}");
            break;
        }
    }
}

#[test]
fn whichever_call_of_a_save_fails_undo_goes_all_the_way_after_leaving() {
    for n in 0.. {
        let shed = Shed::new();
        let disk = FaultyDisk::sound();
        let mut desk = shed.open(Box::new(disk.clone()));
        desk.add_bed("A1");
        desk.frame();
        let n_before = disk.n_calls();
        disk.fail_at(n_before + n, ErrorKind::StorageFull);
        desk.pause();
        let n_calls = disk.n_calls();
        let text = desk.text();
        desk.ui.layers.clear();
        desk.leave();
        assert_eq!(shed.saved(), text);
        let mut desk = shed.open(Box::new(RealDisk));
        assert_eq!((desk.undo(), desk.undo()), ("undone: add bed A1".to_owned(), "nothing to undo".to_owned()), "{n}");
        if n_calls <= n_before + n {
            assert!(n > 20, "{n}");
            break;
        }
    }
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let at = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &at);
        } else {
            std::fs::copy(entry.path(), at).unwrap();
        }
    }
}

#[test]
fn a_version_gone_back_to_has_no_steps_before_it() {
    let (shed, texts) = Shed::with_beds(2);
    let mut desk = shed.reopened();
    let versions = desk.keeper.versions(&desk.session).unwrap();
    let version = versions.iter().find(|version| version.n_bytes == texts[0].len() as u64).unwrap();
    let crate::tui::layers::versions::Source::Saved(number) = version.source else { panic!("{version:?}") };
    desk.keeper.restore(number, &mut desk.session).unwrap();
    assert_eq!((desk.text(), desk.undo()), (texts[0].clone(), "nothing to undo".to_owned()));
    desk.leave();
    let mut desk = shed.reopened();
    assert_eq!((desk.undo(), shed.trails()), ("nothing to undo".to_owned(), Vec::new()));
}

#[test]
fn under_another_name_the_steps_go_on_and_those_of_the_file_left_stay() {
    for is_there in [false, true] {
        let (shed, texts) = Shed::with_beds(2);
        let mut desk = shed.reopened();
        desk.add_bed("A3");
        desk.frame();
        let other = shed.0.path().join("other.ron");
        if is_there {
            std::fs::write(&other, Garden::empty("Other").to_ron()).unwrap();
        }
        desk.keeper.save_as(&other, &mut desk.session).unwrap();
        let text = desk.text();
        desk.leave();
        assert_eq!((trails_beside(&other).len(), shed.trails().len()), (1, 1));
        let opened = Kept::open(&other, limits::FILE_BYTES, now(), Box::new(RealDisk)).unwrap();
        assert_eq!((&opened.text, opened.trail.steps.len()), (&text, 3));
        drop(opened);
        let mut desk = shed.reopened();
        assert_eq!((desk.undo(), desk.undo()), ("undone: add bed A3".to_owned(), "undone: add bed A2".to_owned()));
        assert_eq!(desk.text(), texts[1]);
    }
}

#[test]
fn read_only_there_is_no_undo_until_the_garden_is_taken_over() {
    let (shed, texts) = Shed::with_beds(2);
    let first = shed.open(Box::new(RealDisk));
    let mut second = shed.open(Box::new(RealDisk));
    let said = second.undo();
    assert!(said.contains("open elsewhere"), "{said}");
    assert_eq!((second.text(), second.session.sitting.undo_title()), (texts[2].clone(), None));
    drop(first);
    second.keeper.take_over(&mut second.session, &mut second.ui);
    assert_eq!(second.undo(), "undone: add bed A2");
    assert_eq!(second.text(), texts[1]);
}

#[test]
fn yours_written_over_theirs_keeps_its_steps_and_theirs_taken_has_none() {
    for takes_theirs in [false, true] {
        let (shed, texts) = Shed::with_beds(2);
        let mut desk = shed.reopened();
        let theirs = Garden::empty("Theirs").to_ron();
        std::fs::write(shed.file(), &theirs).unwrap();
        if takes_theirs {
            desk.keeper.take_theirs(&mut desk.session, &mut desk.ui);
            desk.ui.layers.clear();
        } else {
            desk.keeper.write_over(&mut desk.session, &mut desk.ui);
            desk.leave();
            desk = shed.reopened();
        }
        if takes_theirs {
            assert!(desk.undo().starts_with("nothing to undo; the file was changed"), "{:?}", desk.notice());
            assert_eq!(desk.text(), theirs);
        } else {
            assert_eq!((desk.undo(), desk.text()), ("undone: add bed A2".to_owned(), texts[1].clone()));
        }
    }
}
