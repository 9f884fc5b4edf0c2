use super::*;

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
