//! A bed's history as the rotation engine wants it, and the engine's findings as the plan's.

use chrono::Datelike;

use super::bounds::{self, NotListed};
use super::inputs::Inputs;
use super::{Finding, LeftOut, Says, Standing};
use crate::crops::PlantRef;
use crate::garden::{PlantingId, Severity};
use crate::rotation::{Given, RotationFinding, Rule, Seen, Stand, StandKey, Taxon, rotation_years};
use crate::units::Rect;

/// What rotation has to know of a bed.
#[derive(Debug, Default)]
pub(super) struct History {
    pub stands: Vec<Stand>,
    pub seen: Vec<Seen>,
    pub amendments: Vec<Given>,
}

impl History {
    /// The bed's past crops, hazards, soil log and plantings; `except` leaves one planting out.
    pub fn of_bed(inputs: Inputs<'_>, bed_idx: usize, standing: &[Standing], except: Option<PlantingId>) -> Self {
        let mut history = Self::default();
        let Some((bed, records)) = inputs.bed(bed_idx).zip(inputs.index.beds.get(bed_idx)) else { return history };
        if bed.renewed_yearly {
            return history; // what stood in last year's compost went out with it
        }
        history.stands.reserve(records.past.len() + standing.len());
        for &past_idx in &records.past {
            let Some(past) = inputs.garden.past.get(past_idx) else { continue };
            let (y0, y1) = past.side.across(bed.width_mm);
            let whole = Rect::of_size(bed.length_mm, bed.width_mm);
            let (x0, x1) = past.strip_mm.unwrap_or((whole.x0, whole.x1));
            for taxon in inputs.past_taxon(&past.what).into_iter().flatten() {
                history.stands.push(Stand {
                    key: StandKey::Past(past.id),
                    taxon,
                    first_year: past.year,
                    last_year: past.year,
                    from: None,
                    until: None,
                    ground: vec![Rect { x0, x1, y0, y1 }],
                });
            }
        }
        history.stands.extend(standing.iter().filter(|s| Some(s.id) != except).map(|s| stand_of(s, s.id.into())));
        join_permanent(inputs, &mut history.stands);
        for seen in records.seen.iter().filter_map(|&place| inputs.garden.hazards_seen.get(place)) {
            if let Some(hazard_idx) = inputs.book.hazards().iter().position(|hazard| hazard.id == seen.hazard) {
                history.seen.push(Seen { hazard_idx, year: seen.date.year() });
            }
        }
        for entry in records.soil.iter().filter_map(|&place| inputs.garden.soil_log.get(place)) {
            history.amendments.push(Given { amendment: entry.amendment, date: entry.date });
        }
        history
    }

    /// About the cost of checking one more stand, in steps of a few nanoseconds.
    pub fn work(&self) -> u64 {
        const WORK_A_RECORD: usize = 60;
        (WORK_A_RECORD * (self.stands.len() + self.seen.len() + self.amendments.len() + 1)) as u64
    }

    /// The findings that one more stand in this bed would raise.
    pub fn check_one(&self, inputs: Inputs<'_>, candidate: &Stand) -> Vec<RotationFinding> {
        let log = (self.seen.as_slice(), self.amendments.as_slice());
        let check = |stands: &[Stand], candidate: &Stand| {
            inputs.graph.check_one_within(bounds::ROTATION, inputs.policy, stands, log, candidate)
        };
        if !is_permanent(inputs, candidate) {
            return check(&self.stands, candidate);
        }
        // It may go on from what stood there; none but past crops are taken out, so that it stays the last.
        let mut stands = self.stands.clone();
        stands.push(candidate.clone());
        join_permanent(inputs, &mut stands);
        let candidate = stands.pop().unwrap_or_else(|| candidate.clone());
        check(&stands, &candidate)
    }
}

fn is_permanent(inputs: Inputs<'_>, stand: &Stand) -> bool {
    match stand.taxon {
        Taxon::Plant(PlantRef::Crop(idx)) => inputs.book.crops().get(idx).is_some_and(|crop| crop.is_permanent),
        _ => false,
    }
}

fn is_ground_shared(one: &[Rect], other: &[Rect]) -> bool {
    one.iter().any(|rect| other.iter().any(|their| rect.shared_with(*their).is_some()))
}

/// A permanent crop that the list of past crops has year by year is one stand, and goes on in the planting that stands there the year
/// after: asparagus of 2025 and 2026 and an asparagus planting from 2027 are one crop from 2025 on, not one replanted every year.
fn join_permanent(inputs: Inputs<'_>, stands: &mut Vec<Stand>) {
    let mut permanent: Vec<usize> = (0..stands.len()).filter(|&at| is_permanent(inputs, &stands[at])).collect();
    if permanent.len() < 2 {
        return;
    }
    permanent.sort_by_key(|&at| (stands[at].first_year, at));
    let mut joined = Vec::new();
    for (n, &at) in permanent.iter().enumerate() {
        if !matches!(stands[at].key, StandKey::Past(_)) {
            continue;
        }
        let (taxon, first_year, next_year) = (stands[at].taxon, stands[at].first_year, stands[at].last_year + 1);
        let goes_on = permanent[n + 1..].iter().copied().find(|&later| {
            let later = &stands[later];
            later.taxon == taxon && later.first_year <= next_year && is_ground_shared(&later.ground, &stands[at].ground)
        });
        let Some(later) = goes_on else { continue };
        stands[later].first_year = stands[later].first_year.min(first_year);
        joined.push(at);
    }
    let mut at = 0;
    stands.retain(|_| {
        at += 1;
        !joined.contains(&(at - 1))
    });
}

impl From<PlantingId> for StandKey {
    fn from(id: PlantingId) -> Self {
        Self::Planting(id)
    }
}

/// A planting as rotation sees it.
pub(super) fn stand_of(standing: &Standing, key: StandKey) -> Stand {
    let (first_year, last_year) = rotation_years(standing.stages.enters, standing.stages.clear);
    Stand {
        key,
        taxon: Taxon::Plant(PlantRef::Crop(standing.crop_idx)),
        first_year,
        last_year,
        from: Some(standing.stages.enters),
        until: Some(standing.stages.clear),
        ground: standing.ground.clone(),
    }
}

/// The planting a rotation finding is about; `None` for past crops, about which nothing can be done any more.
fn planting_of(finding: &RotationFinding) -> Option<PlantingId> {
    match finding.about {
        StandKey::Planting(id) => Some(id),
        _ => None,
    }
}

/// Takes the engine's findings, stand by stand, as findings of a bed. Where a name in the history means several families, one
/// earlier stand can be blamed twice for the same rule; the graver one is kept. That an order goes well is said once, however
/// many plantings of the earlier crop and however many rules say so.
pub(super) struct Gathered<'a> {
    bed_idx: usize,
    findings: &'a mut Vec<Finding>,
    /// Where these findings begin, and those of the stand that is told of.
    first: usize,
    start: usize,
    about: Option<StandKey>,
    /// What cannot be among those that are listed, and is let go; `None` to keep all.
    not_listed: Option<NotListed>,
}

impl<'a> Gathered<'a> {
    pub fn all(bed_idx: usize, findings: &'a mut Vec<Finding>) -> Self {
        let first = findings.len();
        Self { bed_idx, findings, first, start: first, about: None, not_listed: None }
    }

    /// Only those that a bed's list has room for.
    fn gravest(bed_idx: usize, findings: &'a mut Vec<Finding>) -> Self {
        Self { not_listed: Some(NotListed::default()), ..Self::all(bed_idx, findings) }
    }

    pub fn push(&mut self, rotation: RotationFinding) {
        let Some(id) = planting_of(&rotation) else { return };
        // What is said of one stand comes together.
        if self.about != Some(rotation.about) {
            if let Some(not_listed) = &mut self.not_listed {
                bounds::keep_gravest(self.findings, self.first, not_listed);
            }
            (self.about, self.start) = (Some(rotation.about), self.findings.len());
        }
        let of_stand = self.findings.get_mut(self.start..).unwrap_or_default();
        let is_of_history = matches!(rotation.earlier, Some(StandKey::Past(_)));
        let is_said = |finding: &Finding| {
            matches!(&finding.says, Says::Rotation(known) if known.rule == Rule::GoodAfter
                && known.about == rotation.about
                && known.earlier_taxon == rotation.earlier_taxon)
        };
        if rotation.rule == Rule::GoodAfter && of_stand.iter().any(is_said) {
            return;
        }
        let twin = of_stand.iter_mut().filter(|_| is_of_history).find(|finding| {
            matches!(&finding.says, Says::Rotation(known) if known.rule == rotation.rule
                && known.about == rotation.about
                && known.earlier == rotation.earlier
                && known.hazard_idx == rotation.hazard_idx
                && known.follow_idx == rotation.follow_idx)
        });
        let severity = rotation.severity;
        let says = Says::Rotation(Box::new(rotation));
        let finding = Finding { severity, bed_idx: self.bed_idx, planting: Some(id), says, accepted: None };
        match twin {
            Some(twin) if twin.severity >= severity => {}
            Some(twin) => *twin = finding,
            None => self.findings.push(finding),
        }
    }
}

/// Checks a bed's whole history, and that the book knows what it names.
pub(super) fn check_bed(
    inputs: Inputs<'_>,
    bed_idx: usize,
    standing: &[Standing],
    findings: &mut Vec<Finding>,
    not_listed: &mut NotListed,
) {
    let Some(records) = inputs.index.beds.get(bed_idx) else { return };
    let mut tell = |severity, says| {
        findings.push(Finding { severity, bed_idx, planting: None, says, accepted: None });
    };
    for past in records.past.iter().filter_map(|&place| inputs.garden.past.get(place)) {
        if inputs.past_taxon(&past.what).is_none() {
            tell(Severity::Note, Says::UnknownCrop { crop: past.what.clone() });
        }
    }
    for seen in records.seen.iter().filter_map(|&place| inputs.garden.hazards_seen.get(place)) {
        if !inputs.book.hazards().iter().any(|hazard| hazard.id == seen.hazard) {
            tell(Severity::Caution, Says::UnknownHazard { hazard: seen.hazard.clone() });
        }
    }
    if standing.is_empty() {
        return; // nothing planned: nothing to be said of the past alone
    }
    let history = History::of_bed(inputs, bed_idx, standing, None);
    let (n_stands, n_looked_back) = (history.stands.len(), bounds::ROTATION.looked_back);
    if n_stands > n_looked_back + 1 {
        let says = Says::LeftOut(LeftOut::History { n_stands, n_looked_back });
        findings.push(Finding { severity: Severity::Note, bed_idx, planting: None, says, accepted: None });
    }
    let log = (history.seen.as_slice(), history.amendments.as_slice());
    let mut left_out = |severity| not_listed.add(severity, 1);
    let mut gathered = Gathered::gravest(bed_idx, findings);
    let found = &mut |rotation| gathered.push(rotation);
    inputs.graph.check_within(bounds::ROTATION, inputs.policy, &history.stands, log, found, &mut left_out);
    let beyond = gathered.not_listed.unwrap_or_default();
    not_listed.add_all(beyond);
}
