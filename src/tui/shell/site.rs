//! Setting a site whose climate comes from a weather file beside the garden.

use std::sync::Arc;

use super::said::reason;
use super::{Shell, files};
use crate::garden::{ClimateChoice, Edit, Site};
use crate::tui::layers::Layer;

impl Shell {
    /// Reads the weather records that a site names, and sets the site; its form says what is wrong.
    pub(super) fn set_site(&mut self, site: Site) {
        match self.try_set_site(site) {
            Ok(done) => {
                self.ui.layers.retain(|layer| !matches!(layer, Layer::SiteForm(_)));
                self.ui.view.say(done);
            }
            Err(why) => match self.ui.layers.last_mut() {
                Some(Layer::SiteForm(form)) => form.refuse(why),
                _ => self.ui.view.complain(why),
            },
        }
    }

    fn try_set_site(&mut self, site: Site) -> Result<String, String> {
        let mut repairs = String::new();
        if let ClimateChoice::Weather { file } = &site.climate {
            let path = self
                .session
                .path
                .as_ref()
                .ok_or("this garden has no file yet; S saves it, and records lie beside it")?;
            let read = files::weather(&path.with_file_name(file)).map_err(|error| reason(&error))?;
            if let Some(first) = read.repairs.first() {
                let more = read.repairs.len() - 1;
                repairs = if more == 0 { format!("; {first}") } else { format!("; {first}, and {more} more repairs") };
            }
            // Records too short for normals are refused before anything changes.
            crate::climate::of_site(&site, Some(&read.weather)).map_err(|error| error.to_string())?;
            self.session.sitting.know_weather(file, Arc::new(read.weather));
        }
        let title = self.session.apply(Edit::SetSite(site)).map_err(|error| error.to_string())?;
        Ok(format!("{title} (u undoes){repairs}"))
    }
}
