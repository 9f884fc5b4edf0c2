//! Files that the full screen writes.

use std::path::Path;

use anyhow::{Context, bail};

use super::opening::{held_by, now, shown, tell};
use crate::export::{ListOptions, planting_list};
use crate::garden::{Garden, limits};
use crate::store::{self, Access, Kept, RealDisk, Save, SaveError};
use crate::tui::Session;
use crate::tui::layers::notices::Line;

/// Begins a new garden; never over a file that is there.
pub fn begin(path: &Path) -> anyhow::Result<()> {
    let name = path.file_stem().map_or_else(|| "garden".into(), |stem| stem.to_string_lossy());
    store::write_whole_new(path, Garden::empty(&name).to_ron().as_bytes())?;
    Ok(())
}

/// Writes a garden to a file that is not the one it came from, and has that file from then on. What stood there goes into its
/// earlier versions. The lines are to be told.
pub fn claim(path: &Path, text: &str) -> anyhow::Result<(Kept, Vec<Line>)> {
    if !path.exists() {
        store::write_whole_new(path, text.as_bytes())?;
    }
    let opened = Kept::open(path, limits::FILE_BYTES, now(), Box::new(RealDisk))?;
    let mut kept = opened.kept;
    match kept.access() {
        Access::ReadOnly(holder) => bail!("it is open elsewhere: {}; give another name", held_by(holder).who),
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
    if opened.text != text {
        kept.save(text, now(), Save::Replace).map_err(|error| match error {
            SaveError::Store(error) => error.into(),
            SaveError::Gone | SaveError::Changed { .. } => anyhow::anyhow!("it changes under our hands; try again"),
        })?;
    }
    Ok((kept, lines))
}

/// Writes the planting list for the year from today on.
pub fn write_list(session: &Session, is_ascii: bool, path: &Path) -> anyhow::Result<()> {
    let options = ListOptions { from: Some(session.today), is_ascii, ..ListOptions::default() };
    let list = planting_list(&session.plan, &options);
    store::write_whole(path, list.as_bytes()).context("the planting list is not written")
}
