//! How an edit is made, and how its exact inverse comes about.
//!
//! An edit is made in two steps. First the change itself, which refuses what is not there and what is there
//! already, and keeps every bed's name pointing at a bed. Then everything touched is checked by the rules of
//! the garden file; if a rule is broken the inverse puts the garden back. Several edits are checked
//! at their end only, so that a host and the crop between its stations can move to another bed together.

use std::collections::BTreeSet;

use super::{Bed, Edit, EditError, Entry, Garden, List, Names, Planting, PlantingId, Problem, bed_load, check, real};

impl Edit {
    /// Makes the change; returns its exact inverse. On an error nothing is changed.
    ///
    /// Costs a search of the planting's number for plantings, and a walk over all plantings where beds
    /// change or a planting goes or moves.
    ///
    /// # Errors
    /// The edit names what is not there, or would leave the garden invalid.
    pub fn apply_to(self, garden: &mut Garden) -> Result<Self, EditError> {
        self.apply(garden, true)
    }

    /// The same without asking what its bed carries, for many edits in a row: [`Garden::overloaded_bed`] is to be asked after
    /// them.
    ///
    /// # Errors
    /// As [`Edit::apply_to`].
    pub(crate) fn replay_on(self, garden: &mut Garden) -> Result<Self, EditError> {
        self.apply(garden, false)
    }

    fn apply(self, garden: &mut Garden, asks_beds: bool) -> Result<Self, EditError> {
        if let Some(problem) = self.problem_by_itself(garden) {
            return Err(invalid(&problem));
        }
        let mut touched = Touched::default();
        let inverse = self.make(garden, &mut touched)?;
        let problem = touched.first_problem(garden);
        match problem.or_else(|| if asks_beds { touched.overloaded_bed(garden) } else { None }) {
            None => Ok(inverse),
            Some(problem) => {
                // The inverse undoes what was just done, so it applies.
                inverse.restore(garden)?;
                Err(invalid(&problem))
            }
        }
    }

    /// Makes an edit that was made before, or takes one back: checks that it applies, not what it leaves, since
    /// the garden has been there already.
    pub(super) fn restore(self, garden: &mut Garden) -> Result<Self, EditError> {
        self.make(garden, &mut Touched::default())
    }

    fn make(self, garden: &mut Garden, touched: &mut Touched) -> Result<Self, EditError> {
        match self {
            Self::AddPlanting(planting) => {
                let place = garden.plantings.binary_search_by_key(&planting.id, |there| there.id);
                let Err(at) = place else { return Err(EditError::PlantingThere(planting.id)) };
                bed_there(garden, &planting.bed)?;
                let id = planting.id;
                touched.plantings.push(id);
                garden.plantings.insert(at, *planting);
                Ok(Self::RemovePlanting(id))
            }
            Self::RemovePlanting(id) => {
                let at = garden.planting_idx(id).ok_or(EditError::NoPlanting(id))?;
                touched.hosts.push(id);
                Ok(Self::AddPlanting(Box::new(garden.plantings.remove(at))))
            }
            Self::ChangePlanting(mut planting) => {
                bed_there(garden, &planting.bed)?;
                let id = planting.id;
                let there = garden
                    .planting_idx(id)
                    .and_then(|idx| garden.plantings.get_mut(idx))
                    .ok_or(EditError::NoPlanting(id))?;
                touched.plantings.push(id);
                if there.bed != planting.bed {
                    touched.hosts.push(id);
                }
                std::mem::swap(there, &mut *planting);
                Ok(Self::ChangePlanting(planting))
            }
            Self::AddBed { at, bed } => {
                if garden.bed(&bed.id).is_some() {
                    return Err(EditError::BedThere(bed.id));
                }
                if at > garden.beds.len() {
                    return Err(EditError::NoPlace { at });
                }
                let id = bed.id.clone();
                garden.beds.insert(at, bed);
                touched.beds.push(id.clone());
                Ok(Self::RemoveBed(id))
            }
            Self::RemoveBed(id) => {
                let at = bed_there(garden, &id)?;
                if let Some(by) = named_by(garden, &id) {
                    return Err(EditError::BedInUse { bed: id, by });
                }
                Ok(Self::AddBed { at, bed: garden.beds.remove(at) })
            }
            Self::ChangeBed { id, bed } => change_bed(garden, &id, bed, touched),
            Self::Put(entry) => {
                let key = entry.key();
                touched.entry(&entry, garden)?;
                entry.put_into(garden)?;
                Ok(Self::Take(key))
            }
            Self::Take(key) => {
                let entry = key.take_from(garden)?;
                touched.told(&entry);
                Ok(Self::Put(Box::new(entry)))
            }
            Self::Change(entry) => {
                touched.entry(&entry, garden)?;
                let before = entry.exchange_in(garden)?;
                touched.told(&before);
                Ok(Self::Change(Box::new(before)))
            }
            Self::SetSite(site) => Ok(Self::SetSite(std::mem::replace(&mut garden.site, site))),
            Self::Rename(name) => Ok(Self::Rename(std::mem::replace(&mut garden.name, name))),
            Self::Several { title, edits } => {
                let mut inverses = Vec::with_capacity(edits.len());
                for edit in edits {
                    match edit.make(garden, touched) {
                        Ok(inverse) => inverses.push(inverse),
                        Err(error) => {
                            for inverse in inverses.into_iter().rev() {
                                // Takes back what this loop just did, newest first, so each applies.
                                inverse.restore(garden)?;
                            }
                            return Err(error);
                        }
                    }
                }
                inverses.reverse();
                Ok(Self::Several { title, edits: inverses })
            }
        }
    }

    /// What is wrong with the edit whatever the garden holds.
    fn problem_by_itself(&self, garden: &Garden) -> Option<Problem> {
        let mut problems = Vec::new();
        match self {
            Self::Put(entry) | Self::Change(entry) => entry.check(garden, &mut problems),
            Self::SetSite(site) => check::site(site, &mut problems),
            Self::Rename(name) => check::garden_name(name, &mut problems),
            Self::Several { edits, .. } => return edits.iter().find_map(|edit| edit.problem_by_itself(garden)),
            _ => {}
        }
        problems.into_iter().next()
    }
}

/// What must be checked once a change is made.
#[derive(Default)]
struct Touched {
    /// Put in or changed.
    plantings: Vec<PlantingId>,
    /// Taken out or moved: does something stand between their stations?
    hosts: Vec<PlantingId>,
    /// Put in or changed: do its plantings still lie in it?
    beds: Vec<String>,
    /// Put into a list, and of which bed: does that still carry it?
    entries: Vec<(List, String)>,
    /// What happened to them was changed: are the days still in order, and does their bed still carry them?
    told: Vec<PlantingId>,
}

impl Touched {
    /// A row that is put in or changed, whose bed must be there.
    fn entry(&mut self, entry: &Entry, garden: &Garden) -> Result<(), EditError> {
        if let Some(bed) = entry.bed() {
            bed_there(garden, bed)?;
            self.entries.push((entry.list(), bed.to_owned()));
        }
        self.told(entry);
        Ok(())
    }

    /// A row that is there now, or was.
    fn told(&mut self, entry: &Entry) {
        if let Entry::Happened(row) = entry {
            self.told.push(row.planting);
        }
    }

    fn first_problem(&self, garden: &Garden) -> Option<Problem> {
        let mut problems = Vec::new();
        let check = |planting: &Planting, problems: &mut Vec<Problem>| {
            check::planting(planting, garden.bed(&planting.bed), problems);
            check::host(planting, garden, problems);
        };
        for planting in self.plantings.iter().filter_map(|id| garden.planting(*id)) {
            check(planting, &mut problems);
        }
        for id in &self.beds {
            let Some((at, bed)) = garden.beds.iter().enumerate().find(|(_, bed)| bed.id == *id) else { continue };
            check::bed(at, bed, &mut problems);
            for planting in garden.plantings.iter().filter(|planting| planting.bed == *id) {
                check::planting(planting, Some(bed), &mut problems);
            }
        }
        for host in &self.hosts {
            for guest in garden.plantings.iter().filter(|guest| guest.host() == Some(*host)) {
                check::host(guest, garden, &mut problems);
            }
        }
        for id in self.told.iter().collect::<BTreeSet<_>>() {
            real::check_planting(garden, *id, &mut problems);
        }
        if problems.is_empty() {
            check::counts(garden, &mut problems);
        }
        problems.into_iter().next()
    }

    fn overloaded_bed(&self, garden: &Garden) -> Option<Problem> {
        let mut problems = Vec::new();
        let beds: BTreeSet<&str> =
            self.plantings.iter().chain(&self.told).filter_map(|id| Some(garden.planting(*id)?.bed.as_str())).collect();
        for bed in beds {
            bed_load::of_bed(garden, bed, &mut problems);
        }
        for (list, bed) in &self.entries {
            bed_load::of_list(garden, *list, bed, &mut problems);
        }
        problems.into_iter().next()
    }
}

impl Garden {
    /// What is wrong with the first bed that carries more than a bed may, as the error of an edit.
    pub fn overloaded_bed(&self) -> Option<EditError> {
        let mut problems = Vec::new();
        bed_load::of_garden(self, &mut problems);
        problems.first().map(invalid)
    }
}

/// What is wrong goes before where: a line of the screen may have no room for both.
fn invalid(Problem { place, message, hint, .. }: &Problem) -> EditError {
    EditError::Invalid(format!("{message}; {hint} ({place})"))
}

/// The place of a bed in the walk.
fn bed_there(garden: &Garden, id: &str) -> Result<usize, EditError> {
    garden.beds.iter().position(|bed| bed.id == id).ok_or_else(|| EditError::NoBed(id.to_owned()))
}

/// Puts a bed in the place of one and carries another id to all that names it.
fn change_bed(garden: &mut Garden, id: &str, mut bed: Bed, touched: &mut Touched) -> Result<Edit, EditError> {
    let at = bed_there(garden, id)?;
    let new_id = bed.id.clone();
    if new_id != id {
        if garden.bed(&new_id).is_some() {
            return Err(EditError::BedThere(new_id));
        }
        for name in garden.plantings.iter_mut().map(|planting| &mut planting.bed).filter(|name| **name == id) {
            name.clone_from(&new_id);
        }
        for list in List::ALL {
            list.rename_bed(garden, id, &new_id);
        }
    }
    if let Some(there) = garden.beds.get_mut(at) {
        std::mem::swap(there, &mut bed);
    }
    touched.beds.push(new_id.clone());
    Ok(Edit::ChangeBed { id: new_id, bed })
}

/// What still names a bed, in words; `None` if nothing does.
fn named_by(garden: &Garden, id: &str) -> Option<String> {
    let mut by = Vec::new();
    let ids: Vec<_> = garden.plantings.iter().filter(|p| p.bed == id).map(|p| p.id.to_string()).collect();
    if !ids.is_empty() {
        const N_NAMED: usize = 3;
        let named = ids.iter().take(N_NAMED).cloned().collect::<Vec<_>>().join(", ");
        let more = ids.len().saturating_sub(N_NAMED);
        let plantings = if ids.len() == 1 { "planting" } else { "plantings" };
        by.push(if more == 0 {
            format!("{plantings} {named}")
        } else {
            format!("{plantings} {named} and {more} more")
        });
    }
    for list in List::ALL.iter().filter(|list| matches!(list.about().names, Names::Bed | Names::BedOrNone)) {
        match list.beds(garden).filter(|bed| *bed == id).count() {
            0 => {}
            1 => by.push(format!("1 {}", list.about().one)),
            n => by.push(format!("{n} {}", list.about().many)),
        }
    }
    let last = by.pop()?;
    Some(if by.is_empty() { last } else { format!("{} and {last}", by.join(", ")) })
}
