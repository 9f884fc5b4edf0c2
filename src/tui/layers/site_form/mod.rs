//! The form of the site: latitude, height, frosts, currency, climate, and what follows from them.
//!
//! ```text
//! +- Place and climate ----------------------------------------+
//! | > latitude, °    [ 54            |                          |
//! |   longitude, °     -2.6                                     |
//! |   height, m        215                                      |
//! |   last frost       22 May                                   |
//! |   first frost      2 Oct                                    |
//! |   currency         GBP                                      |
//! |   climate          own months                               |
//! |           Jan  Feb  Mar …        months.rs                  |
//! |------------------------------------------------------------|
//! | longest day 17.1 h, shortest 7.4 h; under ten hours from …  |
//! +------------------------------------------------------------+
//! ```

mod months;

use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::climate::{self, Climate, DEFAULT_SPREAD_C, SiteYear, frosts_of_its_own, half_a_year_on};
use crate::garden::{ClimateChoice, Edit, Garden, MonthDay, Site, limits};
use crate::season::Plan;
use crate::tui::context::Context;
use crate::tui::effect::Effect;
use crate::tui::keys::{Act, Front, Key, act_for};
use crate::tui::scene::Scene;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::widgets::fields::{Fields, Kind, Touched, parse_day_of_year};
use crate::tui::widgets::line::Pasted;
use crate::tui::widgets::{paint, text};
use crate::units::text::shown;
use crate::words::{climate_words, counted, decimal, month_day};
use months::Months;

/// Cells of labels.
const LABEL_CELLS: u16 = 20;
/// Cells of the box.
const CELLS: u16 = 78;
/// Lines for what follows from the fields, including the rule above them.
const MEANING_LINES: u16 = 8;
/// The choices besides the named climates.
const NEAREST: &str = "nearest";
const OWN_MONTHS: &str = "own months";
const WEATHER_FILE: &str = "weather file";
/// Default name of the weather file.
const WEATHER_NAME: &str = "weather.csv";

/// A field's label, and what is wrong with it.
type Trouble = (&'static str, String);

/// The form.
#[derive(Debug, Clone)]
pub struct SiteForm {
    before: Site,
    /// Nothing has been entered about the place yet.
    is_new: bool,
    fields: Fields,
    months: Months,
    /// The grower gave frost days in this form, so they do not follow the latitude.
    is_frost_given: bool,
    draft: Result<Site, Trouble>,
    /// The climate of the last valid draft, and its year.
    meaning: Option<(Climate, SiteYear)>,
    trouble: Option<String>,
}

impl SiteForm {
    /// A form for the site of a garden.
    pub fn of(session: &Session) -> Self {
        let garden = session.plan().garden();
        let before = garden.site.clone();
        let is_new = garden.beds.is_empty() && before == Garden::empty(&garden.name).site;
        let climate = session.plan().climate_of(&before).ok();
        let months = match (&before.climate, &climate) {
            (ClimateChoice::Normals { tmin_c, tmax_c, rain_mm, .. }, _) => {
                Months::of_lists(tmin_c, tmax_c, rain_mm.as_deref())
            }
            (_, Some(climate)) => Months::of(&climate.normals),
            (_, None) => Months::of_lists(&[], &[], None),
        };
        let mut form = Self {
            fields: fields_of(&before, is_new),
            is_new,
            months,
            is_frost_given: false,
            draft: Ok(before.clone()),
            meaning: None,
            trouble: None,
            before,
        };
        form.fields.focus_on("latitude");
        form.leave_frosts_to_climate(session.plan());
        form.work_out(session.plan());
        form
    }

    /// Empties frost days that are those of the climate, so that they follow it when the place changes.
    fn leave_frosts_to_climate(&mut self, plan: &Plan) {
        let Some((last, first)) = frosts_by_climate(plan, &self.before) else { return };
        for (name, own, by_climate) in
            [("last_frost", self.before.last_frost, last), ("first_frost", self.before.first_frost, first)]
        {
            if by_climate == Some(own) {
                self.fields.set(name, "");
            }
        }
    }

    /// Moves and edits; Enter sets the site.
    pub fn key(&mut self, act: Option<Act>, key: Key, cx: &mut Context<'_>) -> After {
        match act {
            Some(Act::Back) => return After::Close,
            Some(Act::Take) => return self.set(cx),
            _ => {}
        }
        let is_changed = if self.months.is_entered() { self.months_key(key) } else { self.fields_key(key) };
        if is_changed {
            self.trouble = None;
            self.work_out(cx.session.plan());
        }
        cx.say_untaken(self.fields.said());
        After::Stay
    }

    /// Handles a key in the grid of months; whether a figure changed.
    fn months_key(&mut self, key: Key) -> bool {
        match self.months.key(key) {
            months::Touched::Value => return true,
            months::Touched::Below => self.fields.focus_on("latitude"),
            months::Touched::Above => self.fields.focus_on("spread"),
            months::Touched::Moved | months::Touched::Full | months::Touched::Pass => {}
        }
        false
    }

    /// Handles a key in the fields; whether a value changed.
    fn fields_key(&mut self, key: Key) -> bool {
        if self.choice() == OWN_MONTHS {
            let act = act_for(key, &[Front::Fields]);
            let is_on = act == Some(Act::Down) && self.fields.is_at_end();
            let is_back = act == Some(Act::Up) && self.fields.is_at_start();
            if is_on || is_back {
                self.months.enter(is_on);
                return false;
            }
        }
        let was_southern = self.is_southern();
        let touched = self.fields.key(key);
        self.follow(touched, was_southern)
    }

    /// Updates the fields that depend on a changed one; whether a value changed.
    fn follow(&mut self, touched: Touched, was_southern: bool) -> bool {
        let Touched::Value(name) = touched else { return false };
        match name {
            "last_frost" | "first_frost" => self.is_frost_given = true,
            "latitude" if was_southern != self.is_southern() && !self.is_frost_given => {
                for name in ["last_frost", "first_frost"] {
                    if let Some(day) = parse_day_of_year(self.fields.value(name)) {
                        self.fields.set(name, &month_day(half_a_year_on(day)));
                    }
                }
            }
            "climate" => show_what_is_needed(&mut self.fields),
            _ => {}
        }
        true
    }

    fn choice(&self) -> &str {
        self.fields.value("climate")
    }

    fn is_southern(&self) -> bool {
        number(self.fields.value("latitude")).is_some_and(|latitude| latitude < 0.0)
    }

    /// Reads the fields and works out what they mean.
    fn work_out(&mut self, plan: &Plan) {
        self.draft = self.read(plan);
        let place = self.read_place();
        let of_climate = place.as_ref().ok().and_then(|site| frosts_by_climate(plan, site));
        for field in &mut self.fields.fields {
            let frost = match field.name {
                "last_frost" => of_climate.map(|frosts| frosts.0),
                "first_frost" => of_climate.map(|frosts| frosts.1),
                _ => continue,
            };
            field.when_empty = frost
                .flatten()
                .map_or_else(|| "none by this climate".to_owned(), |day| format!("{} by this climate", month_day(day)));
        }
        self.meaning = self.draft.as_ref().ok().and_then(|site| {
            let climate = plan.climate_of(site).ok()?;
            let year = SiteYear::of(&climate);
            Some((climate, year))
        });
    }

    /// Reads all fields but the frosts, which stay as they were.
    fn read_place(&self) -> Result<Site, Trouble> {
        let value = |name: &str| self.fields.value(name).trim();
        let latitude_deg = number(value("latitude"))
            .ok_or_else(|| ("latitude", format!("`{}` is not a number of degrees", value("latitude"))))?;
        let longitude_deg = match value("longitude") {
            "" => None,
            words => Some(number(words).ok_or_else(|| ("longitude", format!("`{words}` is not a number of degrees")))?),
        };
        let elevation_m = value("elevation")
            .parse()
            .map_err(|_| ("height", format!("`{}` is not a whole number of metres", value("elevation"))))?;
        let climate = match self.choice() {
            NEAREST => ClimateChoice::Nearest,
            OWN_MONTHS => {
                let (tmin_c, tmax_c, rain_mm) = self.months.lists().map_err(|trouble| ("own months", trouble))?;
                let spread = value("spread");
                let spread_c = match (spread.is_empty(), number(spread)) {
                    (true, _) => None,
                    (false, Some(spread)) => Some(spread),
                    (false, None) => return Err(("years differ by", format!("`{spread}` is not a number of degrees"))),
                };
                ClimateChoice::Normals { tmin_c, tmax_c, rain_mm, spread_c }
            }
            WEATHER_FILE => {
                let file = if value("file").is_empty() { WEATHER_NAME } else { value("file") };
                ClimateChoice::Weather { file: file.to_owned() }
            }
            name => ClimateChoice::Book(name.to_owned()),
        };
        Ok(Site {
            latitude_deg,
            longitude_deg,
            elevation_m,
            currency: value("currency").to_uppercase(),
            climate,
            ..self.before.clone()
        })
    }

    fn read(&self, plan: &Plan) -> Result<Site, Trouble> {
        let mut site = self.read_place()?;
        // Records are read only when the site is set.
        if !matches!(site.climate, ClimateChoice::Weather { .. }) {
            plan.climate_of(&site).map_err(|error| ("climate", error.to_string()))?;
        }
        let by_climate = frosts_by_climate(plan, &site).unwrap_or((None, None));
        let day = |name: &'static str, label: &'static str, by_climate: Option<MonthDay>| {
            let words = self.fields.value(name).trim();
            match (words.is_empty(), parse_day_of_year(words), by_climate) {
                (true, _, Some(day)) | (false, Some(day), _) => Ok(day),
                (true, _, None) => Err((label, "this climate has no frost; give a day, such as 22 May".to_owned())),
                (false, None, _) => Err((label, format!("`{words}` is not a day of the year, such as 22 May"))),
            }
        };
        site.last_frost = day("last_frost", "last frost", by_climate.0)?;
        site.first_frost = day("first_frost", "first frost", by_climate.1)?;
        Ok(site)
    }

    fn set(&mut self, cx: &mut Context<'_>) -> After {
        let site = match &self.draft {
            Ok(site) => site.clone(),
            Err((label, trouble)) => {
                self.trouble = Some(format!("{label}: {trouble}"));
                return After::Stay;
            }
        };
        if site == self.before && !self.is_new {
            cx.view.say("nothing was changed");
            return After::Close;
        }
        // The shell reads the weather file, and closes this form or tells it what is wrong.
        if matches!(site.climate, ClimateChoice::Weather { .. }) {
            cx.effects.push(Effect::SetSite(Box::new(site)));
            return After::Stay;
        }
        if cx.apply(Edit::SetSite(site)) {
            if self.is_new {
                cx.view.say("the place is set (u undoes); N lays out the first bed");
            }
            return After::Close;
        }
        self.trouble = cx.view.notice.take().map(|notice| notice.text);
        After::Stay
    }

    /// Says why the site was not set.
    pub fn refuse(&mut self, why: impl Into<String>) {
        self.trouble = Some(why.into());
    }

    /// Takes pasted text.
    pub fn paste(&mut self, pasted: &str, cx: &mut Context<'_>) {
        let is_changed = if self.months.is_entered() {
            let pasted = self.months.paste(pasted);
            if pasted == Pasted::Cut {
                cx.view.complain(format!("cut to {} characters", months::FIGURE_CHARS));
            }
            pasted != Pasted::Nothing
        } else {
            let was_southern = self.is_southern();
            let touched = self.fields.paste(pasted);
            self.follow(touched, was_southern)
        };
        if is_changed {
            self.trouble = None;
            self.work_out(cx.session.plan());
        }
        cx.say_untaken(self.fields.said());
    }

    /// Draws it.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { session, theme, signs, .. } = scene;
        let title = if self.is_new { "Where is the garden?" } else { "Place and climate" };
        let n_fields = u16::try_from(self.fields.fields.iter().filter(|field| field.is_shown).count()).unwrap_or(0);
        let grid_lines = if self.choice() == OWN_MONTHS { months::LINES } else { 0 };
        let size = (CELLS, n_fields + grid_lines + MEANING_LINES + 2);
        let inside = paint::layer_box(frame.buffer_mut(), area, size, title, theme, signs);
        let fields = Rect { height: n_fields.min(inside.height.saturating_sub(grid_lines)), ..inside };
        self.draw_fields(frame, fields, theme, signs);
        let grid = Rect { y: fields.bottom(), height: grid_lines.min(inside.bottom() - fields.bottom()), ..inside };
        if grid.height > 0 {
            self.months.draw(frame, grid, theme, signs);
        }
        let rest = Rect { y: grid.bottom(), height: inside.bottom() - grid.bottom(), ..inside };
        if rest.height < 2 {
            return;
        }
        let buf = frame.buffer_mut();
        paint::put(buf, rest, rest.x, rest.y, &signs.rule.repeat(usize::from(rest.width)), theme.faint());
        let width = usize::from(rest.width.saturating_sub(2)).max(1);
        let trouble = self.trouble.iter().map(|words| (format!("{} {words}", signs.breach), theme.trouble()));
        let lines = trouble.chain(self.meaning_lines(session, signs).into_iter().map(|words| (words, theme.plain())));
        let wrapped =
            lines.flat_map(|(words, style)| text::wrap(&words, width).into_iter().map(move |line| (line, style)));
        for ((line, style), y) in wrapped.zip(rest.y + 1..rest.bottom()) {
            paint::put(buf, rest, rest.x + 1, y, &line, style);
        }
    }

    /// Draws the fields; without a focus while the cursor is in the grid.
    fn draw_fields(&self, frame: &mut Frame, area: Rect, theme: Theme, signs: &Signs) {
        if !self.months.is_entered() {
            self.fields.draw(frame, area, LABEL_CELLS, theme, signs);
            return;
        }
        let mut unfocused = self.fields.clone();
        unfocused.focus = usize::MAX;
        unfocused.draw(frame, area, LABEL_CELLS, theme, signs);
    }

    fn meaning_lines(&self, session: &Session, signs: &Signs) -> Vec<String> {
        if let Err((label, trouble)) = &self.draft {
            return if self.trouble.is_some() { Vec::new() } else { vec![format!("{label}: {trouble}")] };
        }
        let Some((climate, year)) = &self.meaning else {
            let file = match &self.draft {
                Ok(Site { climate: ClimateChoice::Weather { file }, .. }) => file.as_str(),
                _ => WEATHER_NAME,
            };
            let folder = session.path.as_ref().and_then(|path| path.parent()).map_or_else(String::new, |folder| {
                let folder = folder.display().to_string();
                if folder.is_empty() { String::new() } else { format!(" in {}", shown(&folder)) }
            });
            return vec![
                format!("Enter reads {} from beside the garden file{folder}.", shown(file)),
                "Its first line names the columns: date,tmin,tmax,rain; one line for each day follows.".to_owned(),
            ];
        };
        let mut lines = vec![match year.short_days {
            Some((from, to)) => format!(
                "longest day {:.1} h, shortest {:.1} h; under ten hours, when growth nearly stands still, from {} to {}",
                year.longest_day_h,
                year.shortest_day_h,
                month_day(from),
                month_day(to)
            ),
            None => format!(
                "longest day {:.1} h, shortest {:.1} h; no season of days under ten hours",
                year.longest_day_h, year.shortest_day_h
            ),
        }];
        let frost_free = year.n_frost_free_days.map_or_else(String::new, |n| {
            let days = counted(n.unsigned_abs(), "day", "days");
            format!("; {days} between the frosts in an average year")
        });
        let unit = signs.celsius;
        lines.push(format!("January mean {:.1} {unit}, July {:.1} {unit}{frost_free}", year.january_c, year.july_c));
        let is_chosen = matches!(self.choice(), OWN_MONTHS | WEATHER_FILE);
        lines.push(if is_chosen {
            format!("{}, from {}", climate.title, shown(&climate.source))
        } else {
            format!("moved to this place: {}", climate_words(climate))
        });
        lines
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        if self.months.is_entered() {
            return vec![Front::SiteForm, Front::Months];
        }
        [&[Front::SiteForm], self.fields.fronts()].concat()
    }
}

/// The median frosts that follow from a site's climate.
fn frosts_by_climate(plan: &Plan, site: &Site) -> Option<(Option<MonthDay>, Option<MonthDay>)> {
    let climate = plan.climate_of(site).ok()?;
    Some(frosts_of_its_own(&climate))
}

fn number(words: &str) -> Option<f64> {
    words.trim().replace(',', ".").parse().ok().filter(|number: &f64| number.is_finite())
}

fn fields_of(site: &Site, is_new: bool) -> Fields {
    let mut fields = Fields::default();
    let day = |day: MonthDay| if is_new { String::new() } else { month_day(day) };
    fields.add(
        "latitude",
        "latitude, ° north",
        Kind::Signed,
        &decimal(site.latitude_deg),
        "54; below zero in the south",
    );
    fields.add(
        "longitude",
        "longitude, ° east",
        Kind::Signed,
        &site.longitude_deg.map_or_else(String::new, decimal),
        "-2.6; below zero in the west",
    );
    fields.add(
        "elevation",
        "height, m",
        Kind::Signed,
        &site.elevation_m.to_string(),
        "above sea level; minus below it",
    );
    fields.add("last_frost", "last frost", Kind::DayOfYear, &day(site.last_frost), "as the climate has it");
    fields.add("first_frost", "first frost", Kind::DayOfYear, &day(site.first_frost), "as the climate has it");
    fields.add("currency", "currency", Kind::Text(limits::NAME_CHARS), &site.currency, "three letters, such as GBP");
    let mut choices = vec![NEAREST.to_owned()];
    choices.extend(climate::named().unwrap_or_default().into_iter().map(|climate| climate.name));
    choices.extend([OWN_MONTHS.to_owned(), WEATHER_FILE.to_owned()]);
    let (mut file, mut spread) = (String::new(), String::new());
    let choice = match &site.climate {
        ClimateChoice::Nearest => NEAREST,
        // Nothing was said of the place yet: what it starts with is no choice.
        ClimateChoice::Book(_) if is_new => NEAREST,
        ClimateChoice::Book(name) => name,
        ClimateChoice::Normals { spread_c, .. } => {
            spread = spread_c.map_or_else(String::new, decimal);
            OWN_MONTHS
        }
        ClimateChoice::Weather { file: name } => {
            file.clone_from(name);
            WEATHER_FILE
        }
    };
    fields.add("climate", "climate", Kind::Choice(choices), choice, "");
    fields.add("file", "file", Kind::Text(limits::NAME_CHARS), &file, WEATHER_NAME);
    let usual = format!("{}, as usual near the sea", decimal(DEFAULT_SPREAD_C));
    fields.add("spread", "years differ by", Kind::Decimal, &spread, &usual);
    show_what_is_needed(&mut fields);
    fields
}

fn show_what_is_needed(fields: &mut Fields) {
    let choice = fields.value("climate").to_owned();
    fields.show("file", choice == WEATHER_FILE);
    fields.show("spread", choice == OWN_MONTHS);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::fixture::{garden, look_at, type_keys};
    use crate::tui::layers::Layer;
    use crate::tui::ui::Ui;
    use crate::tui::update::{Input, update};
    use crate::tui::view::Options;

    fn form(ui: &Ui) -> &SiteForm {
        match ui.layers.last() {
            Some(Layer::SiteForm(form)) => form,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_frosts_cross_the_equator_with_the_latitude_unless_they_were_given() {
        let (mut session, mut ui) = look_at(garden(), Options::default());
        type_keys(&mut session, &mut ui, &["L", "-43"]);
        let site = form(&ui).draft.clone().unwrap();
        // 20 May and 1 October of an empty garden, half a year on.
        assert_eq!(
            (site.last_frost, site.first_frost),
            (MonthDay { month: 11, day: 20 }, MonthDay { month: 4, day: 1 })
        );
        type_keys(&mut session, &mut ui, &["Esc", "L", "Down", "Down", "Down", "22 May", "Up", "Up", "Up", "-43"]);
        assert_eq!(form(&ui).draft.clone().unwrap().last_frost, MonthDay { month: 5, day: 22 });
    }

    #[test]
    fn the_site_is_set_as_one_edit_and_the_garden_follows() {
        let (mut session, mut ui) = look_at(garden(), Options::default());
        let before = session.plan().garden().clone();
        let dates = |session: &Session| format!("{:?}", session.plan().standing(crate::garden::PlantingId(3)));
        let was = dates(&session);
        type_keys(&mut session, &mut ui, &["L", "50", "Down", "Down", "5", "Enter"]);
        assert!(ui.layers.is_empty());
        let site = &session.plan().garden().site;
        assert!((site.latitude_deg - 50.0).abs() < 1e-9 && site.elevation_m == 5);
        assert_ne!(dates(&session), was, "carrots are ripe on another day");
        type_keys(&mut session, &mut ui, &["u"]);
        assert_eq!((session.plan().garden(), dates(&session)), (&before, was));
    }

    #[test]
    fn with_a_longitude_the_nearest_place_is_found_by_distance_and_said() {
        let (mut session, mut ui) = look_at(garden(), Options::default());
        type_keys(&mut session, &mut ui, &["L", "Clear", "41.9", "Down", "12.4", "Up", "Up", "n"]);
        let meaning = form(&ui).meaning_lines(&session, Signs::of(false)).join("\n");
        assert!(meaning.contains("Rome Ciampino, Italy, 20 km away and 121 m lower"), "{meaning}");
        type_keys(&mut session, &mut ui, &["Enter"]);
        assert_eq!(session.plan().garden().site.longitude_deg, Some(12.4));
    }

    #[test]
    fn what_cannot_be_is_said_and_nothing_is_set() {
        for (keys, said) in [
            (&["L", "x", "95", "Enter"][..], "latitude"),
            (&["L", "Clear", "Enter"][..], "latitude: `` is not a number of degrees"),
            (&["L", "Down", "Down", "Down", "31 Feb", "Enter"][..], "last frost: `31 Feb` is not a day"),
            (&["L", "Down", "1-2", "Enter"][..], "longitude: `1-2` is not a number of degrees"),
            (&["L", "Down", "200", "Enter"][..], "longitude"),
            (&["L", "85", "Enter"][..], "nothing is known of the climate there"),
            (&["L", "Up", "Up", "Clear", "pounds", "Enter"][..], "POUNDS"),
        ] {
            let (mut session, mut ui) = look_at(garden(), Options::default());
            type_keys(&mut session, &mut ui, keys);
            let trouble = form(&ui).trouble.clone().unwrap_or_default();
            assert!(trouble.contains(said), "{trouble}");
            assert!(session.sitting.undo_title().is_none());
        }
    }

    #[test]
    fn records_are_asked_of_the_shell() {
        let (mut session, mut ui) = look_at(garden(), Options::default());
        type_keys(&mut session, &mut ui, &["L", "Up", "w", "Down", "shed.csv"]);
        let effects = update(&mut session, &mut ui, &Input::Key(Key::Enter));
        let wanted = ClimateChoice::Weather { file: "shed.csv".to_owned() };
        assert!(matches!(&effects[..], [Effect::SetSite(site)] if site.climate == wanted), "{effects:?}");
        assert!(matches!(ui.layers.last(), Some(Layer::SiteForm(_))), "it stays until they are read");
    }

    #[test]
    fn empty_frosts_are_those_of_the_climate() {
        let (mut session, mut ui) = look_at(garden(), Options::default());
        type_keys(&mut session, &mut ui, &["L", "Down", "Down", "Down", "Clear", "Down", "Clear", "Enter"]);
        let site = session.plan().garden().site.clone();
        let (last, first) = frosts_by_climate(session.plan(), &site).unwrap();
        assert_eq!((Some(site.last_frost), Some(site.first_frost)), (last, first));
        assert!((4..=5).contains(&site.last_frost.month) && (9..=11).contains(&site.first_frost.month));
        // Opened again they still follow the place: 300 m higher the frost ends later and begins sooner.
        type_keys(&mut session, &mut ui, &["L"]);
        assert_eq!(form(&ui).fields.value("last_frost"), "");
        let higher = (site.elevation_m + 300).to_string();
        type_keys(&mut session, &mut ui, &["Down", "Down", "Clear", higher.as_str(), "Enter"]);
        let moved = session.plan().garden().site.clone();
        assert_eq!(moved.elevation_m, site.elevation_m + 300);
        let day = |day: MonthDay| (day.month, day.day);
        assert!(day(moved.last_frost) > day(site.last_frost) && day(moved.first_frost) < day(site.first_frost));
        // A day of the grower's own stays as it is.
        type_keys(
            &mut session,
            &mut ui,
            &["L", "Down", "Down", "Down", "1 Jun", "Enter", "L", "Down", "Down", "Clear", "5", "Enter"],
        );
        assert_eq!(session.plan().garden().site.last_frost, MonthDay { month: 6, day: 1 });
    }
}
