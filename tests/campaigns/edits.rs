//! Random edits, undos and redos, over many days, against a model that cannot be wrong in the same way: it keeps the text of every
//! garden there was and steps through them, makes each edit by plain insertion and removal, and asks the reading of
//! files whether the outcome may be.

use std::collections::BTreeMap;

use bedfellow::garden::{Edit, Entry, EntryId, Garden, List, Row, RowKey, Undo, limits};

use crate::dice::Dice;
use crate::draw::{self, BEGINNING};
use crate::size;

/// Every kind of edit. A new one fails to compile here until it has its name, and fails the campaign until it is drawn.
fn kind(edit: &Edit) -> String {
    match edit {
        Edit::AddPlanting(_) => "add planting".to_owned(),
        Edit::RemovePlanting(_) => "remove planting".to_owned(),
        Edit::ChangePlanting(_) => "change planting".to_owned(),
        Edit::AddBed { .. } => "add bed".to_owned(),
        Edit::RemoveBed(_) => "remove bed".to_owned(),
        Edit::ChangeBed { .. } => "change bed".to_owned(),
        Edit::Put(entry) => format!("put {}", entry.list().about().one),
        Edit::Take(key) => format!("take {}", key.list().about().one),
        Edit::Change(entry) => format!("change {}", entry.list().about().one),
        Edit::SetSite(_) => "set site".to_owned(),
        Edit::Rename(_) => "rename".to_owned(),
        Edit::Several { .. } => "several".to_owned(),
    }
}

fn kinds() -> Vec<String> {
    let mut kinds: Vec<String> = [
        "add planting",
        "remove planting",
        "change planting",
        "add bed",
        "remove bed",
        "change bed",
        "set site",
        "rename",
        "several",
    ]
    .map(str::to_owned)
    .to_vec();
    for list in List::ALL {
        kinds.extend(["put", "take", "change"].map(|deed| format!("{deed} {}", list.about().one)));
    }
    kinds
}

/// Does something with the row of an entry, whichever list it is of.
macro_rules! with_row {
    ($of:ident, $entry:expr, $row:ident => $done:expr) => {
        match $entry {
            $of::Return($row) => $done,
            $of::Happened($row) => $done,
            $of::Past($row) => $done,
            $of::Hazard($row) => $done,
            $of::Soil($row) => $done,
            $of::Accepted($row) => $done,
            $of::Quiet($row) => $done,
            $of::Household($row) => $done,
            $of::BoxKind($row) => $done,
            $of::Price($row) => $done,
            $of::Expense($row) => $done,
            $of::Seed($row) => $done,
            $of::OwnCrop($row) => $done,
        }
    };
}

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
            let named = named.chain(after.kept_quiet.iter_mut().filter_map(|quiet| quiet.bed.as_mut()));
            for name in named.chain(after.soil_log.iter_mut().map(|entry| &mut entry.bed)) {
                if name == id {
                    name.clone_from(&bed.id);
                }
            }
        }
        Edit::Put(entry) => with_row!(Entry, &**entry, row => put_row(&mut after, row)?),
        Edit::Change(entry) => with_row!(Entry, &**entry, row => {
            take_row(&mut after, row)?;
            put_row(&mut after, row)?;
        }),
        Edit::Take(key) => {
            let entry = key.find(garden)?;
            with_row!(Entry, &entry, row => take_row(&mut after, row)?);
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

/// Rows stand in the order of their keys, each key once.
fn put_row<R: Row>(garden: &mut Garden, row: &R) -> Option<()> {
    let rows = R::rows_mut(garden);
    // A file may leave the number out, an edit may not.
    if row.key().number() == Some(EntryId::NONE) || rows.iter().any(|there| there.key() == row.key()) {
        return None;
    }
    rows.push(row.clone());
    rows.sort_by(|one, other| one.key().cmp(other.key()));
    Some(())
}

fn take_row<R: Row>(garden: &mut Garden, row: &R) -> Option<()> {
    let rows = R::rows_mut(garden);
    let n_rows = rows.len();
    rows.retain(|there| there.key() != row.key());
    (rows.len() < n_rows).then_some(())
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
    kinds: BTreeMap<String, (u64, u64)>,
    n_undone: u64,
    n_redone: u64,
    n_at_an_end: u64,
    n_left: u64,
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
            97 if dice.below(10) == 0 => self.leave(),
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

    /// Leaves and comes back another day: as many steps as are kept can be taken back, and none made again.
    fn leave(&mut self) {
        let kept = self.undo.to_keep();
        assert!(kept.len() == self.at.min(limits::N_STEPS_KEPT) || self.has_long_steps(&kept), "{}", kept.len());
        self.texts = self.texts[self.at - kept.len()..=self.at].to_vec();
        self.at = kept.len();
        self.garden = Garden::from_ron(&self.texts[self.at], "left").unwrap();
        self.undo = Undo::of_kept(kept);
        self.tally.n_left += 1;
    }

    /// Whether one more step like the longest may not have had room.
    fn has_long_steps(&self, kept: &[String]) -> bool {
        let n_bytes: usize = kept.iter().map(String::len).sum();
        n_bytes + self.garden.to_ron().len() > limits::STEPS_KEPT_BYTES
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
    let kinds_expected = kinds();
    let Tally { kinds, n_undone, n_redone, n_at_an_end, n_left } = &walk.tally;
    for kind in kinds_expected {
        let (n_drawn, n_made) = kinds.get(&kind).copied().unwrap_or_default();
        assert!(
            n_made > 0 && n_made < n_drawn,
            "{kind}: {n_drawn} drawn, {n_made} made; some must be made, some refused"
        );
    }
    assert!(*n_undone > n_steps / 20 && *n_redone > n_steps / 20 && *n_at_an_end > 0 && *n_left > 0);
    let (n_drawn, n_made) = kinds.values().fold((0, 0), |sum, n| (sum.0 + n.0, sum.1 + n.1));
    size::say(&format!(
        "edits: {n_steps} steps, {n_made} of {n_drawn} edits made, {n_undone} undone, {n_redone} redone, {n_left} times left, all as the model; seed {seed}"
    ));
}
