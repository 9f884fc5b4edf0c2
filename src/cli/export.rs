//! `export`: tables for a spreadsheet; and how every export reaches its file.

use std::path::Path;

use anyhow::{Context as _, Result, bail};
use serde::Serialize;

use super::Desk;
use super::answer::Answer;
use super::args::{Export, OutArgs, TableArgs};
use super::files::plan_of;
use crate::export::{counted, planting_rows, planting_table};
use crate::store::{self, StoreError};
use crate::units::text::shown_path;

#[derive(Serialize)]
struct Written {
    file: String,
    plantings: usize,
}

/// Prints a table, or writes it to a file.
pub fn run(desk: &Desk, what: &Export) -> Result<Answer> {
    let Export::Plantings(args) = what;
    plantings(desk, args)
}

fn plantings(desk: &Desk, args: &TableArgs) -> Result<Answer> {
    let plan = plan_of(desk, &args.file)?;
    let rows = planting_rows(&plan);
    if desk.is_json && args.target.out.is_none() {
        return Answer::of(desk, &rows, |_| {});
    }
    let table = planting_table(&rows).context("the table cannot be written")?;
    let Some(out) = &args.target.out else { return Ok(Answer::text(table)) };
    let remarks = write_out(out, &args.target, &args.file, table.as_bytes())?;
    let written = Written { file: out.display().to_string(), plantings: rows.len() };
    let answer = Answer::of(desk, &written, |page| {
        let n_plantings = counted(written.plantings as u64, "planting", "plantings");
        page.pieces(&[&format!("wrote {n_plantings} to"), &written.file]);
    })?;
    Ok(answer.with_remarks(remarks))
}

/// Writes an export whole: never over the garden file, over another file only if asked to, and over one with several names never.
/// Gives what is to be remarked: of that file's owner and group may not all be kept.
///
/// # Errors
/// One line that says what to do.
pub fn write_out(out: &Path, how: &OutArgs, garden_file: &Path, bytes: &[u8]) -> Result<Vec<String>> {
    if is_same_file(out, garden_file) {
        bail!("--out {} is the garden file itself; choose another name", shown_path(out));
    }
    if how.overwrite {
        if store::n_names(out) > 1 {
            bail!(
                "--out {} is one of several names of the same file (hard links), which would part; choose another name",
                shown_path(out)
            );
        }
        let not_kept = store::write_whole(out, bytes)?;
        let remark = not_kept.is_any().then(|| format!("{}: {not_kept}", shown_path(out)));
        return Ok(remark.into_iter().collect());
    }
    match store::write_whole_new(out, bytes) {
        Err(StoreError::AlreadyThere { path }) => {
            bail!("{} is there already; --overwrite writes over it, or choose another name", shown_path(&path))
        }
        result => Ok(result.map(|()| Vec::new())?),
    }
}

fn is_same_file(one: &Path, other: &Path) -> bool {
    one == other || matches!((one.canonicalize(), other.canonicalize()), (Ok(one), Ok(other)) if one == other)
}
