//! What the choice of a picker and the answer of a prompt do.

use std::path::PathBuf;

use crate::garden::{Edit, EntryId, HazardSeen};
use crate::tui::layers::picker::Purpose;
use crate::tui::layers::planting_form::PlantingForm;
use crate::tui::layers::prompt::{Prompt, Question};
use crate::tui::layers::{After, Desk, Layer};
use crate::tui::screens::findings;
use crate::tui::view::Screen;

use super::Effect;
use super::commands::{apply, select_standing};

/// Acts on the choice of a picker.
pub fn picked(purpose: &Purpose, id: &str, desk: &mut Desk<'_>) -> After {
    // What could follow may be looked at in a read-only garden, not placed.
    if let Some(why) = desk.session.read_only_because() {
        let why = why.to_owned();
        desk.view.complain(why);
        return After::Stay;
    }
    match purpose {
        Purpose::Place => form_or_complaint(PlantingForm::place(desk.session, desk.view, id), desk),
        Purpose::Follow => form_or_complaint(PlantingForm::follow(desk.session, desk.view, id), desk),
        Purpose::Interplant(host) => {
            form_or_complaint(PlantingForm::interplant(desk.session, desk.view, *host, id), desk)
        }
        Purpose::Hazard => {
            if let Some(bed) = desk.session.plan().garden().beds.get(desk.view.bed_idx) {
                let seen = HazardSeen {
                    id: EntryId::NONE,
                    bed: bed.id.clone(),
                    hazard: id.to_owned(),
                    date: desk.view.week.monday(),
                    notes: String::new(),
                };
                let edit = Edit::adding(seen, desk.session.plan().garden());
                apply(desk, edit);
            }
            After::Close
        }
        Purpose::Family => {
            let years =
                desk.session.plan().garden().return_years_of(id).map(|years| years.to_string()).unwrap_or_default();
            After::Swap(Box::new(Layer::Prompt(Prompt::new(
                Question::ReturnYears(id.to_owned()),
                "Years from one crop of the family to the next (0 leaves it out, empty is the book's)",
                &years,
            ))))
        }
    }
}

fn form_or_complaint(form: Option<PlantingForm>, desk: &mut Desk<'_>) -> After {
    match form {
        Some(form) => After::Swap(Box::new(Layer::PlantingForm(Box::new(form)))),
        None => {
            desk.view.complain("this crop cannot be set out in this bed");
            After::Close
        }
    }
}

/// Acts on the answer of a prompt.
pub fn answered(question: &Question, answer: &str, desk: &mut Desk<'_>) -> After {
    let trimmed = answer.trim();
    match question {
        Question::SaveAs | Question::WriteList | Question::NewGarden if trimmed.is_empty() => {
            desk.view.complain("a file name is needed");
            After::Stay
        }
        Question::SaveAs => {
            desk.effects.push(Effect::SaveAs { path: PathBuf::from(trimmed), may_overwrite: false });
            After::Close
        }
        Question::WriteList => {
            desk.effects.push(Effect::WriteList { path: PathBuf::from(trimmed), may_overwrite: false });
            After::Close
        }
        Question::NewGarden => {
            desk.effects.push(Effect::NewGarden(PathBuf::from(trimmed)));
            After::Close
        }
        Question::GoToBed => {
            let beds = &desk.session.plan().garden().beds;
            let lower = trimmed.to_lowercase();
            let found = beds
                .iter()
                .position(|bed| bed.id.to_lowercase() == lower)
                .or_else(|| beds.iter().position(|bed| bed.id.to_lowercase().starts_with(&lower)))
                .or_else(|| beds.iter().position(|bed| bed.name.to_lowercase().contains(&lower)));
            match found {
                Some(idx) if desk.view.screen == Screen::Findings => {
                    if findings::go_to_bed(desk, idx) {
                        return After::Close;
                    }
                    let id = desk.session.plan().garden().beds.get(idx).map_or("", |bed| bed.id.as_str());
                    desk.view.complain(format!("there is no finding in {id}"));
                    After::Close
                }
                Some(idx) => {
                    desk.view.bed_idx = idx;
                    desk.view.planting = None;
                    if desk.view.screen != Screen::Ground {
                        select_standing(desk.session, desk.view);
                    }
                    After::Close
                }
                None => {
                    desk.view.complain(format!("there is no bed `{trimmed}`"));
                    After::Stay
                }
            }
        }
        Question::AcceptReason(row) => {
            if trimmed.is_empty() {
                desk.view.complain("give a reason, so that you know it next year");
                return After::Stay;
            }
            let edit = desk
                .session
                .plan()
                .findings()
                .get(*row)
                .and_then(|finding| desk.session.plan().acceptance(finding, trimmed))
                .map(|accepted| Edit::adding(accepted, desk.session.plan().garden()));
            match edit {
                Some(edit) => {
                    apply(desk, edit);
                }
                None => desk.view.complain("this finding is about no planting and cannot be accepted"),
            }
            After::Close
        }
        Question::ReturnYears(family) => {
            let years = if trimmed.is_empty() {
                None
            } else {
                match trimmed.parse::<u32>() {
                    Ok(years) if years <= 50 => Some(years),
                    _ => {
                        desk.view.complain(format!("`{trimmed}` is not a number of years from 0 to 50"));
                        return After::Stay;
                    }
                }
            };
            match Edit::return_after(family, years, desk.session.plan().garden()) {
                Some(edit) => drop(apply(desk, edit)),
                None => desk.view.say("it is so already"),
            }
            After::Close
        }
        Question::Search => {
            if desk.view.screen == Screen::Findings {
                desk.view.finding_letters = trimmed.to_owned();
                desk.view.finding_row = 0;
            } else {
                desk.view.book_letters = trimmed.to_owned();
                desk.view.book_row = 0;
                desk.view.page_row = 0;
            }
            After::Close
        }
    }
}
