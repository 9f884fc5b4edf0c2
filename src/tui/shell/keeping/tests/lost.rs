//! The hidden folder is deleted while the garden is open.

use super::*;

fn kept_folder(shed: &Shed) -> PathBuf {
    shed.file().with_file_name(".garden.ron.kept")
}

#[test]
fn the_lock_is_taken_again_at_the_next_look_and_edits_are_there() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    std::fs::remove_dir_all(kept_folder(&shed)).unwrap();
    desk.pause();
    assert_eq!(desk.session.keeping.mark(), None);
    let second = shed.open(Box::new(RealDisk));
    assert_eq!(second.session.keeping.mark(), Some("read-only"));
    desk.add_bed("A1");
    desk.frame();
    assert_eq!(desk.session.keeping.mark(), None);
    drop((desk, second));
    assert!(shed.open(Box::new(RealDisk)).text().contains("\"A1\""));
}

#[test]
fn a_garden_that_another_program_got_meanwhile_is_read_only_and_the_edit_is_put_aside() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    std::fs::remove_dir_all(kept_folder(&shed)).unwrap();
    let mut second = shed.open(Box::new(RealDisk));
    assert_eq!(second.session.keeping.mark(), None);
    desk.add_bed("A1");
    let mine = desk.text();
    desk.frame();
    assert_eq!(desk.session.keeping.mark(), Some("read-only"));
    let (tone, said) = desk.notice();
    assert_eq!(tone, Tone::Trouble);
    let begins = "read-only: your edits are put aside, V lists them; its hidden folder was deleted, and it is open elsewhere now: process ";
    assert!(said.starts_with(begins), "{said}");
    let [aside] = &crate::store::aside_of(&shed.file(), limits::FILE_BYTES).unwrap()[..] else { panic!() };
    assert_eq!(std::fs::read_to_string(&aside.path).unwrap(), mine);

    // The other one is not disturbed, and what it saves is shown here.
    second.add_bed("Z9");
    second.frame();
    second.keeper.save(&mut second.session, &mut second.ui);
    assert!(shed.saved().contains("\"Z9\"") && !shed.saved().contains("\"A1\""));
    desk.pause();
    assert!(desk.text().contains("\"Z9\""));
    assert!(desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
}

#[test]
fn leaving_a_garden_that_another_program_got_meanwhile_says_so_first() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    std::fs::remove_dir_all(kept_folder(&shed)).unwrap();
    let _second = shed.open(Box::new(RealDisk));
    assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
    assert!(desk.notice().1.starts_with("read-only: your edits are put aside"), "{}", desk.notice().1);
    assert!(desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
}
