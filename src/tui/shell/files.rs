//! Files that the full screen writes.

use std::path::Path;

use anyhow::{Context, anyhow, bail};

use crate::climate::{Weather, WeatherRead};
use crate::export::{ListOptions, planting_list};
use crate::garden::{Garden, limits};
use crate::store;
use crate::tui::Session;

/// Writes a garden whole.
pub fn save(garden: &Garden, path: &Path) -> anyhow::Result<()> {
    store::write_whole(path, garden.to_ron().as_bytes())?;
    Ok(())
}

/// Begins a new garden; never over a file that is there.
pub fn begin(path: &Path) -> anyhow::Result<Garden> {
    if path.exists() {
        bail!("{} is there already; choose another name", path.display());
    }
    let name = path.file_stem().map_or_else(|| "garden".into(), |stem| stem.to_string_lossy());
    let garden = Garden::empty(&name);
    save(&garden, path)?;
    Ok(garden)
}

/// Reads weather records.
pub fn weather(path: &Path) -> anyhow::Result<WeatherRead> {
    let text = store::read_text(path, limits::FILE_BYTES).map_err(|error| anyhow!("{error}"))?;
    Weather::parse(&text).with_context(|| format!("the weather records {}", path.display()))
}

/// Writes the planting list for the year from today on.
pub fn write_list(session: &Session, is_ascii: bool, path: &Path) -> anyhow::Result<()> {
    let options = ListOptions { from: Some(session.today), is_ascii, ..ListOptions::default() };
    let list = planting_list(&session.plan, &options);
    store::write_whole(path, list.as_bytes()).context("the planting list is not written")
}
