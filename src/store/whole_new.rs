//! Writing a file whole where none may be yet.

use std::io::{ErrorKind, Write as _};
use std::path::Path;

use super::{StoreError, explained, flush_folder, set_usual_mode};

/// Writes a file whole, as [`write_whole`](super::write_whole) does, but only where nothing is: the system itself refuses if
/// there is a file, a folder or a link by the time the new one is put in its place, so nothing can slip in between.
///
/// # Errors
/// [`StoreError::AlreadyThere`]; else see [`StoreError`]. What is there is then as it was.
pub fn write_whole_new(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let wrong = |source: std::io::Error| match source.kind() {
        ErrorKind::AlreadyExists => StoreError::AlreadyThere { path: path.to_owned() },
        _ => explained(path, folder, source),
    };
    // Asked first only to spare the writing; what counts is asked by the system below.
    if path.symlink_metadata().is_ok() {
        return Err(StoreError::AlreadyThere { path: path.to_owned() });
    }
    let mut builder = tempfile::Builder::new();
    builder.prefix(".unfinished-");
    set_usual_mode(&mut builder);
    let mut beside = builder.tempfile_in(folder).map_err(wrong)?;
    beside.write_all(bytes).map_err(wrong)?;
    beside.as_file().sync_all().map_err(wrong)?;
    beside.persist_noclobber(path).map_err(|error| wrong(error.error))?;
    flush_folder(folder).map_err(|source| StoreError::Write { path: path.to_owned(), source })
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    #[test]
    fn a_new_file_is_written_whole_and_one_that_is_there_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("list.csv");
        write_whole_new(&path, b"first").unwrap();
        assert!(matches!(write_whole_new(&path, b"second"), Err(StoreError::AlreadyThere { .. })));
        assert_eq!(fs::read(&path).unwrap(), b"first");
        assert!(matches!(write_whole_new(folder.path(), b"x"), Err(StoreError::AlreadyThere { .. })));
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
        let gone = write_whole_new(&folder.path().join("gone").join("list.csv"), b"x");
        assert!(matches!(gone, Err(StoreError::NoFolder { .. })), "{gone:?}");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_to_nothing_is_something() {
        let folder = tempfile::tempdir().unwrap();
        let link = folder.path().join("link");
        std::os::unix::fs::symlink("nowhere", &link).unwrap();
        assert!(matches!(write_whole_new(&link, b"x"), Err(StoreError::AlreadyThere { .. })));
        assert!(link.is_symlink() && !folder.path().join("nowhere").exists());
    }

    #[test]
    fn of_many_who_write_at_once_one_does() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("list.csv");
        let n_written: usize = std::thread::scope(|scope| {
            let writers: Vec<_> = (0..8_u8)
                .map(|n| {
                    let path = &path;
                    scope.spawn(move || usize::from(write_whole_new(path, &[n; 64]).is_ok()))
                })
                .collect();
            writers.into_iter().map(|writer| writer.join().unwrap()).sum()
        });
        assert_eq!(n_written, 1);
        let bytes = fs::read(&path).unwrap();
        assert!(bytes.len() == 64 && bytes.iter().all(|byte| *byte == bytes[0]));
    }
}
