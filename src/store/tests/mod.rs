use std::fs::{self, File};
use std::io::ErrorKind;
use std::path::PathBuf;

use super::error::explained;
use super::faulty::FaultyDisk;
use super::*;

mod accidents;
mod keeping;
mod lines;
#[cfg(all(unix, not(target_vendor = "apple")))]
mod links;
#[cfg(target_os = "linux")]
mod members;
mod new_file;
#[cfg(all(unix, not(target_vendor = "apple")))]
mod replaced;
mod sharing;
mod trail;
mod versions;

/// Files in these tests are small.
const LIMIT: u64 = 10_000;

/// The first of March 2027, some minutes after a quarter past eight.
fn at(minutes: u32) -> Stamp {
    Stamp::from_file_name(&format!("20270301T{:02}{:02}00Z", 8 + (15 + minutes) / 60, (15 + minutes) % 60)).unwrap()
}

fn open(path: &Path) -> Opened {
    Kept::open(path, LIMIT, at(0), Box::new(RealDisk)).unwrap()
}

fn open_on(path: &Path, disk: &FaultyDisk) -> Opened {
    Kept::open(path, LIMIT, at(0), Box::new(disk.clone())).unwrap()
}

/// A named pipe. No program is started for it: between its start and its first instruction it would hold a copy of every
/// lock that another test has in this process.
#[cfg(all(unix, not(target_vendor = "apple")))]
fn make_pipe(at: &Path) {
    make_node(at, rustix::fs::FileType::Fifo, 0).unwrap();
}

/// The device that swallows all; only a superuser may make one.
#[cfg(all(unix, not(target_vendor = "apple")))]
fn make_device(at: &Path) {
    let _ = make_node(at, rustix::fs::FileType::CharacterDevice, rustix::fs::makedev(1, 3));
}

#[cfg(all(unix, not(target_vendor = "apple")))]
fn make_node(at: &Path, kind: rustix::fs::FileType, device: rustix::fs::Dev) -> rustix::io::Result<()> {
    rustix::fs::mknodat(rustix::fs::CWD, at, kind, rustix::fs::Mode::from_raw_mode(0o600), device)
}

/// A file in a folder of its own.
fn file(text: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = folder();
    let path = folder.path().join("garden.ron");
    fs::write(&path, text).unwrap();
    (folder, path)
}

fn beside(path: &Path) -> PathBuf {
    path.with_file_name(".garden.ron.kept")
}

/// Ends a sitting as a kill would: nothing more reaches the disk, and the system lets the lock go.
fn kill(kept: Kept, disk: &FaultyDisk) {
    disk.die_at(disk.n_calls());
    drop(kept);
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn names_in(folder: &Path) -> Vec<PathBuf> {
    fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect()
}

#[test]
fn what_is_written_is_read_and_nothing_is_left_beside_it() {
    let folder = folder();
    let path = folder.path().join("garden.ron");
    for text in ["first", "the second, longer", ""] {
        write_whole(&path, text.as_bytes()).unwrap();
        assert_eq!(read_text(&path, 100).unwrap(), text);
    }
    assert_eq!(names_in(folder.path()), [path]);
}

#[test]
fn a_file_over_the_limit_is_refused_by_its_size_without_reading_it() {
    let folder = folder();
    let path = folder.path().join("huge");
    // 100 MB of nothing: a sparse file, which would take its time to be read.
    File::create(&path).unwrap().set_len(100_000_000).unwrap();
    let error = read_text(&path, 64 * 1024 * 1024).unwrap_err();
    assert!(matches!(error, StoreError::TooLarge { size: 100_000_000, limit: 67_108_864, .. }), "{error}");
    fs::write(&path, "12345").unwrap();
    assert_eq!(read_text(&path, 5).unwrap(), "12345");
    assert!(matches!(read_text(&path, 4), Err(StoreError::TooLarge { size: 5, limit: 4, .. })));
}

#[test]
fn the_first_byte_that_is_no_text_is_named() {
    let folder = folder();
    let path = folder.path().join("picture");
    fs::write(&path, b"ab\xc3\xa4\xff\xfe").unwrap();
    assert!(matches!(read_text(&path, 100), Err(StoreError::NotText { at: 4, .. })));
}

#[test]
fn folders_and_missing_files_are_no_files() {
    let folder = folder();
    assert!(matches!(read_text(folder.path(), 100), Err(StoreError::NotAFile { .. })));
    assert!(matches!(write_whole(folder.path(), b"x"), Err(StoreError::NotAFile { .. })));
    let missing = read_text(&folder.path().join("missing"), 100);
    assert!(matches!(missing, Err(StoreError::Read { source, .. }) if source.kind() == ErrorKind::NotFound));
}

#[test]
fn a_vanished_folder_is_named() {
    let folder = folder();
    let path = folder.path().join("gone").join("garden.ron");
    let error = write_whole(&path, b"x").unwrap_err();
    let gone = folder.path().join("gone");
    assert!(matches!(&error, StoreError::NoFolder { folder, .. } if *folder == gone), "{error}");
}

#[test]
fn a_read_only_file_stays_as_it_was() {
    let folder = folder();
    let path = folder.path().join("garden.ron");
    fs::write(&path, "old").unwrap();
    let mut mode = fs::metadata(&path).unwrap().permissions();
    mode.set_readonly(true);
    fs::set_permissions(&path, mode).unwrap();
    let error = write_whole(&path, b"new").unwrap_err();
    assert!(matches!(error, StoreError::ReadOnly { .. }), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    assert_eq!(names_in(folder.path()), [path]);
}

#[test]
fn what_the_system_says_becomes_what_the_grower_can_do() {
    let error = |kind: ErrorKind| explained(Path::new("d/g.ron"), Path::new("d"), kind.into()).to_string();
    assert_eq!(error(ErrorKind::PermissionDenied), "cannot write d/g.ron: d is read-only; save under another name");
    assert_eq!(error(ErrorKind::ReadOnlyFilesystem), error(ErrorKind::PermissionDenied));
    assert_eq!(
        error(ErrorKind::StorageFull),
        "cannot write d/g.ron: the disk is full; free some room or save elsewhere"
    );
    assert_eq!(error(ErrorKind::NotFound), "cannot write d/g.ron: the folder d is not there; save under another name");
}

#[test]
fn a_file_name_cannot_steer_the_terminal() {
    let error = read_text(Path::new("a\u{1b}[2J.ron"), 1).unwrap_err();
    assert!(error.to_string().starts_with("cannot read a␛[2J.ron: "), "{error}");
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{PermissionsExt, symlink};

    use super::*;

    fn mode(path: &Path) -> u32 {
        fs::metadata(path).unwrap().permissions().mode() & 0o777
    }

    #[test]
    fn the_mode_of_a_file_is_kept_and_a_new_file_is_as_any_other() {
        let folder = folder();
        let (path, usual) = (folder.path().join("garden.ron"), folder.path().join("usual"));
        fs::write(&usual, "").unwrap();
        write_whole(&path, b"new").unwrap();
        assert_eq!(mode(&path), mode(&usual));
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        write_whole(&path, b"newer").unwrap();
        assert_eq!(mode(&path), 0o640);
    }

    #[test]
    fn a_link_stays_a_link_and_its_file_is_written() {
        let folder = folder();
        let (file, link) = (folder.path().join("kept").join("garden.ron"), folder.path().join("link.ron"));
        fs::create_dir(folder.path().join("kept")).unwrap();
        symlink("kept/garden.ron", &link).unwrap();
        for text in ["through a link to nothing yet", "and again"] {
            write_whole(&link, text.as_bytes()).unwrap();
            assert!(link.is_symlink());
            assert_eq!(fs::read_to_string(&file).unwrap(), text);
        }
    }

    #[test]
    fn links_in_a_circle_are_an_error() {
        let folder = folder();
        let (one, other) = (folder.path().join("one"), folder.path().join("other"));
        symlink(&one, &other).unwrap();
        symlink(&other, &one).unwrap();
        assert!(matches!(write_whole(&one, b"x"), Err(StoreError::Write { .. })));
    }
}
