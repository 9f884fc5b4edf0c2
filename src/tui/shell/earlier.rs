//! Earlier versions of the garden's file: listed with what has changed since, and gone back to.

use anyhow::Context as _;

use super::clock::now;
use crate::garden::{Differences, Garden};
use crate::store::{Kept, Save};
use crate::tui::Session;
use crate::tui::layers::notices::differences;
use crate::tui::layers::versions::{Holds, Version};

/// Every version with what has changed since, newest first.
pub(super) fn list(kept: &mut Kept, session: &Session) -> anyhow::Result<Vec<Version>> {
    let versions = kept.versions()?;
    let mut listed = Vec::with_capacity(versions.len());
    for version in versions {
        let text = kept.read_version(version.number).map_err(|error| error.reason());
        let holds = text.and_then(|text| Garden::from_ron(&text, "it").map_err(|error| error.to_string()));
        let holds = holds.map(|garden| {
            let now = session.plan.garden();
            let found = Differences::from_to(&garden, now);
            Holds {
                n_beds: garden.beds.len(),
                n_plantings: garden.plantings.len(),
                differs: differences(&session.plan, &found, None),
                is_now: garden == *now,
            }
        });
        listed.push(Version {
            number: version.number,
            when: version.stamp.to_string(),
            is_yet_to_come: version.stamp.is_after(now()),
            n_bytes: version.n_bytes,
            holds,
        });
    }
    Ok(listed)
}

/// Writes a version back into the file; returns its garden and when it was saved. The garden on the screen is saved first, so that
/// it is a version too.
pub(super) fn restore(kept: &mut Kept, number: usize, session: &mut Session) -> anyhow::Result<(Garden, String)> {
    let version = kept.versions()?.into_iter().find(|version| version.number == number);
    let when = version.map(|version| version.stamp.to_string()).context("there is no such version any more")?;
    let text = kept.read_version(number)?;
    let garden = Garden::from_ron(&text, "the version")?;
    let before = session.plan.garden().to_ron();
    kept.save(&before, now(), Save::Asked).context("what is on the screen cannot be saved first")?;
    session.saved_revision = session.plan.revision();
    kept.save(&text, now(), Save::Asked)?;
    Ok((garden, when))
}
