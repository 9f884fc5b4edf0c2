//! Files that the full screen writes.

use std::path::Path;

use anyhow::{Context, bail};

use super::clock::now;
use super::opening::{held_by, shown, tell};
use crate::climate::{Weather, WeatherRead};
use crate::export::{ListOptions, planting_list};
use crate::garden::{Garden, limits};
use crate::store::{self, Access, Kept, NotKept, RealDisk, Save, SaveError, StoreError};
use crate::tui::Session;
use crate::tui::layers::notices::Line;
use crate::units::text::{short_name, short_path};

/// Whether a file is there that saving under this name would replace.
///
/// # Errors
/// A folder has this name.
pub fn is_to_replace(path: &Path) -> anyhow::Result<bool> {
    if path.is_dir() {
        bail!("{} is a folder; give the name of a file", short_path(path));
    }
    Ok(path.exists())
}

/// Begins a new garden; never overwrites a file.
pub fn begin(path: &Path) -> anyhow::Result<()> {
    let name = path.file_stem().map_or_else(|| "garden".into(), |stem| stem.to_string_lossy());
    store::write_whole_new(path, Garden::empty(&name).to_ron().as_bytes())?;
    Ok(())
}

/// Saves a garden to a file other than the one it came from, and holds that file from then on. What it held before becomes an
/// earlier version. The steps that led to the text are kept beside it. Returns lines to tell the grower.
pub fn claim(path: &Path, text: &str, trail: &[String]) -> anyhow::Result<(Kept, Vec<Line>)> {
    if !path.exists() {
        store::write_whole_new(path, text.as_bytes())?;
    }
    let opened = Kept::open(path, limits::FILE_BYTES, now(), Box::new(RealDisk))?;
    let mut kept = opened.kept;
    match kept.access() {
        Access::ReadOnly(holder) => bail!("it is open elsewhere: {}; give another name", held_by(holder).who),
        Access::Barred(why) => bail!("{why}; give another name"),
        Access::NewerJournal { .. } => bail!("a newer bedfellow has edits waiting for it; give another name"),
        Access::Ours | Access::Unguarded(_) => {}
    }
    let mut lines = Vec::new();
    tell(&opened.notices, &mut lines);
    if !opened.records.is_empty()
        && let Some(aside) = kept.discard(now())?
    {
        let words = format!("Edits that waited for the garden that stood there are put aside in {}", shown(&aside));
        lines.push(Line::trouble(&words));
    }
    if opened.text == text {
        // If this fails, leaving tries again.
        let _ = kept.keep_trail(trail);
    } else {
        // The question said that the other names keep the old file.
        kept.let_part();
        let saved = kept.save_with_trail(text, trail, now(), Save::Replace).map_err(|error| match error {
            SaveError::Store(error) => error.into(),
            SaveError::Gone | SaveError::Changed { .. } | SaveError::Linked { .. } | SaveError::Unreadable { .. } => {
                anyhow::anyhow!("something else keeps changing it; try again")
            }
        })?;
        if saved.not_kept.is_any() {
            lines.push(Line::trouble(&format!("{}: {}.", shown(path), saved.not_kept)));
        }
    }
    Ok((kept, lines))
}

/// Reads weather records.
pub fn weather(path: &Path) -> anyhow::Result<WeatherRead> {
    let text = store::read_text(path, limits::WEATHER_BYTES)?;
    Weather::parse(&text).with_context(|| format!("the weather records {}", short_name(path)))
}

/// Writes the planting list for the year from today. `None` if a file is there that may not be overwritten: it is left as it is.
/// Otherwise returns which of that file's owner and group could not be kept.
pub fn write_list(
    session: &Session,
    is_ascii: bool,
    path: &Path,
    may_overwrite: bool,
) -> anyhow::Result<Option<NotKept>> {
    if is_to_replace(path).context("the planting list is not written")? && !may_overwrite {
        return Ok(None);
    }
    if may_overwrite && store::n_names(path) > 1 {
        bail!("the planting list is not written: that is one of several names of the same file, which would part");
    }
    let options = ListOptions { from: Some(session.today), is_ascii, ..ListOptions::default() };
    let list = planting_list(session.plan(), &options);
    let written = if may_overwrite {
        store::write_whole(path, list.as_bytes())
    } else {
        store::write_whole_new(path, list.as_bytes()).map(|()| NotKept::default())
    };
    match written {
        Ok(not_kept) => Ok(Some(not_kept)),
        Err(StoreError::AlreadyThere { .. }) => Ok(None),
        Err(error) => Err(error).context("the planting list is not written"),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::crops::CropBook;
    use crate::season::Plan;
    use crate::tui::shell::said::reason;

    #[test]
    fn a_folder_is_refused_before_anything_is_asked() {
        let shed = tempfile::tempdir().unwrap();
        let folder = shed.path().join("plots");
        std::fs::create_dir(&folder).unwrap();
        let words = format!("{} is a folder; give the name of a file", short_path(&folder));
        assert_eq!(reason(&is_to_replace(&folder).unwrap_err()), words);
        let book = Arc::new(CropBook::embedded().unwrap());
        let today = chrono::NaiveDate::from_ymd_opt(2027, 4, 15).unwrap();
        let session = Session::new(Plan::new(Garden::empty("Plot"), &book), None, today);
        for may_overwrite in [false, true] {
            let refused = write_list(&session, true, &folder, may_overwrite).unwrap_err();
            assert_eq!(reason(&refused), format!("the planting list is not written: {words}"));
        }
        let list = shed.path().join("list.txt");
        assert!(!is_to_replace(&list).unwrap());
        assert!(write_list(&session, true, &list, false).unwrap().is_some() && is_to_replace(&list).unwrap());
        assert!(write_list(&session, true, &list, false).unwrap().is_none(), "a file is asked about");
    }
}
