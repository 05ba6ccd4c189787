//! Every word of the papers that is not a name or a finding.

use quantity::figures::fixed;
use site::{LineKind, ToolKind};

pub mod field;
pub mod rain;
pub mod report;
pub mod season;
pub mod steps;

/// The program's name, as title blocks carry it.
pub const MADE_WITH: &str = "Hillsip";

/// What every paper says at its foot.
pub const CAUTIONS: [&str; 3] = [
    "Local codes and licensed practice come first. Where they say otherwise, they are right.",
    "Ask before you dig: have buried pipes and cables marked by their owners.",
    "Ponding on steep, slipping or dispersive ground can do great harm: ask an engineer.",
];
/// Heading of the cautions.
pub const CAUTIONS_TITLE: &str = "Before the spade";

/// Heading of the legend.
pub const LEGEND_TITLE: &str = "What the marks mean";
/// Heading of the list of lines.
pub const LINES_TITLE: &str = "The way the water takes";
/// Heading of the list of trees.
pub const TREES_TITLE: &str = "Trees";
/// Heading of the findings.
pub const FINDINGS_TITLE: &str = "Findings";
/// When nothing was found.
pub const NO_FINDINGS: &str = "None. That is no promise: look at the ground.";
/// Beside the scale bar.
pub const NORTH: &str = "N";
/// A scale's name.
pub fn scale(one_to: u32) -> String {
    format!("1 : {one_to}")
}

/// What the plan shows.
pub const PLAN_TITLE: &str = "Plan of the works";
/// What a long section shows.
pub fn long_section_title(line: &str) -> String {
    format!("Along {line}")
}
/// What a cross-section shows.
pub fn cross_section_title(line: &str) -> String {
    format!("Across {line}")
}
/// What a peg sheet shows.
pub const PEG_SHEET_TITLE: &str = "Peg sheet";

/// Under the title: what heights are measured from.
pub fn datum(elevation_m: f64, crs: Option<&str>) -> String {
    let places = match crs {
        Some(crs) => format!("places in {crs}"),
        None => "places in site metres".to_owned(),
    };
    format!(
        "Heights in m above the site datum; the site is about {} m above the sea; {places}.",
        fixed(elevation_m, 0)
    )
}

/// How lines are pegged.
pub fn pegged_with(tool: ToolKind, step_m: f64) -> String {
    let tool = match tool {
        ToolKind::AFrame => "an A-frame",
        ToolKind::Hose => "a water hose",
        ToolKind::LineLevel => "a line level",
        ToolKind::Level => "a level and staff",
    };
    format!("Pegged with {tool}, {} m from peg to peg.", fixed(step_m, 1))
}

/// Beside the scale bar: how to find out that the printer shrank the sheet.
pub fn print_check(bar_mm: f64) -> String {
    format!("This bar is {} mm. If not, print again at 100 %.", fixed(bar_mm, 0))
}

/// Under the scale: the interval of the contours.
pub fn contours(interval_m: f64, index_m: f64) -> String {
    let decimals = if interval_m < 0.1 {
        2
    } else if interval_m < 1.0 {
        1
    } else {
        0
    };
    format!(
        "Contours each {} m, heavy and figured each {} m.",
        fixed(interval_m, decimals),
        fixed(index_m, if index_m < 0.95 { 1 } else { 0 })
    )
}

/// When nothing is known of the ground.
pub const NO_GROUND: &str = "No ground was measured: no contours.";

/// A line's kind at the head of its row in a list.
pub fn kind(kind: LineKind) -> &'static str {
    match kind {
        LineKind::Swale => "Swale",
        LineKind::Drain => "Drain",
        LineKind::Chute => "Chute",
        LineKind::Pipe => "Pipe",
    }
}

/// Where a surplus goes.
pub fn goes_to(to: &str) -> String {
    if to == "ground" { "to open ground".to_owned() } else { format!("to {to}") }
}

/// The weight of a finding.
pub fn severity(severity: design::findings::Severity) -> &'static str {
    match severity {
        design::findings::Severity::Stop => "STOP",
        design::findings::Severity::Warn => "Mend",
        design::findings::Severity::Note => "Note",
    }
}

/// When a list does not fit.
pub fn more_on_peg_sheet(count: usize) -> String {
    format!("… and {count} more: see the peg sheet.")
}

/// When names found no room on the plan.
pub fn left_off(names: &[String]) -> String {
    format!("No room for the names of: {}.", names.join(", "))
}

/// Words of the legend.
pub mod legend {
    /// A swale.
    pub const SWALE: &str = "swale, ticks downhill";
    /// A drain.
    pub const DRAIN: &str = "drain, falls as it points";
    /// A chute.
    pub const CHUTE: &str = "chute, armoured";
    /// A pipe.
    pub const PIPE: &str = "pipe";
    /// A jump.
    pub const JUMP: &str = "jump: do not dig here";
    /// A sill with its spill.
    pub const SILL: &str = "sill, and where it spills";
    /// A peg.
    pub const PEG: &str = "peg; figures: m along";
    /// Water at the brim.
    pub const WATER: &str = "under water when full";
    /// A tree.
    pub const TREE: &str = "tree";
    /// Water comes in.
    pub const DROP: &str = "water comes in";
    /// A keep-clear.
    pub const KEEP_CLEAR: &str = "keep clear";
    /// A hard surface.
    pub const HARD_SURFACE: &str = "sheds rain";
    /// A barrier.
    pub const BARRIER: &str = "fence, wall, hedge, rock";
    /// A finding.
    pub const FINDING: &str = "finding, by number";
    /// The order.
    pub const ORDER: &str = "order in which water comes";
}

/// Beside the heights of a long section.
pub const HEIGHT_AXIS: &str = "Height above the site datum, m";
/// Name of the ground's line.
pub const GROUND_LINE: &str = "ground at the pegs";
/// Name of the bed's line.
pub const BED_LINE: &str = "bed";
/// Name of the bank's line.
pub const BANK_LINE: &str = "settled bank";
/// Row of a table.
pub const PEG_ROW: &str = "peg";
/// Row of a table.
pub const CHAINAGE_ROW: &str = "m along";
/// Row of a table.
pub const GROUND_ROW: &str = "ground";
/// Row of a table.
pub const BED_ROW: &str = "bed";
/// Row of a table.
pub const BANK_ROW: &str = "settled bank";

/// How a line falls.
fn falls(grade: f64) -> String {
    if grade == 0.0 {
        "level".to_owned()
    } else if grade > 0.0 {
        format!("falls 1 in {} from the first peg", fixed(1.0 / grade, 0))
    } else {
        format!("climbs 1 in {} from the first peg", fixed(-1.0 / grade, 0))
    }
}

/// A line in a few words, over its sections.
pub fn long_section_facts(kind: LineKind, grade: f64, as_dug: bool) -> String {
    let falls = falls(grade);
    let levels = if as_dug { "levels as taken along the dug line" } else { "levels as planned" };
    format!("{}, {falls}; {levels}", self::kind(kind))
}

/// The two scales of a long section and what they do to slopes.
pub fn long_section_scale(along_one_to: u32, up_one_to: u32) -> String {
    let times = f64::from(along_one_to) / f64::from(up_one_to);
    let exaggerated = if times == 1.0 {
        "true shape".to_owned()
    } else {
        format!("heights drawn {} times too steep", quantity::figures::significant(times, 2))
    };
    format!("{} along, {} up: {exaggerated}", scale(along_one_to), scale(up_one_to))
}

/// A sill in a long section.
pub fn sill_crest(crest_z_m: f64) -> String {
    format!("sill {}", fixed(crest_z_m, 2))
}

/// The lowest place of the bank.
pub fn lowest_bank(chainage_m: f64, z_m: f64) -> String {
    format!("lowest bank {} at {} m", fixed(z_m, 2), fixed(chainage_m, 1))
}

/// The level of the water.
pub fn spills_at(level_z_m: f64) -> String {
    format!("water spills at {}", fixed(level_z_m, 2))
}

/// Over a cross-section.
pub fn cross_section_facts(chainage_m: f64, peg: Option<usize>) -> String {
    let at = fixed(chainage_m, 1);
    match peg {
        Some(peg) => format!("At peg {peg}, {at} m along; looking the way the pegs run"),
        None => format!("{at} m along; looking the way the pegs run"),
    }
}

/// A cross-section's scale.
pub fn cross_section_scale(one_to: u32) -> String {
    format!("{}, true shape; measures in m", scale(one_to))
}

/// Words of a cross-section.
pub mod across {
    use quantity::Estimate;
    use quantity::figures::fixed;

    /// The uphill side.
    pub const UPHILL: &str = "uphill";
    /// The downhill side.
    pub const DOWNHILL: &str = "downhill";
    /// The peg.
    pub const PEG: &str = "peg";
    /// The ground before digging.
    pub const GROUND_BEFORE: &str = "ground as it was";
    /// The bank before it settles.
    pub const LOOSE: &str = "thrown up loose";
    /// A length on a dimension line.
    pub fn metres(length_m: f64) -> String {
        fixed(length_m, 2)
    }
    /// The bed's width.
    pub fn bed(width_m: f64) -> String {
        format!("bed {}", fixed(width_m, 2))
    }
    /// The ledge's width.
    pub fn ledge(width_m: f64) -> String {
        format!("ledge {}", fixed(width_m, 2))
    }
    /// The top's width.
    pub fn top(width_m: f64) -> String {
        format!("top {}", fixed(width_m, 2))
    }
    /// The bank from foot to foot.
    pub fn bank_foot(width_m: f64) -> String {
        format!("bank {}", fixed(width_m, 2))
    }
    /// The depth.
    pub fn depth(depth_m: f64) -> String {
        format!("dig {}", fixed(depth_m, 2))
    }
    /// The settled bank.
    pub fn settled(height_m: f64) -> String {
        format!("settled {}", fixed(height_m, 2))
    }
    /// The loose bank.
    pub fn loose(height_m: Estimate) -> String {
        format!(
            "throw up to {} ({} to {})",
            fixed(height_m.likely(), 2),
            fixed(height_m.low(), 2),
            fixed(height_m.high(), 2)
        )
    }
    /// A batter.
    pub fn batter(out_for_up: f64) -> String {
        let decimals = usize::from(out_for_up.fract() != 0.0);
        format!("{} out : 1 up", fixed(out_for_up, decimals))
    }
    /// The ground's slope.
    pub fn slope(rise_run: f64) -> String {
        format!("ground falls {} %", fixed(100.0 * rise_run, 0))
    }
    /// The water when the line first spills.
    pub fn brim(above_peg_m: f64) -> String {
        let way = if above_peg_m < 0.0 { "below" } else { "above" };
        format!("water when full: {} {way} the peg", fixed(above_peg_m.abs(), 2))
    }
    /// The water in a drain or chute when the design storm runs.
    pub fn running(depth_m: f64) -> String {
        format!("design storm: {} deep", fixed(depth_m, 2))
    }
    /// What is left above it.
    pub fn left(freeboard_m: f64) -> String {
        format!("{} to spare", fixed(freeboard_m, 2))
    }
}

/// Words of the peg sheet.
pub mod peg_sheet {
    use quantity::Estimate;
    use quantity::figures::fixed;
    use site::{LineKind, ToolKind, WalkedHow};

    /// Head of the first pages.
    pub const BEFORE_PEGGING: &str = "Before pegging";
    /// Foot of each page.
    pub const FOOT: &str =
        "Local codes and licensed practice come first. Ask before you dig: have buried services marked.";
    /// Number of a page.
    pub fn page(page: usize, count: usize) -> String {
        format!("page {page} of {count}")
    }
    /// Title of the first page.
    pub fn opening_title(site: &str) -> String {
        format!("Pegging {site}")
    }
    /// A page that goes on with a line.
    pub fn continued(line: &str) -> String {
        format!("{line}, continued")
    }

    /// The word that stops the work.
    pub const STOP: &str = "STOP";
    /// Beside it.
    pub const STOP_BESIDE: &str = "Do not dig before each of these is settled.";
    /// Before a remedy.
    pub const DO: &str = "Do:";
    /// Before whom to ask.
    pub const ASK: &str = "Ask:";
    /// Where a finding's limit comes from.
    pub fn limit_from(source: &str) -> String {
        format!("Source: {source}.")
    }
    /// When only stops were found.
    pub const NO_OTHER_FINDINGS: &str = "None besides those above.";

    /// Heading over the tool's use.
    pub const TOOL_TITLE: &str = "The tool in three lines";
    /// How a tool is used. Common practice, no source.
    pub fn how_to(tool: ToolKind, walked: Option<WalkedHow>) -> [&'static str; 3] {
        match tool {
            ToolKind::AFrame => {
                let [first, second] = A_FRAME;
                match walked {
                    Some(WalkedHow::Pivoted) => [first, second, A_FRAME_PIVOTED],
                    Some(WalkedHow::Carried) | None => [first, second, A_FRAME_CARRIED],
                }
            }
            ToolKind::Hose => HOSE,
            ToolKind::LineLevel => LINE_LEVEL,
            ToolKind::Level => LEVEL,
        }
    }
    const A_FRAME: [&str; 2] = [
        "Find the mark: stand the feet on two pegs and mark the string on the bar; swap the feet and mark again. \
         The mark is halfway between. Do it each morning, and out of the wind.",
        "Stand the back foot beside the last peg and move the front foot until the string hangs on the mark; drive \
         the next peg there. For a foot so many mm low, put a block of that thickness under it and use the mark.",
    ];
    const A_FRAME_PIVOTED: &str = "Turn the frame at each step, so that the back foot becomes the front foot: a wrong mark then cancels.";
    const A_FRAME_CARRIED: &str =
        "Here the same foot leads all the way, and a wrong mark adds up: level back to peg 1 before you dig.";
    const HOSE: [&str; 3] = [
        "Fill the hose until no bubble is left, and hold both ends against their staffs, open. Wait until the water \
         stands still before you read. Keep the hose off hot stone.",
        "One staff stays at peg 1. Move the other until its water stands as the sheet says, read up from the \
         ground, and drive the peg there.",
        "Stop both ends when you walk. If water was lost, read peg 1 again before going on.",
    ];
    const LINE_LEVEL: [&str; 3] = [
        "Hang the level in the very middle of a tight string between two staffs of one length.",
        "Hold the string at the same mark on both staffs and move the front staff until the bubble is centred. For \
         a string so many mm higher, hold it that much higher on the front staff.",
        "Turn the level end for end and read again: the place halfway between the two counts.",
    ];
    const LEVEL: [&str; 3] = [
        "Set up where you see most pegs from one place and about as far from each, on firm ground. Read the staff \
         at peg 1 and write it down.",
        "Move the staff until the reading is as the sheet says against that of peg 1, and drive the peg there.",
        "Before the instrument moves, read peg 1 again. After a move, begin from the last peg.",
    ];

    /// Reading at the first peg.
    pub const FIRST_PEG: &str = "start here";
    /// A frame that reads level.
    pub const ON_THE_MARK: &str = "on the mark";
    /// A frame whose front foot is lower.
    pub fn leading_foot_low(mm: &str) -> String {
        format!("front foot {mm} mm low")
    }
    /// A frame whose front foot is higher.
    pub fn leading_foot_high(mm: &str) -> String {
        format!("front foot {mm} mm high")
    }
    /// A peg further away than the tool reaches, at one level.
    pub const LEVEL_IN_STEPS: &str = "level, in steps";
    /// The same, lower.
    pub fn lower_in_steps(mm: &str) -> String {
        format!("{mm} mm lower, in steps")
    }
    /// The same, higher.
    pub fn higher_in_steps(mm: &str) -> String {
        format!("{mm} mm higher, in steps")
    }
    /// A string that is level.
    pub const BUBBLE_CENTRED: &str = "bubble centred";
    /// A string held higher on the front staff.
    pub fn string_up(mm: &str) -> String {
        format!("string {mm} mm higher here")
    }
    /// A string held lower on the front staff.
    pub fn string_down(mm: &str) -> String {
        format!("string {mm} mm lower here")
    }
    /// A staff that reads as at the first peg.
    pub const AS_AT_FIRST: &str = "same as at peg 1";
    /// A staff that reads more.
    pub fn more_than_at_first(mm: &str) -> String {
        format!("{mm} mm more than at peg 1")
    }
    /// A staff that reads less.
    pub fn less_than_at_first(mm: &str) -> String {
        format!("{mm} mm less than at peg 1")
    }

    /// Column of numbers.
    pub const PEG: &str = "peg";
    /// Column of chainages.
    pub const ALONG: &str = "m along";
    /// Column of readings.
    pub const READING: &str = "reading to aim for";
    /// Column of bands.
    pub const BAND: &str = "true line ± m";
    /// Column of cuts.
    pub const CUT: &str = "dig, m below peg";
    /// Column of banks.
    pub const BANK: &str = "throw up, m above peg";
    /// Column of notes.
    pub const NOTES: &str = "here";
    /// Column to fill in.
    pub const BED_AS_DUG: &str = "bed as dug";
    /// Column to fill in.
    pub const BANK_AS_DUG: &str = "bank as dug";
    /// Column to tick.
    pub const DONE: &str = "done";
    /// A figure that is not known.
    pub const NOT_KNOWN: &str = "?";
    /// A figure that does not apply.
    pub const NONE: &str = "–";
    /// Instead of a bank's height.
    pub const SILL: &str = "sill";
    /// Height of a sill's crest.
    pub fn crest(above_peg_m: f64) -> String {
        let way = if above_peg_m < 0.0 { "below" } else { "above" };
        format!("crest level at {} {way} peg, no bank", fixed(above_peg_m.abs(), 2))
    }
    /// Note after a jump.
    pub const AFTER_JUMP: &str = "beyond the barrier: carry the level over it";

    /// A line in a sentence.
    pub fn line_facts(kind: LineKind, grade: f64, length_m: f64, pegs: usize) -> String {
        let facts = super::falls(grade);
        format!(
            "{}, {facts}, {} m with {pegs} pegs on the trench's downhill lip.",
            super::kind(kind),
            fixed(length_m, 1)
        )
    }
    /// Width of the trench.
    pub fn bed_width(width_m: f64) -> String {
        format!("Bed {} m wide.", fixed(width_m, 2))
    }
    /// Why a walk ended.
    pub fn ended(why: &str) -> String {
        format!("It ends where it does because {why}.")
    }
    /// How much higher the loose bank is thrown.
    pub fn settlement(add: Estimate, source: &str) -> String {
        format!(
            "Loose banks settle: the height to throw up to is {} % above the bank that is meant, {} to {} % by {source}.",
            fixed(100.0 * add.likely(), 0),
            fixed(100.0 * add.low(), 0),
            fixed(100.0 * add.high(), 0)
        )
    }
    /// A line without pegs.
    pub fn no_pegs(why: Option<&str>) -> String {
        match why {
            Some(why) => format!("No pegs: {why}."),
            None => "No pegs: nothing is known of the ground along it.".to_owned(),
        }
    }

    /// Heading of the proof.
    pub const PROOF_TITLE: &str = "The proof: level back to peg 1";
    /// What levelling back should show.
    pub fn proof(last: usize, expected_fall_mm: f64, allowed_mm: f64) -> String {
        let expected = expected_fall_mm.round();
        let shows = if expected == 0.0 {
            format!("Peg {last} and peg 1 should be at one level")
        } else if expected > 0.0 {
            format!("Peg {last} should be {} mm lower than peg 1", fixed(expected, 0))
        } else {
            format!("Peg {last} should be {} mm higher than peg 1", fixed(-expected, 0))
        };
        format!(
            "Go back from peg {last} to peg 1, peg by peg, and add up what you read. {shows}; up to {} mm off, either \
             way, is within what the tool does by chance. More than that: find the step that is wrong and peg again.",
            fixed(allowed_mm, 0)
        )
    }
    /// What the tool's own fault would show.
    pub fn fault(shows_mm: f64) -> String {
        if shows_mm.abs() < 0.5 {
            "A wrong mark or level of the tool itself cancels on the way back: it shows only when the tool is checked."
                .to_owned()
        } else {
            format!("A fault of the tool itself would show as {} mm more.", fixed(shows_mm.abs(), 0))
        }
    }
    /// Why the proof is needed.
    pub const LOOKS_UPHILL: &str =
        "A level line on a slope often looks as if it ran uphill. Trust the readings, not the eye.";
    /// Before the box.
    pub const FOUND: &str = "Found on the way back:";
    /// After the box.
    pub const MM: &str = "mm";
}

/// Words of the figures under a cross-section.
pub mod facts {
    /// Heading.
    pub const WATER_TITLE: &str = "The water";
    /// Heading.
    pub const DIGGING_TITLE: &str = "The digging";
    /// Heading.
    pub const FLOW_TITLE: &str = "How it runs in the design storm";
    /// Heading of a sill.
    pub fn sill_title(at_m: &str, to: &str) -> String {
        format!("Sill at {at_m} m, {to}")
    }
    /// Row.
    pub const HOLDS: &str = "holds";
    /// Row.
    pub const EMPTY_AFTER: &str = "empty by soaking after";
    /// Row.
    pub const FILLED_BY: &str = "filled by rain of";
    /// Row.
    pub const OWN_GROUND: &str = "ground that drains to it";
    /// Row.
    pub const STORM_PEAK: &str = "peak of the design storm";
    /// Row.
    pub const CUT: &str = "dig, undisturbed soil";
    /// Row.
    pub const LOOSE: &str = "the same, loose";
    /// Row.
    pub const BANK: &str = "bank, settled";
    /// Row.
    pub const SPARE: &str = "soil to spare";
    /// Row.
    pub const SHORT: &str = "soil short for the bank";
    /// Row.
    pub const PERSON_DAYS: &str = "days of one person";
    /// Row.
    pub const FLOW: &str = "flow";
    /// Row.
    pub const DEPTH: &str = "depth";
    /// Row.
    pub const SPEED: &str = "speed";
    /// Row.
    pub const STANDS: &str = "the bed stands";
    /// Row.
    pub const BRIM: &str = "brim-full it carries";
    /// Row.
    pub const CREST_LENGTH: &str = "crest, length";
    /// Row.
    pub const CREST_LEVEL: &str = "crest, level";
    /// Row.
    pub const HEAD: &str = "water over the crest then";
    /// Row.
    pub const FREEBOARD: &str = "left to the bank, of what is wanted";
    /// Row.
    pub const LENGTH_NEEDED: &str = "length that leaves it";
    /// Row.
    pub const LANDING: &str = "landing: speed, of what it stands";

    /// With its unit.
    pub fn m(figure: &str) -> String {
        format!("{figure} m")
    }
    /// With its unit.
    pub fn m2(figure: &str) -> String {
        format!("{figure} m²")
    }
    /// With its unit.
    pub fn m3(figure: &str) -> String {
        format!("{figure} m³")
    }
    /// With its unit.
    pub fn l_s(figure: &str) -> String {
        format!("{figure} L/s")
    }
    /// With its unit.
    pub fn m_s(figure: &str) -> String {
        format!("{figure} m/s")
    }
    /// With its unit.
    pub fn hours(figure: &str) -> String {
        format!("{figure} h")
    }
    /// With its unit.
    pub fn rain(figure: &str) -> String {
        format!("{figure} mm")
    }
    /// What there is, of what there should be.
    pub fn of(there: &str, wanted: &str) -> String {
        format!("{there} of {wanted}")
    }
}

/// Words that begin a sentence.
pub fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
