//! Where the name of the garden last opened is kept.
//!
//! The file `last-garden` in the user's state folder holds the path and nothing else;
//! [`HOME_VARIABLE`] names another folder for it.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result};

use crate::units::text::shown_path;

/// Environment variable that names the folder to keep things in, instead of the user's state folder.
pub const HOME_VARIABLE: &str = "BEDFELLOW_HOME";

const LAST_GARDEN: &str = "last-garden";

/// A path is never longer than this; more is not ours.
const LONGEST_PATH_BYTES: u64 = 64 * 1024;

fn folder() -> Option<PathBuf> {
    if let Some(folder) = std::env::var_os(HOME_VARIABLE).filter(|folder| !folder.is_empty()) {
        return Some(PathBuf::from(folder));
    }
    let folders = directories::ProjectDirs::from("", "", "bedfellow")?;
    Some(folders.state_dir().unwrap_or_else(|| folders.data_local_dir()).to_path_buf())
}

/// The garden last opened, if one is remembered.
pub fn last_garden() -> Option<PathBuf> {
    let file = folder()?.join(LAST_GARDEN);
    if std::fs::metadata(&file).ok()?.len() > LONGEST_PATH_BYTES {
        return None;
    }
    let mut bytes = std::fs::read(file).ok()?;
    if bytes.last() == Some(&b'\n') {
        bytes.pop();
    }
    (!bytes.is_empty()).then(|| path_of_bytes(bytes))
}

/// Remembers the garden that is being opened.
///
/// # Errors
/// The folder cannot be made or written; nothing but the memory is lost by it.
pub fn remember(garden: &Path) -> Result<()> {
    let folder = folder().context("there is no home folder to remember the garden in")?;
    let whole = std::path::absolute(garden)
        .with_context(|| format!("the full path of {} cannot be told", shown_path(garden)))?;
    std::fs::create_dir_all(&folder).with_context(|| format!("cannot make the folder {}", shown_path(&folder)))?;
    let mut bytes = bytes_of_path(&whole);
    bytes.push(b'\n');
    crate::store::write_whole(&folder.join(LAST_GARDEN), &bytes)?;
    Ok(())
}

#[cfg(unix)]
fn path_of_bytes(bytes: Vec<u8>) -> PathBuf {
    use std::os::unix::ffi::OsStringExt as _;
    OsString::from_vec(bytes).into()
}

#[cfg(unix)]
fn bytes_of_path(path: &Path) -> Vec<u8> {
    use std::os::unix::ffi::OsStrExt as _;
    path.as_os_str().as_bytes().to_vec()
}

#[cfg(not(unix))]
fn path_of_bytes(bytes: Vec<u8>) -> PathBuf {
    OsString::from(String::from_utf8_lossy(&bytes).into_owned()).into()
}

#[cfg(not(unix))]
fn bytes_of_path(path: &Path) -> Vec<u8> {
    path.to_string_lossy().into_owned().into_bytes()
}
