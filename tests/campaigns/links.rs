//! Links, pipes, devices and things of somebody else's in the place of what is kept beside a garden. Whatever is planted where, what
//! lies outside the kept folder stays byte for byte, and the garden's edits are not lost.

use std::collections::BTreeMap;
use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, symlink};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::Duration;

use bedfellow::crops::CropBook;
use bedfellow::garden::{Edit, Garden, limits};
use bedfellow::season::{Plan, Sitting};
use bedfellow::store::{Kept, RealDisk, Save, Stamp};

use crate::dice::Dice;
use crate::lengths::{LONG_BED, SIZE, STEP_CM, go_to_bed, saved_cm, shown_cm};
use crate::size;
use crate::terminal::Terminal;

/// Where something is planted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    Kept,
    Lock,
    Journal,
    Versions,
    Version,
    Aside,
    Unfinished,
}

const PLACES: [Place; 7] =
    [Place::Kept, Place::Lock, Place::Journal, Place::Versions, Place::Version, Place::Aside, Place::Unfinished];

/// What is planted there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Plant {
    LinkToFile,
    LinkToGarden,
    LinkToFolder,
    LinkToNothing,
    SecondNameOfFile,
    SecondNameOfGarden,
    Pipe,
    /// A folder where a file should be, a file where a folder should be.
    WrongWayRound,
    Device,
}

const PLANTS: [Plant; 9] = [
    Plant::LinkToFile,
    Plant::LinkToGarden,
    Plant::LinkToFolder,
    Plant::LinkToNothing,
    Plant::SecondNameOfFile,
    Plant::SecondNameOfGarden,
    Plant::Pipe,
    Plant::WrongWayRound,
    Plant::Device,
];

/// The gravest, which the short form makes for certain: each emptied, filled or deleted something once.
const GRAVEST: [(Place, Plant); 8] = [
    (Place::Lock, Plant::LinkToFile),
    (Place::Lock, Plant::SecondNameOfFile),
    (Place::Lock, Plant::LinkToGarden),
    (Place::Lock, Plant::LinkToNothing),
    (Place::Kept, Plant::LinkToFolder),
    (Place::Versions, Plant::LinkToFolder),
    (Place::Journal, Plant::LinkToFile),
    (Place::Lock, Plant::Pipe),
];

/// A shed with a garden, and beside it what belongs to somebody else.
struct Scene {
    home: tempfile::TempDir,
}

fn stamp(minute: u64) -> Stamp {
    Stamp::from_file_name(&format!("20270301T08{minute:02}00Z")).unwrap()
}

impl Scene {
    fn new() -> Self {
        let scene = Self { home: tempfile::tempdir().unwrap() };
        for folder in ["shed", "foreign"] {
            std::fs::create_dir(scene.home.path().join(folder)).unwrap();
        }
        let garden = scene.garden();
        // A past, so that there is something of every kind.
        std::fs::write(&garden, LONG_BED.replace("Long bed", "Long bed of old")).unwrap();
        let mut kept = scene.open();
        kept.save(LONG_BED, stamp(5), Save::Asked).unwrap();
        kept.set_aside("mine", "of old", stamp(6)).unwrap();
        drop(kept);
        // A journal that would be replayed if it were ours: its records are made upon what the garden holds.
        let mut kept = scene.open();
        let book = CropBook::embedded().unwrap();
        let plan = Plan::new(Garden::from_ron(LONG_BED, "it").unwrap(), &std::sync::Arc::new(book));
        let record = Sitting::new(plan).apply(Edit::Rename("Planted by another".to_owned())).unwrap();
        kept.append(&record.to_line().unwrap()).unwrap();
        kept.flush().unwrap();
        drop(kept);
        std::fs::rename(scene.kept().join("journal"), scene.foreign().join("journal")).unwrap();
        for (name, text) in [
            ("letter", "Dear somebody,\n"),
            ("lock", "the key is under the pot\n"),
            ("unfinished-4711-0", "half a novel\n"),
        ] {
            std::fs::write(scene.foreign().join(name), text).unwrap();
        }
        for second in 10..24 {
            std::fs::write(scene.foreign().join(format!("20260301T0815{second}Z.ron")), format!("{second}\n")).unwrap();
        }
        scene
    }

    fn open(&self) -> Kept {
        Kept::open(&self.garden(), limits::FILE_BYTES, stamp(0), Box::new(RealDisk)).unwrap().kept
    }

    fn garden(&self) -> PathBuf {
        self.home.path().join("shed").join("g.ron")
    }

    fn kept(&self) -> PathBuf {
        self.home.path().join("shed").join(".g.ron.kept")
    }

    fn foreign(&self) -> PathBuf {
        self.home.path().join("foreign")
    }

    fn place(&self, place: Place) -> PathBuf {
        let kept = self.kept();
        match place {
            Place::Kept => kept,
            Place::Lock => kept.join("lock"),
            Place::Journal => kept.join("journal"),
            Place::Versions => kept.join("versions"),
            Place::Version => kept.join("versions").join("20270301T070000Z.ron"),
            Place::Aside => kept.join("aside"),
            Place::Unfinished => kept.join("unfinished-99-0"),
        }
    }

    /// Plants it; whether it could be.
    fn plant(&self, place: Place, plant: Plant) -> bool {
        let at = self.place(place);
        if at.ancestors().skip(1).take_while(|folder| folder.starts_with(self.kept())).any(Path::is_symlink) {
            // Of two plants the first took the second one's folder.
            return false;
        }
        if at.is_dir() && !at.is_symlink() {
            std::fs::remove_dir_all(&at).unwrap();
        } else if at.symlink_metadata().is_ok() {
            std::fs::remove_file(&at).unwrap();
        }
        if std::fs::create_dir_all(at.parent().unwrap()).is_err() {
            return false;
        }
        let foreign = match place {
            Place::Journal => "journal",
            Place::Lock => "lock",
            Place::Version => "20260301T081512Z.ron",
            _ => "letter",
        };
        let made = |program: &str, args: &[&str]| {
            let status = Command::new(program).args(args).arg(&at).stderr(std::process::Stdio::null()).status();
            status.is_ok_and(|status| status.success())
        };
        let name = at.file_name().unwrap().to_owned();
        let up = if at.parent().unwrap().starts_with(self.kept()) { "../" } else { "" };
        let up = if place == Place::Version { "../../" } else { up };
        match plant {
            Plant::LinkToFile => symlink(self.foreign().join(foreign), &at).is_ok(),
            Plant::LinkToGarden => symlink(format!("{up}g.ron"), &at).is_ok(),
            Plant::LinkToFolder => symlink(self.foreign(), &at).is_ok(),
            Plant::LinkToNothing => symlink(self.foreign().join("nothing yet"), &at).is_ok(),
            Plant::SecondNameOfFile => std::fs::hard_link(self.foreign().join(foreign), &at).is_ok(),
            Plant::SecondNameOfGarden => std::fs::hard_link(self.garden(), &at).is_ok(),
            Plant::Pipe => made("mkfifo", &[]),
            Plant::WrongWayRound if matches!(place, Place::Kept | Place::Versions | Place::Aside) => {
                std::fs::write(&at, "in the way\n").is_ok()
            }
            Plant::WrongWayRound => {
                std::fs::create_dir(&at).is_ok() && std::fs::write(at.join(name), "in the way\n").is_ok()
            }
            // `null`; only a superuser may make one.
            Plant::Device => Command::new("mknod")
                .arg(&at)
                .args(["c", "1", "3"])
                .stderr(std::process::Stdio::null())
                .status()
                .is_ok_and(|status| status.success()),
        }
    }
}

/// Everything under a folder: what it is, who may do what with it, what it holds.
fn contents(folder: &Path) -> BTreeMap<PathBuf, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let about = path.symlink_metadata().unwrap();
            let text = if about.is_file() { format!("{:?}", std::fs::read(&path).unwrap()) } else { String::new() };
            let mode = about.permissions().mode();
            found.insert(path.clone(), format!("{mode:o} {}:{} {} {text}", about.uid(), about.gid(), about.mtime()));
            if about.is_dir() {
                folders.push(path);
            }
        }
    }
    found
}

fn assert_untouched(scene: &Scene, before: &BTreeMap<PathBuf, String>, how: &str) {
    let after = contents(&scene.foreign());
    for (path, what) in before {
        assert_eq!(after.get(path), Some(what), "{how}: {}", path.display());
    }
    assert_eq!(after.len(), before.len(), "{how}: {:?}", after.keys().filter(|path| !before.contains_key(*path)));
}

/// Opens, edits, saves, edits, leaves. Every edit must be in the file in the end, or said not to be.
fn sit(scene: &Scene, dice: &mut Dice, between: &mut dyn FnMut(&mut Dice), how: &str) {
    let mut terminal = Terminal::open(scene.home.path(), &["shed/g.ron"], SIZE, true);
    let mut length = go_to_bed(&mut terminal);
    assert_eq!(length, 5_000, "{how}: nobody else's edits are replayed");
    assert!(!terminal.output().text().contains("Planted by another"), "{how}");
    for _ in 0..3 {
        between(dice);
        length += STEP_CM;
        terminal.keys(b"+");
        terminal.must("the edit is shown", |output| shown_cm(output) == Some(length));
        match dice.below(3) {
            0 => {
                terminal.keys(b"s");
                terminal.must("the save is answered", |output| {
                    let text = output.text();
                    text.contains("saved") || text.contains("other name")
                });
            }
            1 => std::thread::sleep(Duration::from_millis(900)),
            _ => {}
        }
        part_if_asked(&mut terminal);
    }
    between(dice);
    terminal.keys(b"q");
    let until = std::time::Instant::now() + Duration::from_secs(20);
    while !terminal.ends_within(Duration::from_millis(200)) {
        assert!(std::time::Instant::now() < until, "{how}: it does not leave\n{}", terminal.output().text());
        part_if_asked(&mut terminal);
        terminal.keys(b"q");
    }
    assert_eq!(terminal.ending().code, 0, "{how}: {}", terminal.output().tail_text());
    assert!(!terminal.output().has_panicked, "{how}");
    assert_eq!(saved_cm(&scene.garden()), length, "{how}: every edit is in the file");
    let text = std::fs::read_to_string(scene.garden()).unwrap();
    assert!(!text.contains("Planted by another"), "{how}: nobody else's edits are in it");
}

/// A garden with a second name is saved into a file of its own once that is chosen.
fn part_if_asked(terminal: &mut Terminal) {
    let is_asked = |output: &crate::terminal::Output| output.text().contains("write it into a new file");
    if terminal.waits(Duration::from_millis(100), is_asked) {
        terminal.keys(b"\x1b[B\r");
        terminal.must("it is saved", |output| output.text().contains("saved") && !is_asked(output));
    }
}

#[test]
fn nothing_outside_the_kept_folder_is_touched_whatever_is_planted_in_it() {
    let (seed, n_trials) = (size::seed(), size::count(GRAVEST.len() as u64 + 4, 400));
    println!("seed {seed}");
    let all: Vec<(Place, Plant)> =
        PLACES.iter().flat_map(|place| PLANTS.iter().map(move |plant| (*place, *plant))).collect();
    let (mut n_made, mut n_mid) = (0, 0);
    for number in size::trials(n_trials, n_trials) {
        let mut dice = Dice::of(seed, number);
        let at = number as usize;
        // Each once, gravest first; then two at a time, and some while the garden is open.
        let mut plants = match at.checked_sub(GRAVEST.len()) {
            None => vec![GRAVEST[at]],
            Some(at) if size::is_long() && at < all.len() => vec![all[at]],
            Some(_) => vec![*dice.one(&all), *dice.one(&all)],
        };
        let is_mid = plants.len() > 1 && dice.is_percent(50);
        let how = format!("trial {number} of seed {seed}, {plants:?}, while open: {is_mid}");
        let scene = Scene::new();
        let before = contents(&scene.foreign());
        if !is_mid {
            plants.retain(|(place, plant)| scene.plant(*place, *plant));
        }
        // What is swept away with a folder needs no place.
        n_made += plants.len();
        n_mid += usize::from(is_mid);
        let mut later = if is_mid { plants } else { Vec::new() };
        let mut between = |dice: &mut Dice| {
            if dice.is_percent(50)
                && let Some((place, plant)) = later.pop()
            {
                scene.plant(place, plant);
            }
        };
        sit(&scene, &mut dice, &mut between, &how);
        assert_untouched(&scene, &before, &how);
    }
    size::say(&format!(
        "links: {n_made} plants in {n_trials} sittings, {n_mid} of them planted while the garden was open; nothing outside was touched, no edit lost; seed {seed}"
    ));
}

/// Ends the swapping of links, also where a claim fails.
struct Ends<'a>(&'a AtomicBool);

impl Drop for Ends<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

#[test]
fn links_that_come_and_go_while_the_program_works_lead_nowhere() {
    let (seed, n_runs) = (size::seed(), size::count(40, 4_000));
    println!("seed {seed}");
    let scene = Scene::new();
    let before = contents(&scene.foreign());
    let is_done = AtomicBool::new(false);
    let (n_swaps, mut n_refused) = (AtomicU64::new(0), 0);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            let mut dice = Dice::of(seed, 0);
            let away = scene.home.path().join("away");
            while !is_done.load(Ordering::Relaxed) {
                let place = *dice.one(&[Place::Kept, Place::Kept, Place::Versions, Place::Lock, Place::Journal]);
                let at = scene.place(place);
                if std::fs::rename(&at, &away).is_err() {
                    continue;
                }
                let to = match place {
                    Place::Lock => scene.foreign().join("lock"),
                    Place::Journal => scene.foreign().join("journal"),
                    _ => scene.foreign(),
                };
                let is_planted = symlink(to, &at).is_ok();
                std::thread::sleep(Duration::from_micros(dice.below(300) as u64));
                if is_planted {
                    std::fs::remove_file(&at).unwrap();
                    n_swaps.fetch_add(1, Ordering::Relaxed);
                } else {
                    // What the program makes anew it may be writing into at this moment.
                    let _ = std::fs::remove_dir_all(&at);
                }
                // The program may have made a new one meanwhile.
                if std::fs::rename(&away, &at).is_err() {
                    let _ = std::fs::remove_dir_all(&away).or_else(|_| std::fs::remove_file(&away));
                }
                std::thread::sleep(Duration::from_micros(dice.below(300) as u64));
            }
        });
        let _ends = Ends(&is_done);
        for _ in 0..n_runs {
            // The oldest is not the newest, so that each run writes.
            let status = Command::new(env!("CARGO_BIN_EXE_bedfellow"))
                .args(["versions", "shed/g.ron", "--restore", "2"])
                .current_dir(scene.home.path())
                .output()
                .unwrap();
            assert!(matches!(status.status.code(), Some(0 | 2)), "{status:?}");
            n_refused += usize::from(status.status.code() == Some(2));
            assert!(Garden::from_ron(&std::fs::read_to_string(scene.garden()).unwrap(), "it").is_ok());
        }
    });
    assert_untouched(&scene, &before, "links that come and go");
    size::say(&format!(
        "links that come and go: {} in {n_runs} runs, {n_refused} of them refused; nothing outside was touched; seed {seed}",
        n_swaps.load(Ordering::Relaxed)
    ));
    assert!(n_refused < n_runs as usize, "something must have been written");
}
