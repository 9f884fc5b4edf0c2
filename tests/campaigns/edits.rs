//! Random edits, undos and redos against a model that cannot be wrong in the same way: it keeps the text of every
//! garden there was and steps through them, makes each edit by plain insertion and removal, and asks the reading of
//! files whether the outcome may be.

use std::collections::BTreeMap;

use bedfellow::garden::{Edit, Garden, Undo};

use crate::dice::Dice;
use crate::draw::{self, BEGINNING};
use crate::size;

/// Every kind of edit. A new one fails to compile here until it has its name, and fails the campaign until it is drawn.
fn kind(edit: &Edit) -> &'static str {
    match edit {
        Edit::AddPlanting(_) => "add planting",
        Edit::RemovePlanting(_) => "remove planting",
        Edit::ChangePlanting(_) => "change planting",
        Edit::AddBed { .. } => "add bed",
        Edit::RemoveBed(_) => "remove bed",
        Edit::ChangeBed { .. } => "change bed",
        Edit::AddPast { .. } => "add past",
        Edit::RemovePast { .. } => "remove past",
        Edit::AddHazard { .. } => "add hazard",
        Edit::RemoveHazard { .. } => "remove hazard",
        Edit::AddSoil { .. } => "add soil",
        Edit::RemoveSoil { .. } => "remove soil",
        Edit::Accept { .. } => "accept",
        Edit::Unaccept { .. } => "unaccept",
        Edit::SetReturn { .. } => "set return",
        Edit::SetSite(_) => "set site",
        Edit::Rename(_) => "rename",
        Edit::Several { .. } => "several",
    }
}

const KINDS: [&str; 18] = [
    "add planting",
    "remove planting",
    "change planting",
    "add bed",
    "remove bed",
    "change bed",
    "add past",
    "remove past",
    "add hazard",
    "remove hazard",
    "add soil",
    "remove soil",
    "accept",
    "unaccept",
    "set return",
    "set site",
    "rename",
    "several",
];

/// The garden after an edit, made the plain way; `None` if the edit speaks of what is not there.
fn made_plainly(garden: &Garden, edit: &Edit) -> Option<Garden> {
    let mut after = garden.clone();
    let has_bed = |id: &str| garden.beds.iter().any(|bed| bed.id == id);
    let place_of = |id| garden.plantings.iter().position(|planting| planting.id == id);
    match edit {
        Edit::AddPlanting(planting) => {
            if place_of(planting.id).is_some() || !has_bed(&planting.bed) {
                return None;
            }
            after.plantings.push((**planting).clone());
            after.plantings.sort_by_key(|planting| planting.id);
        }
        Edit::RemovePlanting(id) => drop(after.plantings.remove(place_of(*id)?)),
        Edit::ChangePlanting(planting) => after.plantings[place_of(planting.id)?] = (**planting).clone(),
        Edit::AddBed { at, bed } => put(&mut after.beds, *at, bed)?,
        Edit::RemoveBed(id) => {
            after.beds.remove(garden.beds.iter().position(|bed| bed.id == *id)?);
        }
        Edit::ChangeBed { id, bed } => {
            let at = garden.beds.iter().position(|bed| bed.id == *id)?;
            if bed.id != *id && has_bed(&bed.id) {
                return None;
            }
            after.beds[at] = bed.clone();
            let named = after.plantings.iter_mut().map(|planting| &mut planting.bed);
            let named = named.chain(after.past.iter_mut().map(|past| &mut past.bed));
            let named = named.chain(after.hazards_seen.iter_mut().map(|seen| &mut seen.bed));
            for name in named.chain(after.soil_log.iter_mut().map(|entry| &mut entry.bed)) {
                if name == id {
                    name.clone_from(&bed.id);
                }
            }
        }
        Edit::AddPast { at, past } => put(&mut after.past, *at, past)?,
        Edit::RemovePast { at } => drop(garden.past.get(*at).map(|_| after.past.remove(*at))?),
        Edit::AddHazard { at, seen } => put(&mut after.hazards_seen, *at, seen)?,
        Edit::RemoveHazard { at } => drop(garden.hazards_seen.get(*at).map(|_| after.hazards_seen.remove(*at))?),
        Edit::AddSoil { at, entry } => put(&mut after.soil_log, *at, entry)?,
        Edit::RemoveSoil { at } => drop(garden.soil_log.get(*at).map(|_| after.soil_log.remove(*at))?),
        Edit::Accept { at, accepted } => put(&mut after.accepted, *at, accepted)?,
        Edit::Unaccept { at } => drop(garden.accepted.get(*at).map(|_| after.accepted.remove(*at))?),
        Edit::SetReturn { family, years } => {
            after.return_years.retain(|known, _| known != family);
            after.return_years.extend(years.map(|years| (family.clone(), years)));
        }
        Edit::SetSite(site) => after.site = site.clone(),
        Edit::Rename(name) => after.name.clone_from(name),
        Edit::Several { edits, .. } => {
            for edit in edits {
                after = made_plainly(&after, edit)?;
            }
        }
    }
    Some(after)
}

fn put<T: Clone>(list: &mut Vec<T>, at: usize, item: &T) -> Option<()> {
    (at <= list.len()).then(|| list.insert(at, item.clone()))
}

/// The text of the garden that an edit leaves, if a garden file may hold it.
fn text_after(garden: &Garden, edit: &Edit) -> Option<String> {
    let text = made_plainly(garden, edit)?.to_ron();
    Garden::from_ron(&text, "model").is_ok().then_some(text)
}

#[derive(Default)]
struct Tally {
    /// By kind: drawn, made.
    kinds: BTreeMap<&'static str, (u64, u64)>,
    n_undone: u64,
    n_redone: u64,
    n_at_an_end: u64,
}

/// A walk: the garden as the program has it, and every text as the model has it.
struct Walk {
    garden: Garden,
    undo: Undo,
    texts: Vec<String>,
    at: usize,
    tally: Tally,
}

impl Walk {
    fn new() -> Self {
        let garden = Garden::from_ron(BEGINNING, "beginning").unwrap();
        let texts = vec![garden.to_ron()];
        Self { garden, undo: Undo::default(), texts, at: 0, tally: Tally::default() }
    }

    fn step(&mut self, dice: &mut Dice) {
        match dice.below(100) {
            0..60 => self.edit(&draw::edit(dice, &self.garden)),
            60..80 => self.undo(),
            80..98 => self.redo(),
            // Now and then a long way back, or forth, or both.
            98 => (0..dice.below(200)).for_each(|_| self.undo()),
            _ => (0..dice.below(200)).for_each(|_| self.redo()),
        }
        assert_eq!(self.garden.to_ron(), self.texts[self.at], "the garden is not the model's");
    }

    fn edit(&mut self, edit: &Edit) {
        let counts = self.tally.kinds.entry(kind(edit)).or_default();
        counts.0 += 1;
        let before = self.garden.clone();
        let expected = text_after(&before, edit);
        let title = edit.title(&self.garden);
        match (edit.clone().apply_to(&mut self.garden), expected) {
            (Ok(inverse), Some(text)) => {
                counts.1 += 1;
                // As one line of text, which the journal needs it to be.
                let line = ron::to_string(edit).unwrap();
                assert!(!line.contains('\n'), "{line}");
                assert_eq!(ron::from_str::<Edit>(&line).as_ref(), Ok(edit), "{line}");
                self.undo.done(title, inverse);
                self.texts.truncate(self.at + 1);
                self.texts.push(text);
                self.at += 1;
            }
            (Err(why), expected) => {
                assert_eq!(self.garden, before, "refused ({why}), and yet something was changed: {edit:?}");
                // Of several, what stands in a list is looked at one by one; the model looks at the end only.
                let may_differ = matches!(edit, Edit::Several { .. });
                assert!(expected.is_none() || may_differ, "refused ({why}), though a file may hold it: {edit:?}");
            }
            (Ok(_), None) => panic!("made, though a file may not hold it: {edit:?}"),
        }
    }

    fn undo(&mut self) {
        let has_undone = self.undo.undo(&mut self.garden).is_some();
        assert_eq!(has_undone, self.at > 0, "undo has something to take back");
        self.at -= usize::from(has_undone);
        self.tally.n_undone += u64::from(has_undone);
        self.tally.n_at_an_end += u64::from(!has_undone);
    }

    fn redo(&mut self) {
        let has_redone = self.undo.redo(&mut self.garden).is_some();
        assert_eq!(has_redone, self.at + 1 < self.texts.len(), "redo has something to make again");
        self.at += usize::from(has_redone);
        self.tally.n_redone += u64::from(has_redone);
        self.tally.n_at_an_end += u64::from(!has_redone);
    }
}

#[test]
fn random_edits_undos_and_redos_agree_with_the_naive_model_to_the_byte() {
    let (seed, n_steps) = (size::seed(), size::count(10_000, 200_000));
    println!("seed {seed}");
    let mut walk = Walk::new();
    let mut dice = Dice::of(seed, 0);
    for step in 0..n_steps {
        // Begun anew every ten thousand steps: a year's edits, and the texts of a walk stay in memory.
        if step % 10_000 == 9_999 {
            let tally = std::mem::take(&mut walk.tally);
            walk = Walk { tally, ..Walk::new() };
        }
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| walk.step(&mut dice)));
        assert!(caught.is_ok(), "at step {step} of seed {seed}");
    }
    // The whole way back and forth again.
    while walk.at > 0 {
        walk.undo();
        assert_eq!(walk.garden.to_ron(), walk.texts[walk.at]);
    }
    while walk.at + 1 < walk.texts.len() {
        walk.redo();
        assert_eq!(walk.garden.to_ron(), walk.texts[walk.at]);
    }
    let Tally { kinds, n_undone, n_redone, n_at_an_end } = &walk.tally;
    for kind in KINDS {
        let (n_drawn, n_made) = kinds.get(kind).copied().unwrap_or_default();
        assert!(
            n_made > 0 && n_made < n_drawn,
            "{kind}: {n_drawn} drawn, {n_made} made; some must be made, some refused"
        );
    }
    assert!(*n_undone > n_steps / 20 && *n_redone > n_steps / 20 && *n_at_an_end > 0);
    let (n_drawn, n_made) = kinds.values().fold((0, 0), |sum, n| (sum.0 + n.0, sum.1 + n.1));
    size::say(&format!(
        "edits: {n_steps} steps, {n_made} of {n_drawn} edits made, {n_undone} undone, {n_redone} redone, all as the model; seed {seed}"
    ));
}
