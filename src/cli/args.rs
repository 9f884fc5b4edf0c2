//! What the command line takes. Values are read by [`read`] and [`words`](super::words) as clap parses them; names of crops
//! and what else only the book or a garden knows come in as text and are looked up by the commands.

use std::ffi::OsString;
use std::path::PathBuf;

use chrono::NaiveDate;
use clap::builder::ValueParser;
use clap::{Args, CommandFactory as _, FromArgMatches as _, Parser, Subcommand};

use super::read::{self, Length, NewBed, ReturnYears, Size};
use super::words::LayoutWord;
use crate::climate::heat::Method;
use crate::climate::soil_water::SoilWater;
use crate::crops::Raised;
use crate::garden::Cover;
use crate::units::text::is_steering;

/// Plans an intensive kitchen garden that feeds several households all year round.
///
/// Without a command the garden opens on the full screen: the one named, or the one last opened.
#[derive(Debug, Parser)]
#[command(
    name = "bedfellow",
    version,
    max_term_width = 100,
    disable_help_subcommand = true,
    after_help = "Exit codes: 0 clean, 1 a breach found, 2 unusable input.\n\
        The name of the garden last opened is kept in the user's state folder; \
        BEDFELLOW_HOME names another folder for it.\n\n\
        Examples:\n  bedfellow demo\n  bedfellow new walled.ron --bed A1=120x240\n  bedfellow walled.ron\n  \
        bedfellow reckon plants --bed 120x240 --layout grid --spacing 30 --clump 4"
)]
pub struct Cli {
    /// Garden file to open on the full screen.
    pub file: Option<PathBuf>,
    /// Use only ASCII signs.
    #[arg(long, global = true)]
    pub ascii: bool,
    /// Take mouse clicks on the full screen (the terminal's own selection then needs Shift).
    #[arg(long)]
    pub mouse: bool,
    /// Print JSON, one line, for scripts.
    #[arg(long, global = true)]
    pub json: bool,
    /// Reckon as if today were this day, such as 2027-05-03.
    #[arg(long, global = true, value_name = "DATE", value_parser = read::date)]
    pub today: Option<NaiveDate>,
    /// What to do.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// Reads the arguments. Words (not paths) that hold a control character are refused, so that no message which quotes
/// them can be made to say something else in a line of its own.
///
/// # Errors
/// As clap gives them, help and version included.
pub fn parse(args: &[OsString]) -> Result<Cli, clap::Error> {
    let mut command = with_plain_words(Cli::command());
    let mut matches = command.try_get_matches_from_mut(args)?;
    Cli::from_arg_matches_mut(&mut matches).map_err(|err| err.format(&mut command))
}

fn with_plain_words(command: clap::Command) -> clap::Command {
    let words = ValueParser::string().type_id();
    let command = command
        .mut_args(|arg| if arg.get_value_parser().type_id() == words { arg.value_parser(plain_word) } else { arg });
    command.mut_subcommands(with_plain_words)
}

fn plain_word(word: &str) -> Result<String, String> {
    match word.chars().find(|c| is_steering(*c)) {
        Some(bad) => Err(format!("it has a control character (U+{:04X})", u32::from(bad))),
        None => Ok(word.to_owned()),
    }
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Open a fresh copy of the demo garden, a walled garden shared by five households.
    #[command(after_help = "Example:\n  bedfellow demo\n  bedfellow demo --print > walled-garden.ron")]
    Demo(DemoArgs),
    /// Write a new garden file; a file that is there already is never written over.
    #[command(
        after_help = "Example:\n  bedfellow new walled.ron --name \"Walled garden\" --latitude 54 --elevation 215 \\\n    \
        --bed A1=120x240 --bed A2=120x240"
    )]
    New(NewArgs),
    /// List every finding of a plan, gravest first; exits 1 if a breach is open.
    #[command(after_help = "Example:\n  bedfellow check walled.ron\n  bedfellow check walled.ron --why")]
    Check(CheckArgs),
    /// Say when each bed frees up, what stands in it and what comes next.
    #[command(after_help = "Example:\n  bedfellow free walled.ron --bed A1 --today 2027-06-01")]
    Free(FreeArgs),
    /// Judge, week by week, the plantings of a bed that share ground; exits 1 if any crowds and is not accepted.
    #[command(after_help = "Example:\n  bedfellow fit walled.ron A1")]
    Fit(FitArgs),
    /// Write the planting list: what to sow, plant and clear, week by week, in 80 columns.
    #[command(after_help = "Example:\n  bedfellow list walled.ron --from 2027-03-01 --to 2027-05-31 --out spring.txt")]
    List(ListArgs),
    /// Write a table for a spreadsheet, as comma-separated values.
    #[command(subcommand, after_help = "Example:\n  bedfellow export plantings walled.ron --out plantings.csv")]
    Export(Export),
    /// List earlier versions of a garden file and what was put aside, what differs, or go back to one.
    #[command(after_help = "Example:\n  bedfellow versions walled.ron\n  bedfellow versions walled.ron --restore 2")]
    Versions(VersionsArgs),
    /// List the crops of the crop book, or show one crop's page.
    #[command(after_help = "Example:\n  bedfellow crops\n  bedfellow crops --family onion\n  bedfellow crops leek")]
    Crops(CropsArgs),
    /// Reckon with the engines alone; no garden file is needed.
    #[command(
        subcommand,
        after_help = "Example:\n  bedfellow reckon plants --bed 120x240 --layout grid --spacing 30 --clump 4"
    )]
    Reckon(Box<Reckon>),
}

/// `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Write the demo garden to standard output instead of opening it.
    #[arg(long)]
    pub print: bool,
    /// Take mouse clicks on the full screen.
    #[arg(long)]
    pub mouse: bool,
}

/// `new`.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// File to write.
    pub file: PathBuf,
    /// Name of the garden [default: the file's name].
    #[arg(long)]
    pub name: Option<String>,
    /// A bed: its id, width across and length along in cm; may be given again.
    #[arg(long = "bed", value_name = "ID=WxL", value_parser = read::new_bed)]
    pub beds: Vec<NewBed>,
    /// Degrees, south negative; the frosts are then those of the climate there [default: a starting value].
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true, value_parser = read::latitude)]
    pub latitude: Option<f64>,
    /// Degrees, west negative; with it the nearest place of known climate is found by distance.
    #[arg(
        long,
        value_name = "DEGREES",
        allow_hyphen_values = true,
        requires = "latitude",
        value_parser = read::longitude
    )]
    pub longitude: Option<f64>,
    /// Height in metres above the sea [default: a starting value].
    #[arg(
        long,
        value_name = "METRES",
        allow_hyphen_values = true,
        requires = "latitude",
        value_parser = read::elevation_m
    )]
    pub elevation: Option<i32>,
}

/// `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Garden file.
    pub file: PathBuf,
    /// Only this bed.
    #[arg(long, value_name = "ID")]
    pub bed: Option<String>,
    /// Tell the reasons and sources of notes too.
    #[arg(long)]
    pub why: bool,
    /// Tell what is past or kept quiet too.
    #[arg(long)]
    pub all: bool,
}

/// `free`.
#[derive(Debug, Args)]
pub struct FreeArgs {
    /// Garden file.
    pub file: PathBuf,
    /// Only this bed.
    #[arg(long, value_name = "ID")]
    pub bed: Option<String>,
}

/// `fit`.
#[derive(Debug, Args)]
pub struct FitArgs {
    /// Garden file.
    pub file: PathBuf,
    /// The bed's id.
    pub bed: String,
}

/// `list`.
#[derive(Debug, Args)]
pub struct ListArgs {
    /// Garden file.
    pub file: PathBuf,
    /// First day [default: the Monday of this week].
    #[arg(long, value_name = "DATE", value_parser = read::date)]
    pub from: Option<NaiveDate>,
    /// Last day [default: the Sunday of the 53rd week].
    #[arg(long, value_name = "DATE", value_parser = read::date)]
    pub to: Option<NaiveDate>,
    /// Only this bed.
    #[arg(long, value_name = "ID")]
    pub bed: Option<String>,
    /// Where it goes.
    #[command(flatten)]
    pub target: OutArgs,
}

/// Where an export goes.
#[derive(Debug, Args)]
pub struct OutArgs {
    /// Write it to this file instead of standard output.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Write over a file that is there already.
    #[arg(long, requires = "out")]
    pub overwrite: bool,
}

/// `export`.
#[derive(Debug, Subcommand)]
pub enum Export {
    /// A row for each planting: ground, counts, seeds, dates with their range, how many findings.
    #[command(after_help = "Example:\n  bedfellow export plantings walled.ron --out plantings.csv")]
    Plantings(TableArgs),
}

/// `export plantings`.
#[derive(Debug, Args)]
pub struct TableArgs {
    /// Garden file.
    pub file: PathBuf,
    /// Where it goes.
    #[command(flatten)]
    pub target: OutArgs,
}

/// `versions`.
#[derive(Debug, Args)]
pub struct VersionsArgs {
    /// Garden file.
    pub file: PathBuf,
    /// Go back to the version of this number; what the file holds now becomes a version itself.
    #[arg(long, value_name = "N")]
    pub restore: Option<usize>,
    /// Bring back what was put aside under this number; what the file holds now becomes a version.
    #[arg(long, value_name = "N", conflicts_with = "restore")]
    pub bring_back: Option<usize>,
}

/// `crops`.
#[derive(Debug, Args)]
pub struct CropsArgs {
    /// Crop to show: id, common name or plural.
    pub name: Vec<String>,
    /// Only crops of this family: its id, botanical or common name.
    #[arg(long, value_name = "NAME")]
    pub family: Option<String>,
    /// Lay this garden's own crops over the book.
    #[arg(long, value_name = "FILE")]
    pub garden: Option<PathBuf>,
}

/// `reckon`.
#[derive(Debug, Subcommand)]
pub enum Reckon {
    /// Count stations and plants of a layout in a bed.
    #[command(
        after_help = "Grid, offset and edge need --spacing; rows need --row and --in-row; drill needs --row and\n\
        --per-metre; broadcast needs --per-m2. Lengths are in cm.\n\n\
        Example:\n  bedfellow reckon plants --bed 120x240 --layout grid --spacing 30 --clump 4"
    )]
    Plants(PlantsArgs),
    /// Judge a sequence of crops, one item a year; exits 1 if there is a breach.
    #[command(after_help = "Crops are separated by commas, `+` joins crops that follow each other within a year;\n\
        a family or `fallow` may stand for a crop.\n\n\
        Example:\n  bedfellow reckon rotation \"potato, leek+spinach, carrot, fallow\" --cycle --return 4")]
    Rotation(RotationArgs),
    /// Name the family of a crop.
    #[command(after_help = "Example:\n  bedfellow reckon family beetroot")]
    Family(FamilyArgs),
    /// Judge whether two crops share a bed; exits 1 if they crowd.
    #[command(
        after_help = "A crop is given as \"CROP LAYOUT [SPACING] [xCLUMP] DATE..DATE\": spacing in cm (rows: 45x15), the days\n\
        it goes in and is cleared. What is left out is the book's. `between` sets the joining crop at the\n\
        centres of the standing one's stations.\n\n\
        Example:\n  bedfellow reckon fit --bed 120x240 --stands \"leek grid 30 x4 2027-06-01..2027-11-15\" \\\n    \
        --joins \"salad onion between x8 2027-06-01..2027-08-01\""
    )]
    Fit(ReckonFitArgs),
    /// Work out the land equivalent ratio of crops grown together.
    #[command(after_help = "Yields per area, in the same order; any unit, the same for both of a crop.\n\n\
        Example:\n  bedfellow reckon share --alone 4.0,1.2 --together 2.8,0.7")]
    Share(ShareArgs),
    /// Work out a planting's dates from sun and temperature at a place.
    #[command(
        after_help = "With a latitude the months are those of the nearest of 145 places, moved to that latitude and height; give the\n\
        longitude too, so that it is the nearest by distance. Or name a kind of climate, likewise moved: maritime-upland,\n\
        maritime-lowland, continental, mediterranean or southern-temperate. Or give months of your own. Give the day it is\n\
        sown or the day it is planted. What does not happen has no date (null in JSON). In eight years out of ten, the ground is free between\n\
        `clear_early` and `clear_late`. `limits` tell what growth or weather forbids.\n\n\
        Example:\n  bedfellow reckon dates leek --plant 2027-06-10 --climate maritime-upland\n  \
        bedfellow reckon dates \"winter lettuce\" --sow 2027-09-01 --cover tunnel\n  \
        bedfellow reckon dates carrot --sow 2027-05-01 --latitude 54.2 --longitude -2.6 --elevation 240"
    )]
    Dates(DatesArgs),
    /// Work out the length of a day.
    #[command(
        after_help = "`hours` run from sunrise to sunset, `geometric_hours` are those of FAO-56 eq. 34. Where the sun does not\n\
        set or rise they are 24 or 0.\n\n\
        Example:\n  bedfellow reckon daylight --latitude 54 --date 2027-11-01\n  \
        bedfellow reckon daylight --latitude -37 --date 2027-11-01"
    )]
    Daylight(SunArgs),
    /// Work out the sun's radiation above the atmosphere.
    #[command(after_help = "Example:\n  bedfellow reckon radiation --latitude 54 --date 2027-06-21")]
    Radiation(SunArgs),
    /// Work out reference evapotranspiration from a day's temperatures.
    #[command(
        after_help = "Example:\n  bedfellow reckon evaporation --latitude 54 --date 2027-07-15 --tmin 11 --tmax 20"
    )]
    Evaporation(EvaporationArgs),
    /// Work out the degree-days of a day.
    #[command(
        after_help = "Method sine is one sine a day between the two temperatures, cut at the upper threshold (Baskerville & Emin\n\
        1969); mean is the mean of the two less the base. Degrees Fahrenheit give degree-days Fahrenheit.\n\n\
        Example:\n  bedfellow reckon heat --base 5 --tmin 3 --tmax 14"
    )]
    Heat(HeatArgs),
    /// Work out the days from sowing to emergence in soil of one temperature.
    #[command(
        after_help = "After Harrington & Minges 1954, seed 13 mm deep; nothing is said beyond the ends of their table.\n\n\
        Example:\n  bedfellow reckon emergence carrot --soil 10"
    )]
    Emergence(EmergenceArgs),
    /// Work out the water that fills dry soil before planting, in litres and cans.
    #[command(
        after_help = "Soils: sand, loamy sand, sandy loam, loam, silt loam, silt or clay. A can holds 10 litres; a millimetre is a litre on a\n\
        square metre. FAO-56 eq. 82, Table 19; with --crop also eq. 83, Table 22.\n\n\
        Example:\n  bedfellow reckon soak --soil \"sandy loam\" --depth 20\n  \
        bedfellow reckon soak --soil loam --depth 30 --dry 0.6 --area 2.9 --crop potato"
    )]
    Soak(SoakArgs),
}

/// `reckon soak`.
#[derive(Debug, Args)]
pub struct SoakArgs {
    /// Texture of the soil.
    #[arg(long, value_name = "TEXTURE", value_parser = read::soil)]
    pub soil: &'static SoilWater,
    /// Depth to be filled, in cm [default: 20, the roots on the day of planting].
    #[arg(long, value_name = "CM", allow_hyphen_values = true, value_parser = read::depth_cm)]
    pub depth: Option<f64>,
    /// Share of its available water that is gone: 0 moist to field capacity, 1 dry to the wilting point [default: 1].
    #[arg(long, value_name = "FRACTION", allow_hyphen_values = true, value_parser = read::dry)]
    pub dry: Option<f64>,
    /// Ground to be soaked, in square metres.
    #[arg(long, value_name = "M2", allow_hyphen_values = true, value_parser = read::area_m2)]
    pub area: Option<f64>,
    /// Also say how much of that water this crop takes before it suffers.
    #[arg(long, value_name = "CROP")]
    pub crop: Option<String>,
}

/// `reckon dates`.
#[derive(Debug, Args)]
pub struct DatesArgs {
    /// The crop.
    #[arg(required = true)]
    pub crop: Vec<String>,
    /// Day it is sown, in place or in modules.
    #[arg(long, value_name = "DATE", value_parser = read::date)]
    pub sow: Option<NaiveDate>,
    /// Day it is planted into the bed.
    #[arg(long, value_name = "DATE", value_parser = read::date)]
    pub plant: Option<NaiveDate>,
    /// How it is raised [default: the book's usual way].
    #[arg(long, value_enum, value_name = "WAY", ignore_case = true)]
    pub raised: Option<Raised>,
    /// A kind of climate that comes with the program [default: the nearest place known, else the crop book's climate].
    #[arg(long, value_name = "NAME")]
    pub climate: Option<String>,
    /// Months of your own: a file of twelve rows `month,tmin,tmax,rain` in °C and mm; rain may be left out.
    #[arg(long, value_name = "FILE", conflicts_with = "climate", requires = "latitude")]
    pub months: Option<PathBuf>,
    /// Degrees, south negative.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true, value_parser = read::latitude)]
    pub latitude: Option<f64>,
    /// Degrees, west negative; with it the nearest place known is found by distance.
    #[arg(
        long,
        value_name = "DEGREES",
        allow_hyphen_values = true,
        requires = "latitude",
        conflicts_with_all = ["climate", "months"],
        value_parser = read::longitude
    )]
    pub longitude: Option<f64>,
    /// Height in metres above the sea [default: that of the climate].
    #[arg(
        long,
        value_name = "METRES",
        allow_hyphen_values = true,
        requires = "latitude",
        value_parser = read::elevation_m
    )]
    pub elevation: Option<i32>,
    /// What covers the bed.
    #[arg(long, value_enum, ignore_case = true, default_value_t = Cover::Open)]
    pub cover: Cover,
}

/// `reckon daylight` and `reckon radiation`.
#[derive(Debug, Args)]
pub struct SunArgs {
    /// Degrees, south negative.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true, value_parser = read::latitude)]
    pub latitude: f64,
    /// The day.
    #[arg(long, value_name = "DATE", value_parser = read::date)]
    pub date: NaiveDate,
}

/// `reckon evaporation`.
#[derive(Debug, Args)]
pub struct EvaporationArgs {
    /// Degrees, south negative.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true, value_parser = read::latitude)]
    pub latitude: f64,
    /// The day.
    #[arg(long, value_name = "DATE", value_parser = read::date)]
    pub date: NaiveDate,
    /// Lowest temperature of the day, in °C.
    #[arg(long, value_name = "C", allow_hyphen_values = true, value_parser = read::air_c)]
    pub tmin: f64,
    /// Highest temperature of the day, in °C.
    #[arg(long, value_name = "C", allow_hyphen_values = true, value_parser = read::air_c)]
    pub tmax: f64,
}

/// `reckon heat`.
#[derive(Debug, Args)]
pub struct HeatArgs {
    /// Temperature above which warmth counts, in °C.
    #[arg(long, value_name = "C", allow_hyphen_values = true, value_parser = read::heat_degrees)]
    pub base: f64,
    /// Temperature above which no more is counted, in °C.
    #[arg(long, value_name = "C", allow_hyphen_values = true, value_parser = read::heat_degrees)]
    pub upper: Option<f64>,
    /// Lowest temperature of the day, in °C.
    #[arg(long, value_name = "C", allow_hyphen_values = true, value_parser = read::heat_degrees)]
    pub tmin: f64,
    /// Highest temperature of the day, in °C.
    #[arg(long, value_name = "C", allow_hyphen_values = true, value_parser = read::heat_degrees)]
    pub tmax: f64,
    /// One sine a day, or the mean of the two temperatures.
    #[arg(long, value_enum, ignore_case = true, default_value_t = Method::Sine)]
    pub method: Method,
}

/// `reckon emergence`.
#[derive(Debug, Args)]
pub struct EmergenceArgs {
    /// The crop.
    #[arg(required = true)]
    pub crop: Vec<String>,
    /// Temperature of the soil, in °C.
    #[arg(long, value_name = "C", allow_hyphen_values = true, value_parser = read::soil_c)]
    pub soil: f64,
}

/// `reckon plants`.
#[derive(Debug, Args)]
pub struct PlantsArgs {
    /// Bed: width across by length along, in cm.
    #[arg(long, value_name = "WxL", allow_hyphen_values = true, value_parser = read::fine_size)]
    pub bed: Size,
    /// How stations are set out.
    #[arg(long, value_enum, ignore_case = true)]
    pub layout: LayoutWord,
    /// Distance between stations, in cm (grid, offset, edge).
    #[arg(long, value_name = "CM", allow_hyphen_values = true, value_parser = read::fine_length)]
    pub spacing: Option<Length>,
    /// Distance between rows or lines, in cm (rows, drill).
    #[arg(long, value_name = "CM", allow_hyphen_values = true, value_parser = read::fine_length)]
    pub row: Option<Length>,
    /// Distance between stations in the row, in cm (rows).
    #[arg(long, value_name = "CM", allow_hyphen_values = true, value_parser = read::fine_length)]
    pub in_row: Option<Length>,
    /// Plants in a metre of line (drill).
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = read::positive_number)]
    pub per_metre: Option<f64>,
    /// Plants per square metre (broadcast).
    #[arg(long = "per-m2", value_name = "N", allow_hyphen_values = true, value_parser = read::positive_number)]
    pub per_m2: Option<f64>,
    /// Long edges that carry a line, 1 or 2 (edge) [default: 1].
    #[arg(long, value_name = "1|2", allow_hyphen_values = true, value_parser = read::n_edges)]
    pub sides: Option<u32>,
    /// Plants at each station.
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 1, value_parser = read::clump)]
    pub clump: u32,
    /// Distance kept from the bed's edges, in cm [default: half the spacing].
    #[arg(long, value_name = "CM", allow_hyphen_values = true, value_parser = read::length_from_zero)]
    pub setback: Option<Length>,
}

/// `reckon rotation`.
#[derive(Debug, Args)]
pub struct RotationArgs {
    /// The sequence: "CROP[+CROP], CROP, …", one item a year.
    pub sequence: String,
    /// Repeat the sequence for ever.
    #[arg(long)]
    pub cycle: bool,
    /// Years from one crop of a family to the next: for all families, or FAMILY=N for one; may be given again.
    #[arg(long = "return", value_name = "N|FAMILY=N", allow_hyphen_values = true, value_parser = read::return_years)]
    pub return_years: Vec<ReturnYears>,
    /// Disease or pest seen in that ground before year 1.
    #[arg(long, value_name = "NAME")]
    pub hazard: Option<String>,
}

/// `reckon family`.
#[derive(Debug, Args)]
pub struct FamilyArgs {
    /// The crop: id, common name or plural.
    #[arg(required = true)]
    pub crop: Vec<String>,
}

/// `reckon fit`.
#[derive(Debug, Args)]
pub struct ReckonFitArgs {
    /// Bed: width across by length along, in cm.
    #[arg(long, value_name = "WxL", allow_hyphen_values = true, value_parser = read::size)]
    pub bed: Size,
    /// The crop that stands: "CROP LAYOUT [SPACING] [xCLUMP] DATE..DATE".
    #[arg(long, value_name = "PLANTING")]
    pub stands: String,
    /// The crop that joins it, in the same form.
    #[arg(long, value_name = "PLANTING")]
    pub joins: String,
}

/// `reckon share`.
#[derive(Debug, Args)]
pub struct ShareArgs {
    /// Yields of the crops grown alone.
    #[arg(
        long,
        value_name = "A,B",
        allow_hyphen_values = true,
        required = true,
        value_delimiter = ',',
        value_parser = read::positive_number
    )]
    pub alone: Vec<f64>,
    /// Yields of the same crops grown together.
    #[arg(
        long,
        value_name = "A,B",
        allow_hyphen_values = true,
        required = true,
        value_delimiter = ',',
        value_parser = read::number_from_zero
    )]
    pub together: Vec<f64>,
}
