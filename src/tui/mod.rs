//! The full screen.
//!
//! An event becomes an [`Input`], [`update()`] turns it into changes of the [`Ui`], edits of the plan and
//! [`Effect`]s; [`draw()`] paints session and ui and changes neither. Only [`shell`] performs effects.
//! One table, [`keys::COMMANDS`], drives handling, bottom line, help, finder and the README's key table.
//!
//! Imports run one way, from the first of these to the last: [`shell`], [`mod@draw`], [`mod@update`], [`ui`], [`screens`], [`layers`],
//! [`context`], [`widgets`], [`scene`], [`keys`], [`view`], [`session`]. So a layer or a screen does not open another one, or
//! run a command: it says so in what it returns ([`layers::After`], [`screens::Ran`]).
//!
//! ```text
//! +--------------------------------------------------------------+
//! | top line: garden, screen, week            widgets/bars.rs    |
//! +--------------------------------------------------------------+
//! |                                                              |
//! | body: one of screens/{ground,bed,year,book,findings}.rs      |
//! |        +------------------------------------------+          |
//! |        | layers/*.rs: forms, help, finder, why     |          |
//! |        +------------------------------------------+          |
//! +--------------------------------------------------------------+
//! | bottom line: keys of this screen, or what was just done      |
//! +--------------------------------------------------------------+
//! ```

pub mod context;
pub mod draw;
pub mod effect;
#[cfg(test)]
mod fixture;
pub mod keys;
pub mod layers;
pub mod scene;
pub mod screens;
pub mod session;
pub mod shell;
pub mod signs;
pub mod theme;
pub mod ui;
pub mod update;
pub mod view;
pub mod widgets;
mod wording;

pub use draw::draw;
pub use effect::Effect;
pub use session::Session;
pub use shell::{Start, run};
pub use ui::Ui;
pub use update::{Input, update};
pub use view::{Options, Screen, View};
