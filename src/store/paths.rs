//! Paths to a kept folder and into one, and how a path is told.
//!
//! A kept folder is known by its name, so no caller can forget it.

use std::ffi::{OsStr, OsString};
use std::path::{Component, Path, PathBuf};

use crate::units::text::shown;

/// A kept folder holds files and folders of files.
const N_NAMES_BELOW: usize = 2;

/// The name of the folder kept for a file of this name.
pub(super) fn kept_name(file_name: &OsStr) -> OsString {
    let mut kept = OsString::from(".");
    kept.push(file_name);
    kept.push(".kept");
    kept
}

fn is_kept_name(name: &OsStr) -> bool {
    let name = name.as_encoded_bytes();
    name.len() > ".".len() + ".kept".len() && name.starts_with(b".") && name.ends_with(b".kept")
}

/// A path to a kept folder, or into one.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Within<'p> {
    /// The folder that holds the kept one; reached as any is.
    pub(super) top: &'p Path,
    /// The kept folder's name, and the names below it.
    pub(super) names: Vec<&'p OsStr>,
}

/// Divides a path at a kept folder's name; `None` if it leads into none.
pub(super) fn of(path: &Path) -> Option<Within<'_>> {
    let mut names = Vec::new();
    for component in path.components().rev().take(N_NAMES_BELOW + 1) {
        let Component::Normal(name) = component else { return None };
        names.insert(0, name);
        if is_kept_name(name) {
            let top = path.ancestors().nth(names.len())?;
            return Some(Within { top: if top.as_os_str().is_empty() { Path::new(".") } else { top }, names });
        }
    }
    None
}

/// A path as it is told: from the kept folder's name on.
pub(super) fn from_kept_folder_on(path: &Path) -> PathBuf {
    of(path).map_or_else(|| path.to_owned(), |within| within.names.iter().collect())
}

/// File names come from outside as much as contents do.
pub(super) fn shown_path(path: &Path) -> String {
    shown(&path.to_string_lossy()).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_divided_at_the_kept_folder_nearest_its_end() {
        let told = |path: &str| of(Path::new(path)).map(|it| (it.top.to_owned(), from_kept_folder_on(Path::new(path))));
        let both = |top: &str, names: &str| Some((PathBuf::from(top), PathBuf::from(names)));
        assert_eq!(told("/srv/.g.ron.kept"), both("/srv", ".g.ron.kept"));
        assert_eq!(told(".g.ron.kept/lock"), both(".", ".g.ron.kept/lock"));
        assert_eq!(told("../a/.g.kept/versions/x.ron"), both("../a", ".g.kept/versions/x.ron"));
        assert_eq!(told("/.a.kept/.b.kept/lock"), both("/.a.kept", ".b.kept/lock"));
        for path in ["g.ron", "/srv/.kept/lock", "/srv/g.kept/lock", ".g.kept/a/b/c", ".g.kept/../g.ron", "..kept"] {
            assert_eq!(told(path), None, "{path}");
        }
        assert_eq!(kept_name(OsStr::new("g.ron")), ".g.ron.kept");
    }
}
