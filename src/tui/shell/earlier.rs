//! Earlier versions of the garden's file and what was put aside beside it: listing them with their differences, and going back
//! to one.

use std::path::Path;

use anyhow::Context as _;

use super::clock::now;
use crate::garden::{Differences, Garden, replay};
use crate::store::{Holds as AsideHolds, Kept, Save};
use crate::tui::Session;
use crate::tui::layers::notices::differences;
use crate::tui::layers::versions::{Holds, Source, Version};
use crate::words::counted;

/// How many of the things put aside are shown, newest first; the command line lists all (starting value).
const N_ASIDE_SHOWN: usize = 20;

/// The garden held by something put aside.
#[derive(Debug, Clone, PartialEq)]
pub struct FromAside {
    /// The garden.
    pub garden: Garden,
    /// How many edits from a journal are in it; `None` if it was put aside as a whole garden.
    pub n_edits: Option<usize>,
    /// How many more did not apply.
    pub n_not_made: usize,
}

/// The garden held by something put aside: its own text, or its edits replayed on the contents they belong to, as far as they
/// apply.
///
/// # Errors
/// It holds no garden.
pub fn garden_aside(holds: AsideHolds) -> anyhow::Result<FromAside> {
    match holds {
        AsideHolds::Text(text) => {
            Ok(FromAside { garden: Garden::from_ron(&text, "it")?, n_edits: None, n_not_made: 0 })
        }
        AsideHolds::Edits { base, records } => {
            let mut garden = Garden::from_ron(&base, "it")?;
            let n_edits = replay(&mut garden, &records).map_or_else(|(place, _)| place, |made| made.len());
            Ok(FromAside { garden, n_edits: Some(n_edits), n_not_made: records.len() - n_edits })
        }
    }
}

impl FromAside {
    /// Its edits in words, to follow what it is: `: 3 edits, 1 does not fit`; empty for a garden put aside whole.
    pub fn edits(&self) -> String {
        let Some(n_edits) = self.n_edits else { return String::new() };
        let not_made = match self.n_not_made {
            0 => String::new(),
            1 => ", 1 does not fit".to_owned(),
            n => format!(", {n} do not fit"),
        };
        format!(": {}{not_made}", counted(n_edits as u64, "edit", "edits"))
    }
}

/// Every version with what has changed since, newest first; then what was put aside, with what it would change.
pub(super) fn list(kept: &mut Kept, session: &Session) -> anyhow::Result<Vec<Version>> {
    let current = session.plan().garden();
    let mut listed = Vec::new();
    for version in kept.versions()? {
        let text = kept.read_version(version.number).map_err(|error| error.reason());
        let garden = text.and_then(|text| Garden::from_ron(&text, "it").map_err(|error| error.to_string()));
        let holds = garden.map(|garden| holds(&garden, &Differences::from_to(&garden, current), session));
        listed.push(Version {
            source: Source::Saved(version.number),
            when: version.stamp.to_string(),
            is_yet_to_come: version.stamp.is_after(now()),
            n_bytes: version.n_bytes,
            holds,
        });
    }
    for aside in kept.aside().unwrap_or_default().into_iter().take(N_ASIDE_SHOWN) {
        let read = kept.read_aside(&aside).map_err(|error| error.reason());
        let found = read.and_then(|read| garden_aside(read).map_err(|error| format!("{error:#}")));
        let edits = found.as_ref().map_or_else(|_| String::new(), FromAside::edits);
        listed.push(Version {
            source: Source::Aside { what: format!("{aside}{edits}"), path: aside.path.clone() },
            when: aside.stamp.to_string(),
            is_yet_to_come: aside.stamp.is_after(now()),
            n_bytes: aside.n_bytes,
            holds: found.map(|found| holds(&found.garden, &Differences::from_to(current, &found.garden), session)),
        });
    }
    Ok(listed)
}

fn holds(garden: &Garden, found: &Differences, session: &Session) -> Holds {
    Holds {
        n_beds: garden.beds.len(),
        n_plantings: garden.plantings.len(),
        differs: differences(session.plan(), found, None),
        is_now: garden == session.plan().garden(),
    }
}

/// Writes a version back to the file; returns its garden and when it was saved. The garden on the screen is saved first, so
/// that it becomes a version too.
pub(super) fn restore(kept: &mut Kept, number: usize, session: &mut Session) -> anyhow::Result<(Garden, String)> {
    let version = kept.versions()?.into_iter().find(|version| version.number == number);
    let when = version.map(|version| version.stamp.to_string()).context("there is no such version any more")?;
    let text = kept.read_version(number)?;
    let garden = Garden::from_ron(&text, "the version")?;
    write_instead(kept, &text, session)?;
    Ok((garden, when))
}

/// Writes something put aside to the file; returns its garden and what it is. The garden on the screen is saved first, as above.
pub(super) fn bring_back(kept: &mut Kept, path: &Path, session: &mut Session) -> anyhow::Result<(Garden, String)> {
    let aside = kept.aside()?.into_iter().find(|aside| aside.path == path).context("it is not there any more")?;
    let found = garden_aside(kept.read_aside(&aside)?)?;
    write_instead(kept, &found.garden.to_ron(), session)?;
    let what = format!("brought back: {aside}, put aside {}{}", aside.stamp, found.edits());
    Ok((found.garden, what))
}

fn write_instead(kept: &mut Kept, text: &str, session: &mut Session) -> anyhow::Result<()> {
    let before = session.plan().garden().to_ron();
    kept.save_with_trail(&before, &session.steps_to_keep(), now(), Save::Asked)
        .context("what is on the screen cannot be saved first")?;
    session.saved_revision = session.sitting.revision();
    // Undo does not go back past it.
    kept.save(text, now(), Save::Asked)?;
    Ok(())
}
