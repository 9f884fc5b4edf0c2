//! What is on the screen: the view, and the layers in front of it.

use crate::units::Week;

use super::layers::Layer;
use super::view::{Options, View};

/// All that the screen shows besides the garden.
#[derive(Debug, Clone)]
pub struct Ui {
    /// What is looked at.
    pub view: View,
    /// Layers over the screen, the front one last.
    pub layers: Vec<Layer>,
}

impl Ui {
    /// A fresh look at a garden in a week, with nothing in front of it.
    pub fn new(week: Week, options: Options) -> Self {
        Self { view: View::new(week, options), layers: Vec::new() }
    }
}
