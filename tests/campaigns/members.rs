//! Two members of a group, each with an account and a mask of their own, and the garden they share, in folders of every kind. It takes a
//! superuser to start a program as somebody else, so elsewhere this says that it is skipped.

use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, chown};
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::dice::Dice;
use crate::lengths::{LONG_BED, SIZE, STEP_CM, aside, go_to_bed, saved_cm, shown_cm};
use crate::size;
use crate::terminal::Terminal;

/// Numbers that no account of the machine should have.
const ANN: u32 = 61_001;
const BEN: u32 = 61_002;
const GARDENERS: u32 = 61_100;

/// Who shares what, and how.
#[derive(Debug)]
struct Draw {
    folder_mode: u32,
    file_mode: u32,
    masks: [&'static str; 2],
    /// What is kept was made before by a program that left it to the mask.
    is_left_to_mask: bool,
    is_killed: bool,
}

impl Draw {
    fn of(dice: &mut Dice) -> Self {
        Self {
            folder_mode: *dice.one(&[0o2775, 0o775, 0o2770, 0o3775]),
            file_mode: *dice.one(&[0o664, 0o664, 0o660, 0o644, 0o640, 0o600]),
            masks: [*dice.one(&["022", "002", "077"]), *dice.one(&["022", "002", "077"])],
            is_left_to_mask: dice.is_percent(40),
            is_killed: dice.is_percent(50),
        }
    }

    fn may_ben(&self, bit: u32) -> bool {
        self.file_mode & bit != 0
    }

    fn is_sticky(&self) -> bool {
        self.folder_mode & 0o1000 != 0
    }
}

struct Shared {
    place: tempfile::TempDir,
}

impl Shared {
    fn new() -> Self {
        let place = tempfile::tempdir().unwrap();
        set_mode(place.path(), 0o755);
        for (name, user) in [("ann", ANN), ("ben", BEN)] {
            std::fs::create_dir(place.path().join(name)).unwrap();
            chown(place.path().join(name), Some(user), Some(user)).unwrap();
        }
        // Where the program is built may be closed to others.
        let program = place.path().join("bedfellow");
        std::fs::copy(env!("CARGO_BIN_EXE_bedfellow"), &program).unwrap();
        set_mode(&program, 0o755);
        Self { place }
    }

    fn folder(&self) -> PathBuf {
        self.place.path().join("shed")
    }

    fn garden(&self) -> PathBuf {
        self.folder().join("garden.ron")
    }

    fn kept(&self) -> PathBuf {
        self.folder().join(".garden.ron.kept")
    }

    /// A new garden of Ann's in a new folder of the group's.
    fn set_out(&self, draw: &Draw) {
        let _ = std::fs::remove_dir_all(self.folder());
        std::fs::create_dir(self.folder()).unwrap();
        chown(self.folder(), Some(0), Some(GARDENERS)).unwrap();
        set_mode(&self.folder(), draw.folder_mode);
        std::fs::write(self.garden(), LONG_BED).unwrap();
        if draw.is_left_to_mask {
            std::fs::create_dir(self.kept()).unwrap();
            std::fs::write(self.kept().join("lock"), "").unwrap();
            set_mode(&self.kept(), 0o755);
            set_mode(&self.kept().join("lock"), 0o644);
        }
        for path in [self.garden(), self.kept(), self.kept().join("lock")] {
            if path.exists() {
                chown(&path, Some(ANN), Some(GARDENERS)).unwrap();
            }
        }
        set_mode(&self.garden(), draw.file_mode);
    }

    /// Starts the program as a member.
    fn start(&self, user: u32, mask: &str) -> Terminal {
        let id = user.to_string();
        let become_it = format!(
            "umask {mask}; exec setpriv --reuid={id} --regid={id} --groups={GARDENERS} {} \"$@\"",
            self.place.path().join("bedfellow").display()
        );
        let home = self.place.path().join(if user == ANN { "ann" } else { "ben" });
        Terminal::start(&["/bin/sh", "-c", &become_it, "sh"], &home, &[self.garden().to_str().unwrap()], SIZE, true)
    }

    /// Nothing kept is open to more than the garden is, or to another group.
    fn assert_private(&self, draw: &Draw, how: &str) {
        let mut folders = vec![self.kept()];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(&folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path.clone());
                }
                let about = path.symlink_metadata().unwrap();
                let mode = about.mode() & 0o777;
                // Whoever may read looks into folders; what an older program left to its mask was open by that.
                let allowed =
                    if about.is_dir() { draw.file_mode | (draw.file_mode & 0o444) >> 2 } else { draw.file_mode };
                assert_eq!(mode & !allowed & 0o077, 0, "{how}: {} {mode:o}", path.display());
                assert_eq!(about.gid(), GARDENERS, "{how}: {}", path.display());
            }
        }
        let allowed = draw.file_mode | (draw.file_mode & 0o444) >> 2;
        let about = self.kept().metadata().unwrap();
        assert_eq!(about.mode() & 0o777, allowed | 0o700, "{how}: the kept folder");
        assert_eq!(about.gid(), GARDENERS, "{how}: the kept folder");
    }
}

fn set_mode(path: &Path, mode: u32) {
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
}

/// Lengthens the strip a few times; each is shown.
fn edit(terminal: &mut Terminal, dice: &mut Dice, length: &mut i64) {
    for _ in 0..dice.between(1, 4) {
        *length += STEP_CM;
        terminal.keys(b"+");
        let expected = *length;
        terminal.must("the edit is shown", |output| shown_cm(output) == Some(expected));
    }
}

fn closes_notice(terminal: &mut Terminal) {
    terminal.keys(b"\r");
    terminal.must("the notice is closed", |output| !output.text().contains("Before you go on"));
}

/// What came of a trial.
#[derive(Debug, Default)]
struct Tally {
    told: u64,
    taken_over: u64,
    refused: u64,
}

fn trial(shared: &Shared, dice: &mut Dice, draw: &Draw, tally: &mut Tally) {
    let how = format!("{draw:?}");
    shared.set_out(draw);
    let mut length = 5_000;
    let mut ann = shared.start(ANN, draw.masks[0]);
    assert_eq!(go_to_bed(&mut ann), length);
    edit(&mut ann, dice, &mut length);
    shared.assert_private(draw, &how);

    let mut ben = shared.start(BEN, draw.masks[1]);
    if draw.may_ben(0o040) {
        ben.must("he is told who has it", |output| output.text().contains("This garden is open elsewhere: process"));
        tally.told += 1;
        closes_notice(&mut ben);
        ben.must("he only looks", |output| output.text().contains("[read-only]"));
        for key in ["x", "s", "u", "-"] {
            ben.keys(key.as_bytes());
        }
    } else {
        ben.ends();
        assert_eq!(ben.ending().code, 2, "{how}: {}", ben.output().tail_text());
        assert!(ben.output().tail_text().to_lowercase().contains("permission denied"), "{how}");
        tally.refused += 1;
    }
    edit(&mut ann, dice, &mut length);
    if draw.is_killed {
        ann.kill();
    } else {
        ann.keys(b"q");
    }
    ann.ends();
    drop(ann);

    if draw.may_ben(0o040) {
        ben.must("it is free", |output| output.text().contains("O takes it over") || output.text().contains("let go"));
        ben.keys(b"O");
        if draw.may_ben(0o020) {
            ben.must("it is his", |output| output.text().contains("is yours") || output.text().contains("came back"));
            tally.taken_over += 1;
            assert_eq!(go_to_bed(&mut ben), length, "{how}: Ben has all of Ann's edits");
            edit(&mut ben, dice, &mut length);
            shared.assert_private(draw, &how);
            ben.keys(b"s");
            if draw.is_sticky() {
                ben.must("why it cannot be saved", |output| output.text().contains("sticky folder"));
                ben.kill();
            } else {
                ben.must("what could not be kept", |output| {
                    let text = output.text();
                    text.contains("the file belongs to you now") || text.contains("saved")
                });
                ben.keys(b"q");
            }
        } else {
            ben.must("he may not", |output| output.text().contains("still read-only: you may not write the file"));
            ben.keys(b"q");
        }
        ben.ends();
    }

    let mut ann = shared.start(ANN, draw.masks[0]);
    assert_eq!(go_to_bed(&mut ann), length, "{how}: Ann has everything");
    edit(&mut ann, dice, &mut length);
    ann.keys(b"q");
    ann.ends();
    assert_eq!(ann.ending().code, 0, "{how}: {}", ann.output().tail_text());
    assert_eq!(saved_cm(&shared.garden()), length, "{how}");
    let about = shared.garden().metadata().unwrap();
    assert_eq!((about.mode() & 0o777, about.gid()), (draw.file_mode, GARDENERS), "{how}");
    assert!(aside(&shared.garden()).is_empty(), "{how}: {:?}", aside(&shared.garden()));
    shared.assert_private(draw, &how);
}

#[test]
fn members_of_a_group_share_a_garden_without_losing_edits_or_rights() {
    let (seed, n_trials) = (size::seed(), size::count(4, 200));
    println!("seed {seed}");
    let is_possible = rustix::process::geteuid().is_root()
        && Command::new("setpriv").arg("--version").output().is_ok_and(|output| output.status.success());
    if !is_possible {
        eprintln!("members: skipped, it takes a superuser and setpriv to start a program as somebody else");
        return;
    }
    let shared = Shared::new();
    let mut tally = Tally::default();
    // Each kind once before chance takes over: a plain one, an older program's, a sticky folder, one who may only read.
    let first = [(0o2775, 0o664, false), (0o775, 0o664, true), (0o3775, 0o660, false), (0o2775, 0o644, true)];
    for number in size::trials(n_trials, n_trials) {
        let mut dice = Dice::of(seed, number);
        let mut draw = Draw::of(&mut dice);
        if let Some(kind) = first.get(number as usize) {
            (draw.folder_mode, draw.file_mode, draw.is_left_to_mask) = *kind;
        }
        let walk = || trial(&shared, &mut dice, &draw, &mut tally);
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(walk));
        assert!(caught.is_ok(), "in trial {number} of seed {seed}, {draw:?}");
    }
    size::say(&format!(
        "members: {n_trials} trials, {} times a second member was told who has it, {} times took over, {} times may not even read; rights stayed as they were; seed {seed}",
        tally.told, tally.taken_over, tally.refused
    ));
}
