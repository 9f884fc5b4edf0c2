//! What a command or a key of a layer works on: the garden, what is looked at, and what the shell is to do afterwards.

use crate::garden::Edit;

use super::effect::Effect;
use super::keys::Key;
use super::session::Session;
use super::view::View;
use super::widgets::line::{Line, Pasted, Typed};

/// What may be touched while a key is handled.
pub struct Context<'a> {
    /// The garden.
    pub session: &'a mut Session,
    /// What is looked at.
    pub view: &'a mut View,
    /// What the shell is to do afterwards.
    pub effects: &'a mut Vec<Effect>,
}

impl Context<'_> {
    /// Makes an edit and says so, or says why not; whether it was made.
    pub fn apply(&mut self, edit: Edit) -> bool {
        match self.session.apply(edit) {
            Ok(title) => {
                self.view.say(format!("{title} (u undoes)"));
                true
            }
            Err(error) => {
                self.view.complain(error.to_string());
                false
            }
        }
    }

    /// Says what a field did not take, if there was something.
    pub fn say_untaken(&mut self, said: Option<String>) {
        if let Some(said) = said {
            self.view.complain(said);
        }
    }

    /// Types into a line; whether its value changed. Says if it takes no more.
    pub fn type_into(&mut self, line: &mut Line, key: Key) -> bool {
        let typed = line.key(key);
        if typed == Typed::Full {
            self.view.complain(line.when_full());
        }
        typed == Typed::Value
    }

    /// Pastes into a line; says if not all of it was taken.
    pub fn paste_into(&mut self, line: &mut Line, pasted: &str) {
        if line.paste(pasted, |_| true) == Pasted::Cut {
            self.view.complain(line.when_cut());
        }
    }
}
