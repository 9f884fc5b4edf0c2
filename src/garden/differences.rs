//! What two gardens that began as one have changed since, bed by bed, and where both did.
//!
//! Everything is followed by its number or name. What both have changed to the same is no difference and is left out.

use std::collections::BTreeMap;

use super::lists::Compared;
use super::{Bed, Deed, Entry, Garden, List, Planting, PlantingId, Site, Words};
use crate::units::text::cut;

/// Where something differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Where {
    /// In the bed of that id.
    Bed(String),
    /// In what belongs to no bed: name, site, households, prices and the like.
    Outside,
}

/// What differs.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// The bed itself.
    Bed,
    /// A planting.
    Planting {
        /// Its number.
        id: PlantingId,
        /// Its crop's id.
        crop: String,
    },
    /// A row of a list, as it is now, or was.
    Entry(Box<Entry>),
    /// The garden's name.
    Name,
    /// The site.
    Site,
    /// The order in which beds are walked.
    Walk,
    /// The comment at the head of the file.
    HeadComment,
}

/// What became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verb {
    /// It was put in.
    Added,
    /// It was taken out.
    TakenOut,
    /// These of its fields are others now; none are named for things of few fields.
    Changed(Vec<&'static str>),
    /// It went into the bed of that id.
    MovedTo(String),
    /// It came from the bed of that id.
    MovedFrom(String),
}

/// One thing that differs.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// What.
    pub what: What,
    /// What became of it.
    pub verb: Verb,
}

/// Everything that differs in one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Where.
    pub place: Where,
    /// What mine has changed.
    pub mine: Vec<Change>,
    /// What theirs has changed.
    pub theirs: Vec<Change>,
}

/// What two gardens have changed since they were one.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Differences {
    /// Places with a difference: beds in the order of the walk, then what is outside of beds.
    pub parts: Vec<Part>,
}

impl Part {
    /// Both have changed something here.
    pub fn is_both(&self) -> bool {
        !self.mine.is_empty() && !self.theirs.is_empty()
    }
}

impl Differences {
    /// What `mine` and `theirs` have changed since `base`.
    pub fn between(base: &Garden, mine: &Garden, theirs: &Garden) -> Self {
        let walk = mine.beds.iter().chain(&theirs.beds).chain(&base.beds);
        let mut found = Self::default();
        for bed in walk {
            found.part(&Where::Bed(bed.id.clone()));
        }
        let three = [base, mine, theirs];
        found.of_beds(three);
        found.of_plantings(three);
        found.of_outside(three);
        found.parts.retain(|part| !part.mine.is_empty() || !part.theirs.is_empty());
        found
    }

    /// What differs from one garden to another, as the changes of `mine`.
    pub fn from_to(before: &Garden, after: &Garden) -> Self {
        Self::between(before, after, before)
    }

    /// Nothing differs.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }

    fn part(&mut self, place: &Where) -> &mut Part {
        let at = self.parts.iter().position(|part| part.place == *place).unwrap_or_else(|| {
            self.parts.push(Part { place: place.clone(), mine: Vec::new(), theirs: Vec::new() });
            self.parts.len() - 1
        });
        &mut self.parts[at]
    }

    fn note(&mut self, is_mine: bool, place: &Where, what: What, verb: Verb) {
        let part = self.part(place);
        let changes = if is_mine { &mut part.mine } else { &mut part.theirs };
        changes.push(Change { what, verb });
    }

    /// Compares things by their keys.
    fn by_key<T: PartialEq>(
        &mut self,
        maps: &[BTreeMap<String, &T>; 3],
        of: impl Fn(&T) -> (Where, What),
        fields: impl Fn(&T, &T) -> Vec<&'static str>,
    ) {
        let [base, mine, theirs] = maps;
        let keys: std::collections::BTreeSet<&String> = base.keys().chain(mine.keys()).chain(theirs.keys()).collect();
        for key in keys {
            let (was, ours, others) = (base.get(key), mine.get(key), theirs.get(key));
            if ours == others {
                continue;
            }
            for (is_mine, is) in [(true, ours), (false, others)] {
                let (item, verb) = match (was, is) {
                    (None, Some(is)) => (is, Verb::Added),
                    (Some(was), None) => (was, Verb::TakenOut),
                    (Some(was), Some(is)) if was != is => (is, Verb::Changed(fields(was, is))),
                    _ => continue,
                };
                let (place, what) = of(item);
                self.note(is_mine, &place, what, verb);
            }
        }
    }

    fn of_beds(&mut self, three: [&Garden; 3]) {
        let of = |bed: &Bed| (Where::Bed(bed.id.clone()), What::Bed);
        self.by_key(&three.map(|garden| keyed(&garden.beds, |bed| bed.id.clone())), of, bed_fields);
    }

    fn of_plantings(&mut self, three: [&Garden; 3]) {
        let what = |planting: &Planting| What::Planting { id: planting.id, crop: planting.crop.clone() };
        let place = |planting: &Planting| Where::Bed(planting.bed.clone());
        let [base, mine, theirs] =
            three.map(|garden| keyed(&garden.plantings, |planting| format!("{:010}", planting.id.0)));
        // Those that moved are told in both beds; all others like anything else.
        let mut moved = Vec::new();
        for (is_mine, after, other) in [(true, &mine, &theirs), (false, &theirs, &mine)] {
            for (key, is) in after {
                if let Some(was) = base.get(key).filter(|was| was.bed != is.bed)
                    && other.get(key) != Some(is)
                {
                    moved.push((is_mine, key.clone()));
                    self.note(is_mine, &place(was), what(is), Verb::MovedTo(is.bed.clone()));
                    self.note(is_mine, &place(is), what(is), Verb::MovedFrom(was.bed.clone()));
                }
            }
        }
        let mut maps = [base, mine, theirs];
        for (is_mine, key) in moved {
            let was = maps[0].get(&key).copied();
            let side = if is_mine { &mut maps[1] } else { &mut maps[2] };
            if let Some(was) = was {
                side.insert(key, was);
            }
        }
        self.by_key(&maps, |planting| (place(planting), what(planting)), planting_fields);
    }

    fn of_outside(&mut self, three: [&Garden; 3]) {
        let place_of = |id: PlantingId| {
            let planting = three.iter().find_map(|garden| garden.planting(id));
            planting.map_or(Where::Outside, |planting| Where::Bed(planting.bed.clone()))
        };
        for list in List::ALL {
            list.compare(three, &mut |Compared { is_mine, deed, entry }| {
                let place = match (entry.bed(), entry.planting()) {
                    (Some(bed), _) => Where::Bed(bed.to_owned()),
                    (None, Some(id)) => place_of(id),
                    (None, None) => Where::Outside,
                };
                let verb = match deed {
                    Deed::Put => Verb::Added,
                    Deed::Take => Verb::TakenOut,
                    Deed::Change => Verb::Changed(Vec::new()),
                };
                self.note(is_mine, &place, What::Entry(Box::new(entry)), verb);
            });
        }
        let none = |_: &_, _: &_| Vec::new();
        self.one(three.map(|g| &g.name), &What::Name, none);
        self.one(three.map(|g| &g.site), &What::Site, site_fields);
        self.one(three.map(|g| &g.header_comment), &What::HeadComment, none);
        let walks = three.map(|g| g.beds.iter().map(|bed| &bed.id).collect::<Vec<_>>());
        // Beds put in or taken out are told as such; only another order of the same beds is a change of the walk.
        let is_reordered = |walk: &Vec<&String>| {
            let (mut was, mut is) = (walks[0].clone(), walk.clone());
            was.retain(|id| walk.contains(id));
            is.retain(|id| walks[0].contains(id));
            was != is
        };
        for (is_mine, walk) in [(true, &walks[1]), (false, &walks[2])] {
            if walks[1] != walks[2] && is_reordered(walk) {
                self.note(is_mine, &Where::Outside, What::Walk, Verb::Changed(Vec::new()));
            }
        }
    }

    /// Something of which a garden has one.
    fn one<T: PartialEq>(&mut self, three: [&T; 3], what: &What, fields: impl Fn(&T, &T) -> Vec<&'static str>) {
        let maps = three.map(|item| BTreeMap::from([(String::new(), item)]));
        self.by_key(&maps, |_| (Where::Outside, what.clone()), fields);
    }
}

/// Things by their keys; of several with one key the later ones have their place beside it.
fn keyed<T>(items: &[T], key: impl Fn(&T) -> String) -> BTreeMap<String, &T> {
    let mut map = BTreeMap::new();
    for item in items {
        let mut name = key(item);
        while map.contains_key(&name) {
            name.push('\u{1}');
        }
        map.insert(name, item);
    }
    map
}

/// The names of those fields that are not the same. Any other number counts, however near.
macro_rules! fields {
    ($was:expr, $is:expr, $($field:ident => $name:expr),+ $(,)?) => {{
        let mut names: Vec<&'static str> = Vec::new();
        $(if $was.$field != $is.$field && !names.contains(&$name) { names.push($name); })+
        names
    }};
}

fn planting_fields(was: &Planting, is: &Planting) -> Vec<&'static str> {
    fields!(was, is, crop => "crop", variety => "variety", from_mm => "strip", to_mm => "strip", side => "side",
        layout => "layout", setback_mm => "setback", clump => "clump", raised => "how it is raised",
        planned => "planned dates", notes => "notes")
}

fn bed_fields(was: &Bed, is: &Bed) -> Vec<&'static str> {
    fields!(was, is, name => "name", width_mm => "width", length_mm => "length", east_mm => "place", south_mm => "place",
        bearing_deg => "bearing", kind => "kind", cover => "cover", soil => "soil",
        renewed_yearly => "fresh compost each year", notes => "notes")
}

#[allow(clippy::float_cmp)]
fn site_fields(was: &Site, is: &Site) -> Vec<&'static str> {
    fields!(was, is, latitude_deg => "latitude", longitude_deg => "longitude", elevation_m => "height", last_frost => "last frost",
        first_frost => "first frost", currency => "currency", climate => "climate")
}

impl Where {
    /// `A1`, or what is said of things outside of beds.
    pub fn words(&self) -> String {
        match self {
            Self::Bed(id) => format!("bed {}", name(id)),
            Self::Outside => "outside of beds".to_owned(),
        }
    }
}

impl Change {
    /// In words; `name_of` gives the book's names of crops.
    pub fn words(&self, name_of: &dyn Fn(&str) -> Option<String>) -> String {
        let words = Words { plantings: &[], name_of };
        let what = match &self.what {
            What::Bed => "the bed itself".to_owned(),
            What::Planting { id, crop: of } => format!("{} ({id})", words.crop(of)),
            What::Entry(entry) => entry.tells().what(&words),
            What::Name => "the garden's name".to_owned(),
            What::Site => "the site".to_owned(),
            What::Walk => "the order of the beds".to_owned(),
            What::HeadComment => "the comment at the head of the file".to_owned(),
        };
        match &self.verb {
            Verb::Added => format!("{what}: put in"),
            Verb::TakenOut => format!("{what}: taken out"),
            Verb::Changed(fields) if fields.is_empty() => format!("{what}: changed"),
            Verb::Changed(fields) => format!("{what}: {} changed", fields.join(", ")),
            Verb::MovedTo(bed) => format!("{what}: moved to {}", name(bed)),
            Verb::MovedFrom(bed) => format!("{what}: moved here from {}", name(bed)),
        }
    }
}

/// A name, harmless and short enough for a line.
fn name(text: &str) -> String {
    const N_CHARS: usize = 30;
    cut(text, N_CHARS)
}
