//! `export`: tables for a spreadsheet; and how every export reaches its file.

use std::io;
use std::path::Path;

use anyhow::{Context as _, Result, bail};
use serde::Serialize;

use super::Common;
use super::answer::{Answer, Say};
use super::args::{Export, OutArgs, TableArgs};
use super::files::plan_of;
use crate::export::{further_rows, planting_rows, planting_table};
use crate::season::Plan;
use crate::store::{self, StoreError};
use crate::units::text::{json_escaped, shown_path};
use crate::words::counted;

/// Rows that are brought to the reader at once.
const N_AT_ONCE: usize = 256;

#[derive(Serialize)]
struct Written {
    file: String,
    plantings: usize,
}

/// Prints a table, or writes it to a file.
pub fn run(common: &Common, what: &Export) -> Result<Answer> {
    match what {
        Export::Plantings(args) => plantings(common, args),
    }
}

fn plantings(common: &Common, args: &TableArgs) -> Result<Answer> {
    let plan = plan_of(common, &args.file)?;
    let Some(out) = &args.target.out else {
        let is_json = common.is_json;
        return Ok(Answer::told(move |say| if is_json { tell_json(&plan, say) } else { tell_table(&plan, say) }));
    };
    let mut table = String::new();
    tell_table(&plan, &mut |lines| {
        table.push_str(lines);
        Ok(())
    })
    .context("the table cannot be written")?;
    let remarks = write_out(out, &args.target, &args.file, table.as_bytes())?;
    let written = Written { file: out.display().to_string(), plantings: plan.garden().plantings.len() };
    let answer = Answer::of(common, &written, |page| {
        let n_plantings = counted(written.plantings as u64, "planting", "plantings");
        page.pieces(&[&format!("wrote {n_plantings} to"), &written.file]);
    })?;
    Ok(answer.with_remarks(remarks))
}

/// The table, some rows at a time.
fn tell_table(plan: &Plan, say: &mut Say<'_>) -> io::Result<()> {
    let mut rows = planting_rows(plan);
    let mut some = || rows.by_ref().take(N_AT_ONCE).collect::<Vec<_>>();
    say(&planting_table(&some())?)?;
    loop {
        let some = some();
        if some.is_empty() {
            return Ok(());
        }
        say(&further_rows(&some)?)?;
    }
}

/// One list of objects.
fn tell_json(plan: &Plan, say: &mut Say<'_>) -> io::Result<()> {
    let mut before = "[";
    for row in planting_rows(plan) {
        say(&format!("{before}{}", json_escaped(serde_json::to_string(&row)?)))?;
        before = ",";
    }
    say(if before == "[" { "[]\n" } else { "]\n" })
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
