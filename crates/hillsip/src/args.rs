//! What can be asked of the program: declarations only.
//!
//! Each command ends with two examples, which a test runs.

use std::path::PathBuf;
use std::str::FromStr;

use clap::{Parser, Subcommand};
use quantity::{Day, Slope};

/// Plan small water lines by hand: where to peg, what a line holds, where it breaks out, what is dangerous
#[derive(Debug, Parser)]
#[command(
    name = "hillsip",
    version,
    max_term_width = 100,
    after_help = "Begin with:\n  hillsip demo quarry-bank\n  hillsip check quarry-bank\n\n\
        Ends with 0 when done, 1 when done and a finding says stop, 2 when it could not do its work."
)]
pub struct Args {
    /// What to do
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write the example site Quarry Bank into a new folder
    Demo(Demo),
    /// Start a site of your own in a new folder
    New(New),
    /// Say what is wrong: faults in the files, then what is doubtful or dangerous in the design
    Check(Check),
    /// Work out a level book, and say whether it adds up and closes
    ///
    /// What the file holds shows in its columns: a level book (point, backsight_m, intermediate_m, foresight_m,
    /// z_m), readings in a row (setup, reading_m), a hose book (from, to, from_reading_m, to_reading_m), a
    /// tape-and-compass ring (leg, bearing, length_m), an A-frame turned on two pegs (reading_mm, turned_mm,
    /// spacing_m, bar_below_m), pegs read back (pair, fall_mm), or a two-peg test (a_m, b_m, to_a_m, to_b_m).
    Levels(Levels),
    /// Work out a soak test or a jar: how fast water goes into the ground
    ///
    /// The file's columns are time_min and one of level_mm (water above the bottom), down_mm (from the rim down) and
    /// soaked_mm (between double rings), and fill where there were several. Sizes stand in remarks at its top:
    /// # radius_mm = 40 for an auger hole, # length_mm and # width_mm for a pit, # core_mm for a ring.
    Soak(Soak),
    /// Walk a level or falling line over the ground, as the hand tool would
    Walk(Walk),
    /// Where to peg: chainage, height, reading to aim for, cut and bank for every line
    Pegs(Pegs),
    /// What each line holds, what it costs to dig, what its sills must pass
    Sizes(Sizes),
    /// Where each tree stands relative to its line, whether that suits it, and what it will grow into
    Planting(Planting),
    /// What to dig first and in how many days, what to bring and what it costs, and a year of work
    Digging(Digging),
    /// The plan beside the layouts kept aside: litres for trees, safety of the surplus, days of digging
    Compare(Compare),
    /// Let it rain: how far the water gets, where it breaks out, what leaves, which tree gets how much
    Rain(Rain),
    /// Live through the years: what each tree gets, when it is dry, when its roots drown, when to carry water
    Season(Season),
    /// Print the report as one PDF, and every drawing by itself, into the site's out/ folder
    Paper(Paper),
    /// Bring what a phone, a map, a drawing board or a spreadsheet gives: points, tracks, trees, boundaries
    ///
    /// The file may be GPX, KML, GeoJSON, DXF or a table of points; what it is shows in its content. Without --as it is
    /// only looked at: what it holds, where it lies, and what its heights are good for. Bringing the same file twice
    /// adds nothing.
    Bring(Bring),
    /// Hand the works on as a file for a phone, a map, a drawing board or a spreadsheet
    HandOn(HandOn),
    /// Open the app: the site on a map in your browser, with the next rain dialled in
    Open(Open),
}

/// Write the example site.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  hillsip demo quarry-bank\n  hillsip demo --json quarry-bank")]
pub struct Demo {
    /// Folder to write; made when it is not there, refused when it holds anything
    pub dir: PathBuf,
    /// Print one JSON document (what was written) instead of sentences
    #[arg(long)]
    pub json: bool,
}

/// Work out a file of levels.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  hillsip levels quarry-bank/levels/barn-loop.csv\n  \
        hillsip levels --slope 10% quarry-bank/levels/read-back.csv\n\n\
        Ends with 1 when a book does not add up or misses its mark, or a peg must be moved.")]
pub struct Levels {
    /// CSV file of levels
    pub file: PathBuf,
    /// Known height of the last point, m; without it the book's own, or the start if it comes back there
    #[arg(long, value_name = "Z_M", allow_negative_numbers = true)]
    pub closes_on: Option<f64>,
    /// Length of line levelled, loop or one way, m; then the allowed misclosure goes by length, else by setups
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pub length_m: Option<f64>,
    /// Grade of levelling that the length is held to; without it construction, 24 mm in a kilometre
    #[arg(long, value_parser = ground::levels::GRADES.map(|grade| grade.name))]
    pub grade: Option<String>,
    /// How a misclosure is spread: the same at each setup, or with the distance in chainage_m
    #[arg(long, value_enum, default_value = "setups")]
    pub spread: Spread,
    /// How far the compass's north lies east of the map's, degrees; for a ring
    #[arg(long, value_name = "DEG", default_value_t = 0.0, allow_negative_numbers = true)]
    pub declination_deg: f64,
    /// Slope of the ground, such as 10% or 1:8; for pegs read back, to say how far a peg moves
    #[arg(long, value_parser = slope)]
    pub slope: Option<quantity::Slope>,
    /// The tool's chance error in one reading, one standard error, mm; for pegs read back, without it 5, assumed
    #[arg(long, value_name = "MM")]
    pub random_mm: Option<f64>,
    /// The tool's own fault, mm; for pegs read back, without it 2, assumed
    #[arg(long, value_name = "MM")]
    pub constant_mm: Option<f64>,
    /// The tool was turned round for half of the readings, so that its own fault cancels
    #[arg(long)]
    pub turned: bool,
    /// Print one JSON document instead of a table and sentences
    #[arg(long)]
    pub json: bool,
}

/// Work out a soak test, a jar or what the hand feels.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip soak quarry-bank/soak/pit-1.csv\n  hillsip soak --feel 40,neither --json"
)]
pub struct Soak {
    /// CSV file of a soak test
    #[arg(required_unless_present_any = ["jar", "feel"], conflicts_with_all = ["jar", "feel"])]
    pub file: Option<PathBuf>,
    /// Instead of a file: thickness of the layers of sand, silt and clay in a jar, in any one unit
    #[arg(long, value_name = "SAND,SILT,CLAY", allow_hyphen_values = true)]
    pub jar: Option<Layers>,
    /// Instead of a file: what a handful feels like. Wet it and knead it to stiff putty. If it will not stay a ball write
    /// crumbles; if the ball cannot be pushed out between thumb and finger into a ribbon, ball; else the length in mm at
    /// which the ribbon breaks off, and whether a pinch rubbed very wet in the palm is gritty, smooth or neither
    #[arg(long, value_name = "MM,GRITTY|SMOOTH|NEITHER", conflicts_with = "jar")]
    pub feel: Option<Handful>,
    /// Print one JSON document instead of a table and sentences
    #[arg(long)]
    pub json: bool,
}

/// Start a site.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  hillsip new my-slope\n  hillsip new --name \"Back field\" my-slope")]
pub struct New {
    /// Folder to write; made when it is not there, refused when it holds anything
    pub dir: PathBuf,
    /// What the site is called; without it, the name of the folder
    #[arg(long, value_name = "NAME")]
    pub name: Option<String>,
    /// Print one JSON document (what was written) instead of sentences
    #[arg(long)]
    pub json: bool,
}

/// How a misclosure is spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Spread {
    /// The same at each setup
    Setups,
    /// With the distance levelled
    Distance,
}

/// A slope of the ground, not level and not falling.
fn slope(text: &str) -> Result<quantity::Slope, String> {
    let slope = quantity::Slope::parse(text).map_err(|error| error.to_string())?;
    if slope.rise_run() > 0.0 {
        Ok(slope)
    } else {
        Err("give the slope of the ground as a number above 0, such as 10%".to_owned())
    }
}

/// Check a site.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  hillsip check quarry-bank\n  hillsip check --json quarry-bank")]
pub struct Check {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// Print one JSON document (faults and findings) instead of sentences
    #[arg(long)]
    pub json: bool,
}

/// Walk a line.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  hillsip walk quarry-bank --from 24,46 --toward 40,48 --length-m 40\n  \
        hillsip walk quarry-bank --from 89.5,58 --toward 80,58 --grade 1:60 --length-m 20 --json")]
pub struct Walk {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// First peg: east and north in site metres, such as 24,46; must lie on measured ground
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    pub from: At,
    /// Fall along the line: level, 1:200, 0.5% or 1deg, from level to 1:2; a negative one climbs. Decides
    /// how much lower each peg stands than the last
    #[arg(long, value_name = "SLOPE", default_value = "level", allow_hyphen_values = true, value_parser = grade)]
    pub grade: Slope,
    /// How far to walk, m, from 0.5 to 5000; the walk may end before, and says why
    #[arg(long, value_name = "M", default_value_t = 60.0, value_parser = |text: &str| metres(text, 0.5, 5000.0))]
    pub length_m: f64,
    /// Distance from peg to peg, m, from 0.2 to 60; without it the step of the site's tool. A shorter step
    /// follows the ground more closely
    #[arg(long, value_name = "M", value_parser = |text: &str| metres(text, 0.2, 60.0))]
    pub step_m: Option<f64>,
    /// A place the walk sets off towards, in site metres; without it uphill stays on the left hand
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    pub toward: Option<At>,
    /// Print one JSON document instead of a table
    #[arg(long)]
    pub json: bool,
}

/// Where to peg.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip pegs quarry-bank\n  hillsip pegs quarry-bank --line middle --json"
)]
pub struct Pegs {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// Only the line of this name; without it every line
    #[arg(long, value_name = "NAME")]
    pub line: Option<String>,
    /// Print one JSON document instead of tables
    #[arg(long)]
    pub json: bool,
}

/// What each line holds.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip sizes quarry-bank\n  hillsip sizes quarry-bank --line low --json"
)]
pub struct Sizes {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// Only the line of this name; without it every line
    #[arg(long, value_name = "NAME")]
    pub line: Option<String>,
    /// Print one JSON document instead of tables
    #[arg(long)]
    pub json: bool,
}

/// The trees' places.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  hillsip planting quarry-bank\n  \
        hillsip planting quarry-bank --propose --trees pomegranate=4 --trees \"fig:black early=2\" --json")]
pub struct Planting {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// Look for places along the lines for more trees, beside those of the plan
    #[arg(long, requires = "trees")]
    pub propose: bool,
    /// Which and how many, such as fig=3, or with a variety "fig:black early=2"; may be given again for others
    #[arg(long, value_name = "SPECIES=N", requires = "propose")]
    pub trees: Vec<TreesWanted>,
    /// Write the proposed trees into site.toml; without it nothing is written
    #[arg(long, requires = "propose")]
    pub write: bool,
    /// Print one JSON document instead of a table
    #[arg(long)]
    pub json: bool,
}

/// The order of work, its days, and what it needs.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip digging quarry-bank\n  hillsip digging quarry-bank --people 3 --days 4 --json"
)]
pub struct Digging {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// How many people dig, 1 to 100
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=100))]
    pub people: u32,
    /// The days they have, 1 to 1000; where they are too few for all lines, the ones worth most to the trees are
    /// dug. Without it as many as it takes
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1000))]
    pub days: Option<u32>,
    /// Print one JSON document instead of tables
    #[arg(long)]
    pub json: bool,
}

/// The plan beside the layouts kept aside.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip compare quarry-bank\n  hillsip compare quarry-bank --depth-mm 40 --hours 6 --json\n\n\
        A layout is kept aside as a whole plan, alternatives/NAME.toml: copy site.toml there, or keep it in the app."
)]
pub struct Compare {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// Rain of the storm that all are tried with, mm; without it the plan's design storm
    #[arg(long, value_name = "MM")]
    pub depth_mm: Option<f64>,
    /// Its length, hours; without it the design storm's
    #[arg(long, value_name = "H")]
    pub hours: Option<f64>,
    /// Print one JSON document instead of a table
    #[arg(long)]
    pub json: bool,
}

/// Let it rain.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip rain quarry-bank --members 20\n  hillsip rain quarry-bank --depth-mm 25 --hours 6 --members 1 --json\n\n\
        Ends with 1 when a line is likely to break out in this storm."
)]
pub struct Rain {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// Rain of the whole storm, mm, from 0.1 to 2000; without it what the site must be ready for
    #[arg(long, value_name = "MM", allow_hyphen_values = true, value_parser = |text: &str| number(text, "millimetres", 0.1, 2000.0))]
    pub depth_mm: Option<f64>,
    /// How long it lasts, h, from 0.05 to 240; without it as long as the plan's design storm
    #[arg(long, value_name = "H", value_parser = |text: &str| number(text, "hours", 0.05, 240.0))]
    pub hours: Option<f64>,
    /// In what order it falls; without it blocks round a peak, the hardest that the table allows
    #[arg(long, value_enum)]
    pub shape: Option<Shape>,
    /// A gauge's own readings of a storm, a CSV file: time_min or time, and total_mm or fell_mm. They tell depth,
    /// length and course
    #[arg(long, value_name = "FILE")]
    pub gauge: Option<PathBuf>,
    /// How wet the ground is before: dry, usual, wet, the rain of the five days before in mm, or the day of the
    /// storm in the plan's daily record. Wet ground sheds more and soaks less, and past rain wakes the seeps
    #[arg(long, value_name = "HOW", default_value = "usual")]
    pub wet_before: WetGround,
    /// An earlier storm left the swales full to their sills: the storm to size sills by
    #[arg(long, conflicts_with = "steps")]
    pub full_before: bool,
    /// How many draws of what is not known well, from 1 (the plan as drawn, no ranges) to 10000
    #[arg(long, value_name = "N", default_value_t = 100, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    pub members: u32,
    /// What the draws are made by; the same number gives the same answer
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// At which rain each line first fills, spills and breaks out, and what a failing bank takes along
    #[arg(long)]
    pub steps: bool,
    /// Print one JSON document instead of tables
    #[arg(long)]
    pub json: bool,
}

/// Live through the years.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip season quarry-bank\n  hillsip season --years 20 --members 1 --json quarry-bank"
)]
pub struct Season {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// First day, such as 2018-10-01; without it the first of weather.csv
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub from: Option<Day>,
    /// Last day; without it the last of weather.csv
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub to: Option<Day>,
    /// So many years drawn by chance from the ordinary year of the plan instead of weather.csv, 1 to 200;
    /// without either 10 are drawn
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=200))]
    pub years: Option<u32>,
    /// How many draws of what is not known well, from 1 (the plan as drawn, no ranges) to 10000
    #[arg(long, value_name = "N", default_value_t = 50, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    pub members: u32,
    /// What the draws are made by; the same number gives the same answer
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// The most water that can be carried in a week, L, 1 to 100000; without it as much as is wanted
    #[arg(long, value_name = "L", allow_hyphen_values = true, value_parser = |text: &str| number(text, "litres", 1.0, 100_000.0))]
    pub litres_per_week: Option<f64>,
    /// Print one JSON document instead of tables
    #[arg(long)]
    pub json: bool,
}

fn day(text: &str) -> Result<Day, String> {
    Day::parse(text).ok_or_else(|| format!("{text} is no day of the calendar: write it as 2018-10-01"))
}

/// In what order rain falls.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Shape {
    /// Evenly
    Even,
    /// In blocks round a peak
    Blocks,
    /// USDA-SCS type I
    ScsI,
    /// USDA-SCS type IA
    ScsIa,
    /// USDA-SCS type II
    ScsIi,
    /// USDA-SCS type III
    ScsIii,
}

/// How wet the ground is before a storm, as it is typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WetGround {
    /// Dry.
    Dry,
    /// As usual.
    Usual,
    /// Wet.
    Wet,
    /// Rain of the five days before, mm.
    FiveDays(f64),
    /// By the record, on this day.
    OnDay(Day),
}

impl FromStr for WetGround {
    type Err = String;

    fn from_str(text: &str) -> Result<WetGround, String> {
        match text {
            "dry" => Ok(WetGround::Dry),
            "usual" => Ok(WetGround::Usual),
            "wet" => Ok(WetGround::Wet),
            day if Day::parse(day).is_some() => Ok(WetGround::OnDay(Day::parse(day).expect("it is a day"))),
            rain => number(rain, "the rain of the five days before in millimetres", 0.0, 2000.0)
                .map(WetGround::FiveDays)
                .map_err(|told| {
                    format!("write dry, usual or wet; a day of the record, 2026-11-20; or {told}")
                }),
        }
    }
}

/// Draw the papers.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip paper quarry-bank --sheet letter\n  hillsip paper quarry-bank --only pegs"
)]
pub struct Paper {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// Print one chapter of the report alone, and leave the other papers as they are
    #[arg(long, value_name = "CHAPTER", value_parser = chapter_names(), conflicts_with = "field")]
    pub only: Option<String>,
    /// Paper in the printer
    #[arg(long, default_value = "a4", value_parser = ["a4", "letter"])]
    pub sheet: String,
    /// How many people dig, 1 to 100
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=100))]
    pub people: u32,
    /// Write only the field sheet: one HTML file for a phone, with the pegs to tick off and room for what is seen
    #[arg(long)]
    pub field: bool,
    /// Print one JSON document (what was written) instead of sentences
    #[arg(long)]
    pub json: bool,
}

/// Bring a file.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  hillsip bring quarry-bank quarry-bank/bring/phone.gpx --as ground\n  \
        hillsip bring quarry-bank quarry-bank/bring/well.csv --as keep-clear --kind well --unit m --json")]
pub struct Bring {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// The file
    pub file: PathBuf,
    /// What its things are to become; without it nothing is written
    #[arg(long = "as", value_enum, value_name = "WHAT")]
    pub what: Option<BringAs>,
    /// Only the things of this layer, folder or type
    #[arg(long, value_name = "NAME")]
    pub layer: Option<String>,
    /// Unit of its numbers, where the file does not say: m, cm, mm, ft or us-ft
    #[arg(long, value_parser = unit_m, value_name = "UNIT")]
    pub unit: Option<f64>,
    /// What its x and y are, where the file does not say: site, degrees or an EPSG code such as EPSG:25830
    #[arg(long, value_name = "SYSTEM")]
    pub crs: Option<folder::bring::AskedSystem>,
    /// Kind of the lines (swale, drain, chute, pipe), barriers (fence, rock, wall, hedge) or things to keep clear of
    /// (building, septic, well, boundary, road, service, \"steep drop\", slip), where the file does not say
    #[arg(long, value_name = "KIND")]
    pub kind: Option<String>,
    /// For lines: where their surplus goes, \"ground\" or the name of a line
    #[arg(long, value_name = "LINE")]
    pub to: Option<String>,
    /// For a swale: where along it the sill lies, m from its first peg
    #[arg(long, value_name = "M", value_parser = |text: &str| metres(text, 0.0, 5000.0))]
    pub sill_at_m: Option<f64>,
    /// For trees: their species
    #[arg(long, value_name = "NAME")]
    pub species: Option<String>,
    /// Print one JSON document instead of sentences
    #[arg(long)]
    pub json: bool,
}

/// What things become.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum BringAs {
    /// Points of the ground, into ground/
    Ground,
    /// Lines of the works, into site.toml
    Line,
    /// Trees, into site.toml
    Tree,
    /// What lines have to jump, into site.toml
    Barrier,
    /// What water must keep away from, into site.toml
    KeepClear,
}

/// Metres in one unit.
fn unit_m(text: &str) -> Result<f64, String> {
    match text {
        "m" => Ok(1.0),
        "cm" => Ok(0.01),
        "mm" => Ok(0.001),
        "ft" => Ok(quantity::convert::ft_to_m(1.0)),
        // The foot of old American surveys: 1200/3937 m, by its definition of 1893.
        "us-ft" => Ok(1200.0 / 3937.0),
        _ => Err("write m, cm, mm, ft or us-ft".to_owned()),
    }
}

/// Hand the works on.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip hand-on quarry-bank --as gpx\n  hillsip hand-on quarry-bank --as geojson --json"
)]
pub struct HandOn {
    /// The site folder: the one that holds site.toml
    pub dir: PathBuf,
    /// What to write: gpx (phone), geojson (map), kml (globe), csv (spreadsheet), dxf (drawing), shp or gpkg (map). gpx and
    /// kml need place.anchor or place.crs
    #[arg(long = "as", value_name = "FORMAT")]
    pub format: folder::hand_on::Format,
    /// Folder to write into; without it the site's out/, where a later `hillsip paper` clears it away
    #[arg(long, value_name = "DIR")]
    pub to: Option<PathBuf>,
    /// Print one JSON document (what was written) instead of sentences
    #[arg(long)]
    pub json: bool,
}

fn chapter_names() -> Vec<&'static str> {
    paper::report::Chapter::ALL.iter().map(|chapter| chapter.key()).collect()
}

/// Open the app.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  hillsip open quarry-bank\n  hillsip open quarry-bank --port 0 --no-browser\n\n\
        Listens on this machine only, and needs no network. Every change is saved at once into site.toml; the states\n\
        before it stay in .hillsip/history. Ends with Ctrl-C."
)]
pub struct Open {
    /// The site folder; one without a site.toml is started in the app
    pub dir: PathBuf,
    /// Port to listen at on this machine, 0 for any that is free
    #[arg(long, value_name = "PORT", default_value_t = 8460)]
    pub port: u16,
    /// Do not show the page in the browser; the address is printed
    #[arg(long)]
    pub no_browser: bool,
}

/// Trees as they are typed: `fig=3`, `fig:black early=2`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TreesWanted {
    /// Species.
    pub species: String,
    /// Variety.
    pub variety: Option<String>,
    /// How many.
    pub count: usize,
}

impl FromStr for TreesWanted {
    type Err = String;

    fn from_str(text: &str) -> Result<TreesWanted, String> {
        let told =
            || format!("\"{text}\" is not a number of trees: write the species and 1 to 1000, such as fig=3");
        let (kind, count) = text.rsplit_once('=').ok_or_else(told)?;
        let (species, variety) = match kind.split_once(':') {
            Some((species, variety)) => (species.trim(), Some(variety.trim().to_owned())),
            None => (kind.trim(), None),
        };
        let count = count.trim().parse::<usize>().ok().filter(|count| (1..=1000).contains(count));
        match count {
            Some(count) if !species.is_empty() && variety.as_deref() != Some("") => {
                Ok(TreesWanted { species: species.to_owned(), variety, count })
            }
            _ => Err(told()),
        }
    }
}

/// A place as it is typed: `24,66`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct At {
    /// East, site metres.
    pub x_m: f64,
    /// North, site metres.
    pub y_m: f64,
}

impl FromStr for At {
    type Err = String;

    fn from_str(text: &str) -> Result<At, String> {
        let told = || format!("\"{text}\" is not a place: write east and north in metres, such as 24,66.5");
        let (x, y) = text.split_once(',').ok_or_else(told)?;
        let number = |part: &str| part.trim().parse::<f64>().ok().filter(|m| m.is_finite());
        match (number(x), number(y)) {
            (Some(x_m), Some(y_m)) => Ok(At { x_m, y_m }),
            _ => Err(told()),
        }
    }
}

/// What a handful feels like, as it is typed: `crumbles`, `ball` or `40,gritty`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Handful {
    /// It falls apart.
    Crumbles,
    /// It makes a ball and no ribbon.
    Ball,
    /// It makes a ribbon: its length, and what it rubs like.
    Ribbon {
        /// Length at which it breaks off.
        mm: f64,
        /// What a pinch rubbed wet is like.
        rubs: Pinch,
    },
}

/// What a pinch rubbed wet in the palm is like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pinch {
    /// Sand before all.
    Gritty,
    /// Like flour.
    Smooth,
    /// Neither rules.
    Neither,
}

/// Longest ribbon that a hand makes, mm; a longer one was typed in another unit.
const LONGEST_RIBBON_MM: f64 = 300.0;

impl FromStr for Handful {
    type Err = String;

    fn from_str(text: &str) -> Result<Handful, String> {
        match text.trim() {
            "crumbles" => return Ok(Handful::Crumbles),
            "ball" => return Ok(Handful::Ball),
            _ => {}
        }
        let parts: Vec<&str> = text.split(',').map(str::trim).collect();
        let [length, rubs] = parts[..] else {
            return Err(
                "write crumbles, ball, or a ribbon's length in mm and how it rubs, such as 40,gritty"
                    .to_owned(),
            );
        };
        let rubs = match rubs {
            "gritty" => Pinch::Gritty,
            "smooth" => Pinch::Smooth,
            "neither" => Pinch::Neither,
            other => return Err(format!("\"{other}\": write gritty, smooth or neither")),
        };
        Ok(Handful::Ribbon { mm: number(length, "the ribbon's length in mm", 1.0, LONGEST_RIBBON_MM)?, rubs })
    }
}

/// Layers in a jar, as they are typed: `45,30,15`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layers {
    /// Sand.
    pub sand: f64,
    /// Silt.
    pub silt: f64,
    /// Clay.
    pub clay: f64,
}

impl FromStr for Layers {
    type Err = String;

    fn from_str(text: &str) -> Result<Layers, String> {
        let parts: Vec<Option<f64>> = text.split(',').map(|part| part.trim().parse().ok()).collect();
        match parts[..] {
            [Some(sand), Some(silt), Some(clay)] => Ok(Layers { sand, silt, clay }),
            _ => Err("write the layers of sand, silt and clay, such as 45,30,15".to_owned()),
        }
    }
}

fn number(text: &str, what: &str, least: f64, most: f64) -> Result<f64, String> {
    text.parse::<f64>()
        .ok()
        .filter(|value| (least..=most).contains(value))
        .ok_or_else(|| format!("write {what} as a plain number from {least} to {most}"))
}

fn metres(text: &str, least_m: f64, most_m: f64) -> Result<f64, String> {
    text.parse::<f64>()
        .ok()
        .filter(|m| (least_m..=most_m).contains(m))
        .ok_or_else(|| format!("write metres as a plain number from {least_m} to {most_m}"))
}

fn grade(text: &str) -> Result<Slope, String> {
    let slope = Slope::parse(text).map_err(|fault| fault.to_string())?;
    if slope.rise_run().abs() > 0.5 {
        return Err("no line is walked that steeply: from level to 1:2".to_owned());
    }
    Ok(slope)
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn declarations_hold_together() {
        Args::command().debug_assert();
    }

    #[test]
    fn places_are_two_numbers() {
        assert_eq!("24, -66.5".parse(), Ok(At { x_m: 24.0, y_m: -66.5 }));
        for bad in ["24", "24;66", "24,66,1", "x,1", "NaN,1", "1e999,1", ""] {
            assert!(bad.parse::<At>().is_err(), "{bad}");
        }
    }
}
