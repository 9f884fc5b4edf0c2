//! The garden file: reading with errors that point at the line. Writing is in `write`.

use std::borrow::Cow;

use super::complaint::{self, Complaint, FileError};
use super::format::{self, Unreadable};
use super::write::ron_options;
use super::{ClimateChoice, FORMAT, Garden, List, MonthDay, Site, limits, scan, validate};
use crate::units::list::Shared;
use crate::units::text::cut;

impl Garden {
    /// Reads a garden from the text of a file; `file_name` is for messages. Plantings and rows of lists are put in
    /// order of their numbers, rows without one are given the next; comments at the head are kept.
    ///
    /// # Errors
    /// Not RON, unknown or missing fields, a newer format, or contents that do not hold together.
    pub fn from_ron(text: &str, file_name: &str) -> Result<Self, FileError> {
        let text = plain(text);
        let text = text.as_ref();
        let whole = |title: String, help: &str| {
            let (at, label, help, also) = (None, String::new(), vec![help.to_owned()], Vec::new());
            Complaint { text, file_name, title, at, label, help, also }.into_error()
        };
        if text.contains('\0') {
            let help = "a garden file is plain text; is it the right file?";
            return Err(whole("the file is not text: it holds zero bytes".to_owned(), help));
        }
        if scan::is_comment(text) {
            let help = "take the last whole copy, or start a new garden under another name";
            return Err(whole("the file is empty".to_owned(), help));
        }
        let newer = |number: u64| {
            let title = format!("written by a newer bedfellow (format {number}; this program reads {FORMAT})");
            whole(title, "the file is left untouched; open it with a newer bedfellow")
        };
        let no_way = |number: u64| {
            let title = format!("there is no format {number}; this program reads {FORMAT}");
            whole(title, &format!("the file is left untouched; it should say `format: {FORMAT}`"))
        };
        let text = &format::brought_up(text).map_err(|unreadable| match unreadable {
            Unreadable::Newer(number) => newer(number),
            Unreadable::NoWay(number) => no_way(number),
            Unreadable::Step { from, why } => {
                let title = format!("the file cannot be brought from format {from} to {FORMAT}: {why}");
                whole(title, "the file is left untouched; correct that place in it")
            }
        })?;
        let now_in = format!("{file_name}, brought up to format {FORMAT}");
        let file_name = if matches!(text, Cow::Owned(_)) { now_in.as_str() } else { file_name };
        let mut garden: Self =
            ron_options().from_str(text).map_err(|error| complaint::of_parser(&error, text, file_name))?;
        // The format may be written so that the look above did not find it.
        if garden.format != FORMAT {
            let number = u64::from(garden.format);
            return Err(if garden.format > FORMAT { newer(number) } else { no_way(number) });
        }
        scan::head_comment(text).clone_into(&mut garden.header_comment);
        if !garden.plantings.is_sorted_by_key(|planting| planting.id) {
            garden.plantings.sort_by_key(|planting| planting.id);
        }
        // Problems name rows by their places in the file, so these are put in order only afterwards.
        for list in List::ALL {
            list.number(&mut garden);
        }
        if let Some(error) = complaint::of_problems(&validate(&garden), text, file_name) {
            return Err(error);
        }
        for list in List::ALL {
            list.sort(&mut garden);
        }
        Ok(garden)
    }

    /// An empty garden. The site is a starting value, to be corrected by the grower: an inland upland at 54° N,
    /// last frost about 20 May and first about 1 October.
    pub fn empty(name: &str) -> Self {
        Self {
            format: FORMAT,
            name: cut(name.trim(), limits::NAME_CHARS - 1),
            site: Site {
                latitude_deg: 54.0,
                longitude_deg: None,
                elevation_m: 250,
                last_frost: MonthDay { month: 5, day: 20 },
                first_frost: MonthDay { month: 10, day: 1 },
                currency: "GBP".to_owned(),
                climate: ClimateChoice::Book("maritime-upland".to_owned()),
            },
            return_years: Vec::new(),
            beds: Shared::default(),
            plantings: Vec::new(),
            happened: Shared::default(),
            past: Shared::default(),
            hazards_seen: Shared::default(),
            soil_log: Shared::default(),
            accepted: Shared::default(),
            kept_quiet: Shared::default(),
            households: Shared::default(),
            box_kinds: Shared::default(),
            prices: Shared::default(),
            expenses: Shared::default(),
            seed_tin: Shared::default(),
            own_crops: Shared::default(),
            header_comment: String::new(),
        }
    }
}

/// The text without a byte order mark and with line ends as `\n`, both of which editors put in unasked.
fn plain(text: &str) -> Cow<'_, str> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.contains('\r') { text.replace("\r\n", "\n").into() } else { text.into() }
}
