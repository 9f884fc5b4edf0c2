//! The plantings of the bed looked at, each with the letter that stands for it in picture and list.

use crate::garden::{Planting, PlantingId, Severity};
use crate::season::{Covered, Says, Standing};
use crate::tui::scene::Scene;
use crate::tui::session::Session;
use crate::tui::view::{Shown, View};

use super::picture::Layer;

/// Whether a planting stands in the week looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Goes in later.
    NotYet,
    /// Stands on some day of the week.
    Stands,
    /// Was cleared before.
    Out,
    /// It has no dates that can be worked out.
    Undated,
}

/// One planting of the bed.
pub struct Row<'a> {
    /// Letter that stands for it.
    pub letter: char,
    /// Its place in the list.
    pub place: usize,
    /// The planting.
    pub planting: &'a Planting,
    /// Worked out, if it can be.
    pub standing: Option<&'a Standing>,
    /// Whether it stands in the week looked at.
    pub state: State,
    /// The gravest finding that is not accepted.
    pub worst: Option<Severity>,
}

/// The letter of the nth planting of a bed; after fifty-two they start again.
pub(in crate::tui) fn letter(place: usize) -> char {
    const LETTERS: &[u8; 52] = b"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    char::from(LETTERS[place % LETTERS.len()])
}

/// Numbers of the bed's plantings by the day they enter, those without dates last.
pub fn ids(session: &Session, bed_idx: usize) -> Vec<PlantingId> {
    let Some(bed) = session.plan().beds().get(bed_idx) else { return Vec::new() };
    let mut ids: Vec<PlantingId> = bed.standing.iter().map(|standing| standing.id).collect();
    let n_standing = ids.len();
    for finding in &bed.findings {
        let Some(id) = finding.planting else { continue };
        let is_not_worked_out = matches!(
            finding.says,
            Says::NoDates { .. } | Says::UnknownCrop { .. } | Says::NoStations { .. } | Says::OutOfSeason { .. }
        );
        if is_not_worked_out && !ids.contains(&id) {
            ids.push(id);
        }
    }
    ids[n_standing..].sort();
    ids
}

/// Every planting of the bed looked at.
pub fn of_bed<'a>(session: &'a Session, view: &View) -> Vec<Row<'a>> {
    let Some(bed) = session.plan().beds().get(view.bed_idx) else { return Vec::new() };
    let (monday, sunday) = (view.week.monday(), view.week.sunday());
    let standing_of = |id: PlantingId| bed.standing.iter().find(|standing| standing.id == id);
    ids(session, view.bed_idx)
        .into_iter()
        .enumerate()
        .filter_map(|(place, id)| {
            let planting = session.plan().garden().planting(id)?;
            let standing = bed.standing.get(place).filter(|standing| standing.id == id).or_else(|| standing_of(id));
            let state = match standing.map(|standing| standing.stages) {
                None => State::Undated,
                Some(stages) if stages.enters > sunday => State::NotYet,
                Some(stages) if stages.clear <= monday => State::Out,
                Some(_) => State::Stands,
            };
            let open = bed.findings.iter().filter(|finding| finding.planting == Some(id) && finding.accepted.is_none());
            let worst = open.map(|finding| finding.severity).max();
            Some(Row { letter: letter(place), place, planting, standing, state, worst })
        })
        .collect()
}

/// What the picture shows: hosts before what stands between their stations, and the draft as it would be.
pub fn to_draw(rows: &[Row<'_>], scene: Scene<'_>) -> Vec<Layer> {
    let Scene { session, view, draft: moved, .. } = scene;
    let bed = session.plan().garden().beds.get(view.bed_idx);
    let moved = moved.filter(|(draft, _)| bed.is_some_and(|bed| bed.id == draft.bed));
    let moved_id = moved.map(|(draft, _)| draft.id);
    let mut chosen: Vec<&Row<'_>> = rows
        .iter()
        .filter(|row| row.state == State::Stands && Some(row.planting.id) != moved_id)
        .filter(|row| view.shown == Shown::All || Some(row.planting.id) == view.planting || moved_id.is_some())
        .collect();
    chosen.sort_by_key(|row| row.planting.host().is_some());
    let mut layers: Vec<Layer> = chosen
        .into_iter()
        .map(|row| {
            let now = row.standing.map_or_else(Covered::default, |standing| covered_now(session, view, standing));
            Layer {
                letter: row.letter,
                place: row.place,
                stations: session.plan().stations(row.planting.id),
                radius_mm: now.radius_mm,
                mature_radius_mm: now.mature_radius_mm,
                strip: (row.planting.from_mm, row.planting.to_mm, row.planting.side),
                is_selected: moved_id.is_none() && Some(row.planting.id) == view.planting,
            }
        })
        .collect();
    if let Some((draft, preview)) = moved {
        let place = rows.iter().find(|row| row.planting.id == draft.id).map_or(rows.len(), |row| row.place);
        let now = preview.standing.as_ref().map_or_else(Covered::default, |st| covered_now(session, view, st));
        layers.push(Layer {
            letter: letter(place),
            place,
            stations: preview.stations.clone(),
            radius_mm: now.radius_mm,
            mature_radius_mm: now.mature_radius_mm,
            strip: (draft.from_mm, draft.to_mm, draft.side),
            is_selected: true,
        });
    }
    layers
}

/// Cover on the Monday of the week looked at, or on the day it goes in if that is later in the week.
pub(in crate::tui) fn covered_now(session: &Session, view: &View, standing: &Standing) -> Covered {
    session.plan().covered(standing, view.week.monday().max(standing.stages.enters).min(view.week.sunday()))
}
