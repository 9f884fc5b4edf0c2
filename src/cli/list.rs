//! `list`: the planting list.

use anyhow::{Result, bail};
use chrono::NaiveDate;
use serde::Serialize;

use super::Common;
use super::answer::Answer;
use super::args::ListArgs;
use super::export;
use super::files::{bed_idx_of, plan_of};
use crate::export::{ListOptions, PlantingList, write_list};
use crate::units::Week;

/// Weeks a list holds if no end is asked for: a year and its first week again.
const LIST_WEEKS: i64 = 53;

#[derive(Serialize)]
struct Written {
    file: String,
    from: NaiveDate,
    to: NaiveDate,
}

/// Prints the list, or writes it to a file.
pub fn run(common: &Common, args: &ListArgs) -> Result<Answer> {
    let plan = plan_of(common, &args.file)?;
    let bed = match &args.bed {
        Some(id) => plan.garden().beds.get(bed_idx_of(&plan, id)?).map(|bed| bed.id.clone()),
        None => None,
    };
    let (from, to) = span(|| common.today(), args)?;
    let options = ListOptions { from: Some(from), to: Some(to), bed, is_ascii: common.is_ascii };
    let list = PlantingList::of_plan(&plan, &options);
    let text = write_list(&list, common.is_ascii);
    let Some(out) = &args.target.out else {
        return if common.is_json { Answer::of(common, &list, |_| {}) } else { Ok(Answer::text(text)) };
    };
    let remarks = export::write_out(out, &args.target, &args.file, text.as_bytes())?;
    let written = Written { file: out.display().to_string(), from, to };
    let answer = Answer::of(common, &written, |page| {
        page.pieces(&["wrote the planting list to", &written.file]);
    })?;
    Ok(answer.with_remarks(remarks))
}

/// Asks for today only if no beginning was given.
fn span(today: impl FnOnce() -> Result<NaiveDate>, args: &ListArgs) -> Result<(NaiveDate, NaiveDate)> {
    let from = match args.from {
        Some(from) => from,
        None => Week::of(today()?).monday(),
    };
    let to = args.to.unwrap_or_else(|| Week::of(from).plus(LIST_WEEKS - 1).sunday());
    if to < from {
        bail!("the list would end on {to}, before it begins on {from}; --from may not be later than --to");
    }
    Ok((from, to))
}
