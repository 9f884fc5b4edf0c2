//! The file of a garden on the screen, without a terminal; disks that fail are played.

use std::io::ErrorKind;
use std::path::PathBuf;
use std::sync::LazyLock;

use tempfile::TempDir;

use super::*;
use crate::garden::{Bed, BedKind, Cover, Edit, Garden, SoilTexture};
use crate::store::RealDisk;
use crate::store::faulty::FaultyDisk;
use crate::tui::Options;
use crate::tui::view::Tone;
use crate::units::{Mm, Week};

#[cfg(unix)]
mod lost;
#[cfg(unix)]
mod names;
mod replaced;
mod trail;

static BOOK: LazyLock<Arc<CropBook>> = LazyLock::new(|| Arc::new(CropBook::embedded().unwrap()));

fn day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 4, 15).unwrap()
}

#[allow(clippy::unnecessary_wraps)] // as the faces hand it in
fn no_weather(_: &Garden, _: &Path) -> anyhow::Result<Option<Arc<crate::climate::Weather>>> {
    Ok(None)
}

/// A garden on a screen that is not there. Dropped it leaves the disk as `kill -9` does: nothing more is saved.
struct Desk {
    keeper: Keeper,
    session: Session,
    ui: Ui,
    told: Vec<String>,
}

struct Shed(TempDir);

impl Shed {
    fn new() -> Self {
        let shed = Self(tempfile::tempdir().unwrap());
        std::fs::write(shed.file(), Garden::empty("Plot").to_ron()).unwrap();
        shed
    }

    fn file(&self) -> PathBuf {
        self.0.path().join("garden.ron")
    }

    fn saved(&self) -> String {
        std::fs::read_to_string(self.file()).unwrap()
    }

    fn open(&self, disk: Box<dyn crate::store::Disk>) -> Desk {
        let path = self.file();
        let opened = Kept::open(&path, limits::FILE_BYTES, now(), disk).unwrap();
        let garden = Garden::from_ron(&opened.text, "garden.ron").unwrap();
        let mut keeper = Keeper::new(Arc::clone(&BOOK), no_weather);
        let (session, lines) = keeper.take_in(Found { path, opened, garden, weather: None }, day());
        let ui = Ui::new(Week::of(day()), Options::default());
        Desk { keeper, session, ui, told: lines.into_iter().map(|line| line.text).collect() }
    }
}

impl Desk {
    fn add_bed(&mut self, id: &str) {
        let bed = Bed {
            id: id.to_owned(),
            name: String::new(),
            width_mm: Mm(1_200),
            length_mm: Mm(2_400),
            east_mm: Mm(0),
            south_mm: Mm(0),
            bearing_deg: 0,
            kind: BedKind::Bed,
            cover: Cover::Open,
            soil: SoilTexture::Loam,
            renewed_yearly: false,
            notes: String::new(),
        };
        let title = self.session.apply(Edit::AddBed { at: 0, bed }).unwrap();
        self.ui.view.say(title);
    }

    /// What the shell does before it draws.
    fn frame(&mut self) {
        self.keeper.write_down(&mut self.session, &mut self.ui);
        self.keeper.ask_what_waits(&mut self.ui);
    }

    fn pause(&mut self) {
        self.keeper.at_pause(&mut self.session, &mut self.ui);
        self.frame();
    }

    /// A pause after which there is a question: what is said of it until it opens, once nothing is in front.
    fn pause_before_question(&mut self) -> (Tone, String) {
        self.keeper.at_pause(&mut self.session, &mut self.ui);
        let (tone, said) = self.notice();
        let said = (tone, said.to_owned());
        self.frame();
        assert!(matches!(self.ui.layers.last(), Some(Layer::Trouble(_))), "{:?}", self.ui.layers);
        assert_eq!(self.ui.view.notice, None, "the bottom line is left to the keys of the question");
        said
    }

    fn notice(&self) -> (Tone, &str) {
        let notice = self.ui.view.notice.as_ref().unwrap();
        (notice.tone, &notice.text)
    }

    fn text(&self) -> String {
        self.session.plan().garden().to_ron()
    }
}

#[test]
fn steps_are_in_the_journal_before_the_frame_and_come_back() {
    let shed = Shed::new();
    let before = shed.saved();
    let mut desk = shed.open(Box::new(RealDisk));
    assert!(desk.told.is_empty(), "{:?}", desk.told);
    desk.add_bed("A1");
    desk.add_bed("A2");
    desk.session.undo().unwrap();
    desk.add_bed("A3");
    desk.frame();
    assert_eq!(desk.notice(), (Tone::Done, "add bed A3"));
    let text = desk.text();
    drop(desk);
    assert_eq!(shed.saved(), before, "no pause has saved it");

    let mut again = shed.open(Box::new(RealDisk));
    assert_eq!(again.text(), text);
    assert_eq!(
        again.told[..5],
        [
            "4 edits came back that were not saved when the program stopped:",
            "  add bed A1",
            "  add bed A2",
            "  taken back: add bed A2",
            "  add bed A3",
        ]
    );
    assert!(again.session.is_unsaved());
    // A pause puts them into the file, and then the journal has nothing left to tell.
    again.pause();
    assert_eq!(shed.saved(), text);
    drop(again);
    assert!(shed.open(Box::new(RealDisk)).told.is_empty());
}

#[test]
fn steps_of_one_batch_cost_one_flush() {
    let shed = Shed::new();
    let disk = FaultyDisk::sound();
    let mut desk = shed.open(Box::new(disk.clone()));
    desk.add_bed("A1");
    desk.frame();
    let n_flushes = |disk: &FaultyDisk| disk.calls().iter().filter(|call| **call == "flush").count();
    let before = n_flushes(&disk);
    for id in ["B1", "B2", "B3", "B4"] {
        desk.add_bed(id);
    }
    desk.frame();
    assert_eq!(n_flushes(&disk) - before, 1);
    desk.frame();
    assert_eq!(n_flushes(&disk) - before, 1, "a frame without an edit costs none");
}

#[test]
fn an_edit_that_cannot_be_written_down_is_said_kept_and_tried_again() {
    let shed = Shed::new();
    let disk = FaultyDisk::sound();
    let mut desk = shed.open(Box::new(disk.clone()));
    for method in ["write", "create_new", "flush"] {
        disk.fail_every(method, ErrorKind::StorageFull);
    }
    desk.add_bed("A1");
    desk.frame();
    let (tone, words) = desk.notice();
    assert_eq!(tone, Tone::Trouble);
    assert!(words.starts_with("done, but not on disk: ") && words.contains("full"), "{words}");
    assert_eq!(desk.session.keeping.mark(), Some("not on disk"));
    assert!(desk.session.plan().garden().bed("A1").is_some(), "the edit stays");
    // The pause cannot save it either, and leaving says what would be lost.
    desk.pause();
    assert!(desk.notice().1.starts_with("not saved: "), "{:?}", desk.notice());
    assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
    let Some(Layer::Confirm(confirm)) = desk.ui.layers.pop() else { panic!("{:?}", desk.ui.layers) };
    assert!(confirm.question.contains("loses what was edited"), "{}", confirm.question);
    // Room again: the next pauses write it down, then save.
    disk.mend();
    assert!(desk.keeper.pause(&desk.session).is_some());
    desk.pause();
    assert_eq!(desk.session.keeping.mark(), None);
    desk.pause();
    assert_eq!(shed.saved(), desk.text());
}

#[test]
fn a_save_at_a_pause_takes_the_complaint_about_the_journal_back() {
    let shed = Shed::new();
    let disk = FaultyDisk::sound();
    let mut desk = shed.open(Box::new(disk.clone()));
    disk.fail_every("write", ErrorKind::StorageFull);
    desk.add_bed("A1");
    desk.frame();
    assert!(desk.notice().1.starts_with("done, but not on disk: "), "{:?}", desk.notice());
    // There is room again before the pause, so that it saves at once.
    disk.mend();
    desk.pause();
    assert_eq!(shed.saved(), desk.text());
    assert_eq!(desk.notice().1, "every edit is on disk again");
    assert_eq!(desk.session.keeping.mark(), None);
}

#[test]
fn leaving_unsaved_says_that_the_journal_has_it_all() {
    let shed = Shed::new();
    let disk = FaultyDisk::sound();
    let mut desk = shed.open(Box::new(disk.clone()));
    desk.add_bed("A1");
    desk.frame();
    disk.fail_every("rename", ErrorKind::PermissionDenied);
    assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
    let Some(Layer::Confirm(confirm)) = desk.ui.layers.pop() else { panic!("{:?}", desk.ui.layers) };
    assert!(confirm.question.contains("they come back when the garden is opened again"), "{}", confirm.question);
    let text = desk.text();
    drop(desk);
    let again = shed.open(Box::new(RealDisk));
    assert_eq!(again.text(), text);
}

#[test]
fn a_file_changed_while_nothing_happens_is_noticed_before_the_next_edit() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.pause();
    assert_eq!(desk.session.keeping.mark(), None);
    assert_eq!(desk.keeper.pause(&desk.session), Some(PAUSE_BEFORE_LOOKING));
    let theirs = Garden::empty("Theirs").to_ron();
    std::fs::write(shed.file(), &theirs).unwrap();
    desk.pause();
    assert_eq!(desk.session.keeping.mark(), Some("file changed"));
    assert!(matches!(desk.ui.layers.as_slice(), [Layer::Trouble(_)]), "{:?}", desk.ui.layers);
    assert_eq!(desk.keeper.pause(&desk.session), None, "it is asked once");
    assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui), "nor is it left without a word");
    desk.keeper.take_theirs(&mut desk.session, &mut desk.ui);
    assert_eq!(desk.text(), theirs);

    desk.ui.layers.clear();
    std::fs::remove_file(shed.file()).unwrap();
    desk.pause();
    assert_eq!(desk.session.keeping.mark(), Some("file gone"));
    assert!(!desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
}

#[test]
fn steps_taken_back_leave_nothing_for_the_next_opening_to_tell() {
    let shed = Shed::new();
    let before = shed.saved();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.session.undo().unwrap();
    desk.frame();
    assert!(!desk.session.is_unsaved());
    assert!(desk.keeper.may_leave(&mut desk.session, &mut desk.ui));
    drop(desk);
    assert_eq!(shed.saved(), before);
    assert!(shed.open(Box::new(RealDisk)).told.is_empty());
}

#[test]
fn what_waited_for_a_file_left_for_another_goes_into_it() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    let other = shed.0.path().join("other.ron");
    desk.keeper.save_as(&other, &mut desk.session).unwrap();
    drop(desk);
    assert_eq!(shed.saved(), std::fs::read_to_string(&other).unwrap());
    assert!(shed.open(Box::new(RealDisk)).told.is_empty());
}

#[test]
fn a_changed_file_rests_until_the_grower_decides() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    let theirs = Garden::empty("Theirs").to_ron();
    std::fs::write(shed.file(), &theirs).unwrap();
    desk.add_bed("A1");
    desk.frame();
    // A layer in front is not disturbed: the question waits for it.
    desk.ui.layers.push(Layer::Welcome(crate::tui::layers::welcome::Welcome));
    desk.pause();
    assert_eq!(desk.ui.layers.len(), 1);
    assert_eq!(desk.notice().1, "not saved: the file was changed by something else; s asks what to do");
    desk.ui.layers.clear();
    desk.frame();
    assert!(matches!(desk.ui.layers.last(), Some(Layer::Trouble(_))));
    let drawn = crate::tui::fixture::text(&desk.session, &desk.ui, 80, 24);
    assert!(drawn.ends_with("↑ ↓ choose  Enter do it  Esc later"), "{drawn}");
    assert_eq!(desk.keeper.pause(&desk.session), None, "no pause saves any more");
    assert_eq!(shed.saved(), theirs);
    desk.ui.layers.clear();
    desk.keeper.write_over(&mut desk.session, &mut desk.ui);
    assert_eq!(shed.saved(), desk.text());
    let versions = desk.keeper.versions(&desk.session).unwrap();
    assert!(versions.iter().any(|version| version.n_bytes == theirs.len() as u64), "{versions:?}");
}

#[test]
fn theirs_is_taken_with_mine_in_a_file_of_its_own() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    let mine = desk.text();
    let theirs = Garden::empty("Theirs").to_ron();
    std::fs::write(shed.file(), &theirs).unwrap();
    desk.keeper.take_theirs(&mut desk.session, &mut desk.ui);
    assert_eq!(desk.text(), theirs);
    assert_eq!(shed.saved(), theirs);
    let aside = shed.0.path().join(".garden.ron.kept/aside");
    let texts: Vec<String> = std::fs::read_dir(aside)
        .unwrap()
        .map(|entry| std::fs::read_to_string(entry.unwrap().path()).unwrap())
        .collect();
    assert!(texts.contains(&mine));
}

#[test]
fn what_is_no_garden_can_be_written_over_but_not_taken() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    std::fs::write(shed.file(), "a shopping list").unwrap();
    desk.add_bed("A1");
    desk.frame();
    desk.pause();
    assert!(matches!(desk.ui.layers.last(), Some(Layer::Trouble(_))));
    desk.keeper.write_over(&mut desk.session, &mut desk.ui);
    assert_eq!(shed.saved(), desk.text());
}

#[test]
fn a_version_is_gone_back_to_and_the_garden_left_is_a_version() {
    let shed = Shed::new();
    let first = shed.saved();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    desk.keeper.save(&mut desk.session, &mut desk.ui);
    desk.add_bed("A2");
    desk.frame();
    let left = desk.text();
    let versions = desk.keeper.versions(&desk.session).unwrap();
    let version = versions.iter().find(|version| version.n_bytes == first.len() as u64).unwrap();
    let crate::tui::layers::versions::Source::Saved(number) = version.source else { panic!("{version:?}") };
    desk.keeper.restore(number, &mut desk.session).unwrap();
    assert_eq!((desk.text(), shed.saved()), (first.clone(), first));
    let versions = desk.keeper.versions(&desk.session).unwrap();
    assert!(versions.iter().any(|version| version.n_bytes == left.len() as u64), "{versions:?}");
    assert!(!desk.session.is_unsaved());
    // And edits go on from there.
    desk.add_bed("B1");
    desk.frame();
    let text = desk.text();
    drop(desk);
    assert_eq!(shed.open(Box::new(RealDisk)).text(), text);
}

#[test]
fn a_garden_open_elsewhere_is_looked_at_and_taken_over() {
    let shed = Shed::new();
    let mut first = shed.open(Box::new(RealDisk));
    let mut second = shed.open(Box::new(RealDisk));
    assert!(second.told[0].starts_with("This garden is open elsewhere: process "), "{:?}", second.told);
    assert!(second.session.apply(Edit::Rename("no".to_owned())).is_err());
    second.keeper.take_over(&mut second.session, &mut second.ui);
    assert!(second.notice().1.starts_with("still open elsewhere"), "{:?}", second.notice());
    first.add_bed("A1");
    first.frame();
    first.keeper.save(&mut first.session, &mut first.ui);
    first.add_bed("A2");
    first.frame();
    second.pause();
    assert!(second.session.plan().garden().bed("A1").is_some(), "what was saved is shown");
    assert!(second.session.plan().garden().bed("A2").is_none());
    assert_eq!(second.session.keeping.mark(), Some("read-only"));
    let text = first.text();
    drop(first);
    second.pause();
    assert_eq!(second.session.keeping.mark(), Some("free again: O"));
    second.keeper.take_over(&mut second.session, &mut second.ui);
    assert_eq!(second.text(), text);
    assert_eq!(second.session.keeping.mark(), None);
    second.add_bed("A3");
    second.frame();
    second.pause();
    assert_eq!(shed.saved(), second.text());
}

#[test]
fn another_name_takes_the_garden_along_with_a_journal_of_its_own() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    let other = shed.0.path().join("other.ron");
    std::fs::write(&other, Garden::empty("Other").to_ron()).unwrap();
    desk.keeper.save_as(&other, &mut desk.session).unwrap();
    assert_eq!(std::fs::read_to_string(&other).unwrap(), desk.text());
    let versions = desk.keeper.versions(&desk.session).unwrap();
    assert_eq!(versions.len(), 2, "what stood there is a version: {versions:?}");
    desk.add_bed("A2");
    desk.frame();
    let text = desk.text();
    drop(desk);
    let opened = Kept::open(&other, limits::FILE_BYTES, now(), Box::new(RealDisk)).unwrap();
    let mut garden = Garden::from_ron(&opened.text, "other.ron").unwrap();
    crate::garden::replay(&mut garden, &opened.records).unwrap();
    assert_eq!(garden.to_ron(), text);
}

#[test]
fn a_record_that_does_not_fit_stops_the_replay_and_the_journal_is_put_aside() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.frame();
    let kept = desk.keeper.kept.as_mut().unwrap();
    kept.append("(how:Made,title:\"t\",edit:RemovePlanting(77))").unwrap();
    kept.flush().unwrap();
    let text = desk.text();
    drop(desk);
    let again = shed.open(Box::new(RealDisk));
    assert_eq!(again.text(), text);
    let told = again.told.join("\n");
    assert!(told.contains("1 edit came back") && told.contains("there is no planting p77"), "{told}");
    assert!(told.contains("aside/"), "{told}");
}

#[test]
fn a_terminal_that_goes_takes_nothing_with_it() {
    let shed = Shed::new();
    let mut desk = shed.open(Box::new(RealDisk));
    desk.add_bed("A1");
    desk.keeper.leave_now(&mut desk.session, &mut desk.ui);
    assert_eq!(shed.saved(), desk.text());
}
