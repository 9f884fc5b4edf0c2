//! Something that cannot be read comes into the place of the garden's file.

use super::*;

fn latin_1(shed: &Shed) {
    std::fs::write(shed.file(), b"Apfelb\xe4ume\n").unwrap();
}

fn folder(shed: &Shed) {
    std::fs::remove_file(shed.file()).unwrap();
    std::fs::create_dir(shed.file()).unwrap();
}

fn question(desk: &Desk) -> String {
    let Some(Layer::Trouble(trouble)) = desk.ui.layers.last() else { panic!("{:?}", desk.ui.layers) };
    format!("{trouble:?}")
}

fn versions(shed: &Shed) -> Vec<String> {
    let n = crate::store::versions_of(&shed.file()).unwrap().len();
    (1..=n).map(|n| crate::store::read_version_of(&shed.file(), n, limits::FILE_BYTES).unwrap()).collect()
}

#[test]
fn it_is_noticed_while_nothing_happens_and_what_was_read_is_kept() {
    for replace in [latin_1, folder] {
        let shed = Shed::new();
        let before = shed.saved();
        let mut desk = shed.open(Box::new(RealDisk));
        replace(&shed);
        let said = desk.pause_before_question();
        assert_eq!(desk.session.keeping.mark(), Some("file unreadable"));
        assert_eq!(said, (Tone::Trouble, "the file cannot be read any more; s asks what to do".to_owned()));
        assert!(question(&desk).contains("[OtherName, WriteInstead, Later]"), "{}", question(&desk));
        assert_eq!(versions(&shed), [before]);
        assert_eq!(desk.keeper.pause(&desk.session), None, "it is asked once");
    }
}

#[test]
fn who_leaves_is_asked_even_if_nothing_was_edited() {
    for replace in [latin_1, folder] {
        let shed = Shed::new();
        let mut desk = shed.open(Box::new(RealDisk));
        replace(&shed);
        assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
        assert!(question(&desk).contains("[OtherName, WriteInstead, Leave, Later]"), "{}", question(&desk));
        let aside = desk.keeper.set_aside(&desk.session).unwrap();
        assert_eq!(std::fs::read_to_string(aside).unwrap(), desk.text());
    }
}

#[test]
fn a_file_changed_just_before_leaving_is_not_left_without_a_word() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    std::fs::write(shed.file(), Garden::empty("Theirs").to_ron()).unwrap();
    assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
    assert!(question(&desk).contains("TakeTheirs"), "{}", question(&desk));
}

#[test]
fn edits_of_the_first_moment_come_back_with_the_version_they_were_made_upon() {
    for replace in [latin_1, folder] {
        let shed = Shed::new();
        let before = shed.saved();
        let mut desk = shed.open(Box::new(RealDisk));
        desk.add_bed("A1");
        desk.frame();
        assert_eq!(desk.notice(), (Tone::Done, "add bed A1"));
        replace(&shed);
        assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
        assert!(question(&desk).contains("Leave"), "{}", question(&desk));
        let text = desk.text();
        drop(desk);
        assert_eq!(versions(&shed), std::slice::from_ref(&before));
        // Opening it names the way back.
        let error = opening::find(&shed.file(), no_weather).unwrap_err().to_string();
        assert!(error.contains("1 edit waits for version 1") && error.contains("--restore 1"), "{error}");
        if shed.file().is_dir() {
            std::fs::remove_dir(shed.file()).unwrap();
        }
        std::fs::write(shed.file(), before).unwrap();
        assert_eq!(shed.open(Box::new(RealDisk)).text(), text);
    }
}

#[test]
fn mine_is_written_in_its_place_and_it_is_put_aside() {
    for replace in [latin_1, folder] {
        let shed = Shed::new();
        let mut desk = shed.open(Box::new(RealDisk));
        desk.add_bed("A1");
        desk.frame();
        replace(&shed);
        let said = desk.pause_before_question();
        assert_eq!(said, (Tone::Trouble, "not saved: the file cannot be read any more; s asks what to do".to_owned()));
        desk.keeper.write_over(&mut desk.session, &mut desk.ui);
        let (tone, words) = desk.notice();
        assert!(tone == Tone::Done && words.starts_with("saved; what stood there is kept as "), "{words}");
        assert!(words.ends_with("-unreadable"), "{words}");
        assert_eq!(shed.saved(), desk.text());
        assert_eq!(desk.session.keeping.mark(), None);
    }
}

#[test]
fn without_a_terminal_what_was_read_is_kept_without_a_question() {
    let shed = Shed::new();
    let before = shed.saved();
    let mut desk = shed.open(Box::new(RealDisk));
    latin_1(&shed);
    desk.keeper.leave_now(&mut desk.session, &mut desk.ui);
    assert_eq!(versions(&shed), [before]);
}

#[cfg(unix)]
#[test]
fn a_link_that_came_into_its_place_is_noticed_and_left_alone() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    let other = shed.0.path().join("other.ron");
    std::fs::rename(shed.file(), &other).unwrap();
    std::os::unix::fs::symlink("other.ron", shed.file()).unwrap();
    let said = desk.pause_before_question();
    assert_eq!(said, (Tone::Trouble, "the file leads elsewhere now; s asks what to do".to_owned()));
    assert!(question(&desk).contains("[OtherName, Later]"), "{}", question(&desk));
    let before = std::fs::read_to_string(&other).unwrap();
    desk.add_bed("A1");
    desk.frame();
    assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
    assert!(question(&desk).contains("[OtherName, Leave, Later]"), "{}", question(&desk));
    assert_eq!(std::fs::read_to_string(&other).unwrap(), before);
}

/// Theirs in the file's place, `later`, an edit, and the terminal closed.
fn with_an_edit_after_later() -> (Shed, String) {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    std::fs::write(shed.file(), Garden::empty("Theirs").to_ron()).unwrap();
    desk.pause();
    assert!(question(&desk).contains("TakeTheirs"), "{}", question(&desk));
    desk.ui.layers.clear();
    desk.add_bed("A1");
    desk.frame();
    assert_eq!(desk.notice(), (Tone::Done, "add bed A1"));
    desk.keeper.leave_now(&mut desk.session, &mut desk.ui);
    let text = desk.text();
    drop(desk);
    (shed, text)
}

#[test]
fn an_edit_after_later_is_listed_among_what_was_put_aside_and_brought_back() {
    use crate::tui::layers::versions::Source;
    let (shed, mine) = with_an_edit_after_later();
    let mut desk = shed.open(Box::new(RealDisk));
    let told = desk.told.join("\n");
    assert!(told.contains("1 edit was not saved") && told.contains("V on the screen"), "{told}");
    let theirs = desk.text();
    let listed = desk.keeper.versions(&desk.session).unwrap();
    let aside = listed.last().unwrap();
    let Source::Aside { what, path } = &aside.source else { panic!("{listed:?}") };
    assert_eq!(what, "edits that did not fit the file: 1 edit");
    let holds = aside.holds.as_ref().unwrap();
    assert!(holds.differs.iter().any(|line| line.text.contains("A1")), "{:?}", holds.differs);
    let what = desk.keeper.bring_back(path, &mut desk.session).unwrap();
    let begins = "brought back: edits that did not fit the file, put aside ";
    assert!(what.starts_with(begins) && what.ends_with(": 1 edit"), "{what}");
    assert_eq!((desk.text(), shed.saved()), (mine.clone(), mine));
    assert!(versions(&shed).contains(&theirs), "what was on the screen is a version");
    // And what was put aside stays there.
    assert_eq!(crate::store::aside_of(&shed.file(), limits::FILE_BYTES).unwrap().len(), 1);
}

#[test]
fn mine_put_aside_is_brought_back() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    let mine = desk.text();
    std::fs::write(shed.file(), Garden::empty("Theirs").to_ron()).unwrap();
    desk.keeper.take_theirs(&mut desk.session, &mut desk.ui);
    let aside = crate::store::aside_of(&shed.file(), limits::FILE_BYTES).unwrap();
    let path = aside.iter().find(|aside| aside.what == "mine").unwrap().path.clone();
    desk.keeper.bring_back(&path, &mut desk.session).unwrap();
    assert_eq!((desk.text(), shed.saved()), (mine.clone(), mine));
}

#[test]
fn who_takes_theirs_or_leaves_is_not_told_again_of_edits_that_stand_aside() {
    for leaves in [false, true] {
        let shed = Shed::new();
        let mut desk = shed.open(Box::new(RealDisk));
        desk.add_bed("A1");
        desk.frame();
        let mine = desk.text();
        std::fs::write(shed.file(), Garden::empty("Theirs").to_ron()).unwrap();
        if leaves {
            desk.keeper.set_aside(&desk.session).unwrap();
            desk.keeper.let_records_go();
        } else {
            desk.keeper.take_theirs(&mut desk.session, &mut desk.ui);
            let Some(Layer::Notices(told)) = desk.ui.layers.last() else { panic!("{:?}", desk.ui.layers) };
            assert!(!format!("{told:?}").contains("do not fit"), "{told:?}");
        }
        drop(desk);
        let desk = shed.open(Box::new(RealDisk));
        assert!(desk.told.is_empty(), "{:?}", desk.told);
        let aside = crate::store::aside_of(&shed.file(), limits::FILE_BYTES).unwrap();
        assert_eq!(aside.len(), 1);
        assert_eq!(std::fs::read_to_string(&aside[0].path).unwrap(), mine);
    }
}

#[test]
fn a_garden_with_a_slip_in_it_is_put_aside_when_mine_is_written_over_it() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    let slip = shed.saved().replacen("site:", "site", 1);
    std::fs::write(shed.file(), &slip).unwrap();
    desk.keeper.write_over(&mut desk.session, &mut desk.ui);
    assert_eq!(shed.saved(), desk.text());
    assert!(!versions(&shed).contains(&slip));
    let aside = crate::store::aside_of(&shed.file(), limits::FILE_BYTES).unwrap();
    assert_eq!(std::fs::read_to_string(&aside[0].path).unwrap(), slip);
}
