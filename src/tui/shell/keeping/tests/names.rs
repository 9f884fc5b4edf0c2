//! A garden's file with several names, one that may not be written, and one whose owner cannot be kept.

use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, chown};

use super::*;
use crate::tui::Effect;
use crate::tui::context::Context;
use crate::tui::keys::Key;

fn trouble(desk: &Desk) -> &Trouble {
    let Some(Layer::Trouble(trouble)) = desk.ui.layers.last() else { panic!("{:?}", desk.ui.layers) };
    trouble
}

/// What the question in front does on these keys.
fn answers(desk: &mut Desk, keys: &[Key]) -> Vec<Effect> {
    let mut question = desk.ui.layers.pop().unwrap();
    let mut effects = Vec::new();
    for key in keys {
        let mut at = Context { session: &mut desk.session, view: &mut desk.ui.view, effects: &mut effects };
        let _ = question.key(*key, &mut at);
    }
    effects
}

#[test]
fn a_file_with_other_names_is_asked_about_once_and_saved_by_no_pause() {
    let shed = Shed::new();
    let before = shed.saved();
    let other = shed.0.path().join("other.ron");
    std::fs::hard_link(shed.file(), &other).unwrap();
    let mut desk = shed.open(Box::new(RealDisk));
    assert!(desk.told.is_empty(), "as long as nothing is saved there is nothing to say");
    desk.add_bed("A1");
    desk.frame();
    assert_eq!(desk.session.keeping.mark(), None);
    let said = desk.pause_before_question();
    assert_eq!(said, (Tone::Trouble, "not saved: the file has other names; s asks what to do".to_owned()));
    trouble(&desk);
    assert_eq!(desk.session.keeping.mark(), Some("not saved"));
    assert_eq!(desk.keeper.pause(&desk.session), None, "no pause saves it");
    assert_eq!(shed.saved(), before);
    // The first choice changes nothing, since the question may open while something is typed.
    assert!(answers(&mut desk, &[Key::Enter]).is_empty());
    desk.keeper.save(&mut desk.session, &mut desk.ui);
    assert_eq!(answers(&mut desk, &[Key::Down, Key::Enter]), [Effect::Part]);
    desk.keeper.part(&mut desk.session, &mut desk.ui);
    assert_eq!(desk.notice(), (Tone::Done, "saved"));
    assert_eq!((shed.saved(), std::fs::read_to_string(&other).unwrap()), (desk.text(), before));
    assert_eq!(desk.session.keeping.mark(), None);
    // From then on it is a file as any other.
    desk.add_bed("A2");
    desk.frame();
    desk.pause();
    assert_eq!(shed.saved(), desk.text());
}

#[test]
fn who_leaves_a_file_with_other_names_unsaved_finds_every_edit_again() {
    let shed = Shed::new();
    let before = shed.saved();
    std::fs::hard_link(shed.file(), shed.0.path().join("other.ron")).unwrap();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
    assert_eq!(answers(&mut desk, &[Key::Down, Key::Down, Key::Enter]), [Effect::QuitUnsaved]);
    drop(desk);
    assert_eq!(shed.saved(), before);
    let again = shed.open(Box::new(RealDisk));
    assert!(again.session.plan().garden().bed("A1").is_some(), "{:?}", again.told);
}

#[test]
fn where_there_is_no_journal_leaving_puts_the_garden_aside() {
    let shed = Shed::new();
    std::fs::hard_link(shed.file(), shed.0.path().join("other.ron")).unwrap();
    let disk = FaultyDisk::sound();
    disk.fail_every("try_lock", ErrorKind::Unsupported);
    let mut desk = shed.open(Box::new(disk));
    desk.add_bed("A1");
    desk.frame();
    assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
    assert_eq!(answers(&mut desk, &[Key::Down, Key::Down, Key::Enter]), [Effect::SetAsideAndLeave]);
    assert!(desk.keeper.set_aside(&desk.session).is_ok());
}

#[test]
fn changed_and_with_other_names_both_are_asked_about() {
    let shed = Shed::new();
    let other = shed.0.path().join("other.ron");
    std::fs::hard_link(shed.file(), &other).unwrap();
    let mut desk = shed.open(Box::new(RealDisk));
    let theirs = Garden::empty("Theirs").to_ron();
    // By the other name, which is the same file.
    std::fs::write(&other, &theirs).unwrap();
    desk.add_bed("A1");
    desk.frame();
    desk.pause();
    trouble(&desk);
    desk.ui.layers.clear();
    desk.keeper.part(&mut desk.session, &mut desk.ui);
    assert_eq!(desk.session.keeping.mark(), Some("file changed"));
    assert_eq!(shed.saved(), theirs);
    desk.ui.layers.clear();
    desk.keeper.write_over(&mut desk.session, &mut desk.ui);
    assert_eq!((shed.saved(), std::fs::read_to_string(&other).unwrap()), (desk.text(), theirs));
}

#[test]
fn a_version_is_not_gone_back_to_over_other_names_unasked() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    desk.pause();
    let text = desk.text();
    std::fs::hard_link(shed.file(), shed.0.path().join("other.ron")).unwrap();
    let error = format!("{:#}", desk.keeper.restore(2, &mut desk.session).unwrap_err());
    assert!(error.contains("the file has 2 names (hard links)"), "{error}");
    assert_eq!((shed.saved(), desk.text()), (text.clone(), text));
}

#[test]
fn a_file_that_may_not_be_written_is_looked_at_and_taken_over_once_it_may() {
    let shed = Shed::new();
    let set_mode = |mode| std::fs::set_permissions(shed.file(), std::fs::Permissions::from_mode(mode)).unwrap();
    set_mode(0o444);
    let mut desk = shed.open(Box::new(RealDisk));
    assert_eq!(desk.told[0], "This garden is read-only here: the file is read-only.");
    assert_eq!(desk.session.keeping.mark(), Some("read-only"));
    let why = desk.session.read_only_because().unwrap();
    assert_eq!(why, "the file is read-only; S saves it under another name");
    assert!(!shed.0.path().join(".garden.ron.kept").exists());
    // What others save is shown.
    set_mode(0o644);
    let theirs = Garden::empty("Theirs").to_ron();
    std::fs::write(shed.file(), &theirs).unwrap();
    set_mode(0o444);
    assert!(desk.keeper.pause(&desk.session).is_some());
    desk.pause();
    assert_eq!(desk.text(), theirs);
    desk.keeper.take_over(&mut desk.session, &mut desk.ui);
    assert_eq!(desk.notice(), (Tone::Trouble, "still read-only: the file is read-only"));
    set_mode(0o644);
    desk.keeper.take_over(&mut desk.session, &mut desk.ui);
    assert_eq!((desk.session.keeping.mark(), desk.session.read_only_because()), (None, None));
    desk.add_bed("A1");
    desk.frame();
    desk.pause();
    assert_eq!(shed.saved(), desk.text());
}

#[test]
fn that_the_owner_could_not_be_kept_is_said_once() {
    if rustix::process::geteuid().as_raw() != 0 {
        eprintln!("that_the_owner_could_not_be_kept_is_said_once: skipped, it takes a superuser to give a file away");
        return;
    }
    let shed = Shed::new();
    chown(shed.file(), Some(61_001), Some(61_100)).unwrap();
    let disk = FaultyDisk::sound();
    let mut desk = shed.open(Box::new(disk.clone()));
    disk.fail_every("set_owner", ErrorKind::PermissionDenied);
    desk.add_bed("A1");
    desk.frame();
    desk.pause();
    let words = "it belongs to you now: neither its owner nor its group could be kept";
    assert_eq!(desk.notice(), (Tone::Trouble, words));
    assert_eq!(std::fs::metadata(shed.file()).unwrap().uid(), 0);
    chown(shed.file(), Some(61_001), None).unwrap();
    desk.add_bed("A2");
    desk.frame();
    desk.keeper.save(&mut desk.session, &mut desk.ui);
    assert_eq!(desk.notice(), (Tone::Done, "saved"));
    assert_eq!(desk.keeper.words_of_rights(), None);
}
