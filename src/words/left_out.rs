//! What is left out of a bed past counting, in words.

use super::text::{counted, date, list, plural};
use crate::season::LeftOut;

/// What is left out, in one clause.
pub(super) fn clause(left_out: &LeftOut) -> String {
    match left_out {
        LeftOut::Neighbours { on, n_standing, n_compared } => {
            format!("{n_standing} plantings stand at once on {}; each is compared with {n_compared}", date(*on))
        }
        LeftOut::Fits { n_pairs } => format!("not weighed: {} sharing ground", plural(*n_pairs as i64, "pair")),
        LeftOut::History { n_stands, n_looked_back } => {
            format!("{n_stands} crops in all; rotation looks back on {n_looked_back} from each")
        }
        LeftOut::Shadows { n_crops } => {
            format!("not followed: the shadows of {}", plural(*n_crops as i64, "tall crop"))
        }
        LeftOut::Findings { n_breaches, n_cautions, n_notes } => {
            format!("at least {} not listed", by_severity(*n_breaches, *n_cautions, *n_notes))
        }
    }
}

/// What it means, and what to do.
pub(super) fn explain(left_out: &LeftOut) -> [String; 2] {
    match left_out {
        LeftOut::Neighbours { n_compared, .. } => [
            format!(
                "of the plantings that stand already, the {n_compared} that went in first are compared with each that goes in"
            ),
            "lay the bed out as several, or clear some earlier".to_owned(),
        ],
        LeftOut::Fits { .. } => [
            "so many stations share ground in this bed that not all of them are weighed against each other".to_owned(),
            "set them wider apart, or lay the bed out as several".to_owned(),
        ],
        LeftOut::History { n_looked_back, .. } => [
            format!("what stood before the last {n_looked_back} crops is not asked about"),
            "keep years far back in a file of their own".to_owned(),
        ],
        LeftOut::Shadows { .. } => [
            "so many beds lie close together here that not every shadow is followed".to_owned(),
            "look whether the places of the beds are right".to_owned(),
        ],
        LeftOut::Findings { .. } => [
            "the gravest are listed, and of those alike about one planting the first".to_owned(),
            "mend or accept some, and others show".to_owned(),
        ],
    }
}

/// `12 breaches and 1 note`, without those of which there is none.
fn by_severity(n_breaches: usize, n_cautions: usize, n_notes: usize) -> String {
    let kinds = [(n_breaches, "breach", "breaches"), (n_cautions, "caution", "cautions"), (n_notes, "note", "notes")];
    let words = kinds.into_iter().filter(|(n, _, _)| *n > 0);
    list(&words.map(|(n, one, many)| counted(n as u64, one, many)).collect::<Vec<_>>())
}
