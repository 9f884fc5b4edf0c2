//! What the choice of a picker and the answer of a prompt do.

use std::path::PathBuf;

use crate::garden::{Edit, EntryId, HazardSeen, Quiet};
use crate::tui::context::Context;
use crate::tui::effect::Effect;
use crate::tui::layers::picker::Purpose;
use crate::tui::layers::planting_form::PlantingForm;
use crate::tui::layers::prompt::{Prompt, Question};
use crate::tui::layers::{After, Layer};
use crate::tui::screens::findings;
use crate::tui::view::Screen;

/// Acts on what was chosen from a list.
pub fn chosen(purpose: &Purpose, id: &str, cx: &mut Context<'_>) -> After {
    // What could follow may be looked at in a read-only garden, not placed.
    if let Some(why) = cx.session.read_only_because() {
        let why = why.to_owned();
        cx.view.complain(why);
        return After::Stay;
    }
    match purpose {
        Purpose::Place => form_or_complaint(PlantingForm::place(cx.session, cx.view, id), cx),
        Purpose::Follow => form_or_complaint(PlantingForm::follow(cx.session, cx.view, id), cx),
        Purpose::Interplant(host) => form_or_complaint(PlantingForm::interplant(cx.session, cx.view, *host, id), cx),
        Purpose::Hazard => {
            if let Some(bed) = cx.session.plan().garden().beds.get(cx.view.bed_idx) {
                let seen = HazardSeen {
                    id: EntryId::NONE,
                    bed: bed.id.clone(),
                    hazard: id.to_owned(),
                    date: cx.view.week.monday(),
                    notes: String::new(),
                };
                let edit = Edit::adding(seen, cx.session.plan().garden());
                cx.apply(edit);
            }
            After::Close
        }
        Purpose::Quiet(row) => {
            let (keeps_bed, keeps_crop) = (id.starts_with("bed"), id.ends_with("crop"));
            let quiet = Quiet {
                bed: row.bed.clone().filter(|_| keeps_bed),
                crop: row.crop.clone().filter(|_| keeps_crop),
                ..row.clone()
            };
            let title = format!("Reason to {}", Edit::put(quiet.clone()).title(cx.session.plan().garden()));
            After::Swap(Box::new(Layer::Prompt(Prompt::new(Question::QuietReason(quiet), title, ""))))
        }
        Purpose::Family => {
            let years =
                cx.session.plan().garden().return_years_of(id).map(|years| years.to_string()).unwrap_or_default();
            After::Swap(Box::new(Layer::Prompt(Prompt::new(
                Question::ReturnYears(id.to_owned()),
                "Years from one crop of the family to the next (0 leaves it out, empty is the book's)",
                &years,
            ))))
        }
    }
}

fn form_or_complaint(form: Option<PlantingForm>, cx: &mut Context<'_>) -> After {
    match form {
        Some(form) => After::Swap(Box::new(Layer::PlantingForm(Box::new(form)))),
        None => {
            cx.view.complain("this crop cannot be set out in this bed");
            After::Close
        }
    }
}

/// Acts on the answer of a prompt.
pub fn answered(question: &Question, answer: &str, cx: &mut Context<'_>) -> After {
    let trimmed = answer.trim();
    match question {
        Question::SaveAs | Question::WriteList | Question::NewGarden if trimmed.is_empty() => {
            cx.view.complain("a file name is needed");
            After::Stay
        }
        Question::SaveAs => {
            cx.effects.push(Effect::SaveAs { path: PathBuf::from(trimmed), may_overwrite: false });
            After::Close
        }
        Question::WriteList => {
            cx.effects.push(Effect::WriteList { path: PathBuf::from(trimmed), may_overwrite: false });
            After::Close
        }
        Question::NewGarden => {
            cx.effects.push(Effect::NewGarden(PathBuf::from(trimmed)));
            After::Close
        }
        Question::GoToBed => {
            let beds = &cx.session.plan().garden().beds;
            let lower = trimmed.to_lowercase();
            let found = beds
                .iter()
                .position(|bed| bed.id.to_lowercase() == lower)
                .or_else(|| beds.iter().position(|bed| bed.id.to_lowercase().starts_with(&lower)))
                .or_else(|| beds.iter().position(|bed| bed.name.to_lowercase().contains(&lower)));
            match found {
                Some(idx) if cx.view.screen == Screen::Findings => {
                    if findings::go_to_bed(cx, idx) {
                        return After::Close;
                    }
                    let id = cx.session.plan().garden().beds.get(idx).map_or("", |bed| bed.id.as_str());
                    cx.view.complain(format!("there is no finding in {id}"));
                    After::Close
                }
                Some(idx) => {
                    cx.view.bed_idx = idx;
                    cx.view.planting = None;
                    if cx.view.screen != Screen::Ground {
                        cx.view.select_standing(cx.session);
                    }
                    After::Close
                }
                None => {
                    cx.view.complain(format!("there is no bed `{trimmed}`"));
                    After::Stay
                }
            }
        }
        Question::AcceptReason(row) => {
            if trimmed.is_empty() {
                cx.view.complain("give a reason, so that you know it next year");
                return After::Stay;
            }
            let edit = cx
                .session
                .plan()
                .finding_at(*row)
                .and_then(|finding| cx.session.plan().acceptance(finding, trimmed))
                .map(|accepted| Edit::adding(accepted, cx.session.plan().garden()));
            match edit {
                Some(edit) => {
                    cx.apply(edit);
                }
                None => cx.view.complain("this finding is about no planting and cannot be accepted"),
            }
            After::Close
        }
        Question::QuietReason(quiet) => {
            if trimmed.is_empty() {
                cx.view.complain("give a reason, so that you know it next year");
                return After::Stay;
            }
            let quiet = Quiet { reason: trimmed.to_owned(), ..quiet.clone() };
            let edit = Edit::adding(quiet, cx.session.plan().garden());
            cx.apply(edit);
            After::Close
        }
        Question::ReturnYears(family) => {
            let years = if trimmed.is_empty() {
                None
            } else {
                match trimmed.parse::<u32>() {
                    Ok(years) if years <= 50 => Some(years),
                    _ => {
                        cx.view.complain(format!("`{trimmed}` is not a number of years from 0 to 50"));
                        return After::Stay;
                    }
                }
            };
            match Edit::return_after(family, years, cx.session.plan().garden()) {
                Some(edit) => drop(cx.apply(edit)),
                None => cx.view.say("it is set to that already"),
            }
            After::Close
        }
        Question::Search => {
            if cx.view.screen == Screen::Findings {
                cx.view.finding_letters = trimmed.to_owned();
                cx.view.finding_row = 0;
            } else {
                cx.view.book_letters = trimmed.to_owned();
                cx.view.book_row = 0;
                cx.view.page_row = 0;
            }
            After::Close
        }
    }
}
