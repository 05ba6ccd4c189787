//! `hillsip sizes`: what each line holds, moves and costs.

use std::io::Write;

use design::layout::Arrives;
use design::sizes::{AlongFlow, Answer, Digging, Holding, LineSizes, Raise, SillSizes, SpillsOver, Supply};
use quantity::Estimate;
use quantity::convert::{m_to_cm, m_to_mm};
use quantity::figures::{fixed, range};

use super::{Document, Ended, Refused, only_line, print_json, tell_stops};
use crate::args;
use crate::print::{Column, paragraph, table};

/// Prints the sizes of the lines.
pub fn run(args: &args::Sizes, out: &mut dyn Write) -> Result<Ended, Refused> {
    let loaded = folder::load(&args.dir)?;
    let site = &loaded.site;
    let answers = design::answer(site);
    let mut sizes = answers.sizes;
    only_line(&mut sizes.lines, args.line.as_deref(), |line| &line.line)?;
    if args.json {
        print_json(out, &Document::new(site, &sizes))?;
    } else {
        print(&sizes, out)?;
    }
    Ok(tell_stops(&answers.findings, &args.dir))
}

fn print(answer: &Answer, out: &mut dyn Write) -> Result<(), Refused> {
    overview(&answer.lines, out)?;
    for line in &answer.lines {
        writeln!(out)?;
        print_line(line, out)?;
    }
    writeln!(out)?;
    if !answer.spill_order.is_empty() {
        let order = format!("Water meets the lines in this order: {}.", answer.spill_order.join(", "));
        paragraph(out, "", &order)?;
    }
    for rate in &answer.soils {
        let words = format!("{} soaks {} mm/h: {}.", rate.soil, range(rate.soak_mm_h, 1), rate.known_from());
        paragraph(out, "", &words)?;
    }
    let days = format!(
        "All digging: {} person-days. Sizes are of the plan, not a promise: local codes and licensed practice \
         come first.",
        range(answer.person_days, 1)
    );
    paragraph(out, "", &days)?;
    let bound = "Peaks are an upper bound: each line passes all it gets on at once, and keeps nothing. `hillsip rain \
                 --full-before` works the design storm through lines that are already full: size sills by that.";
    paragraph(out, "", bound)?;
    Ok(())
}

fn overview(lines: &[LineSizes], out: &mut dyn Write) -> Result<(), Refused> {
    let held =
        |value: fn(&Holding) -> Option<f64>| move |line: &LineSizes| line.holding.as_ref().and_then(value);
    let column = |heading: &'static str, decimals: usize, value: &dyn Fn(&LineSizes) -> Option<f64>| {
        let cell = |line| value(line).map_or_else(String::new, |value| fixed(value, decimals));
        Column::numbers(heading, lines.iter().map(cell).collect::<Vec<_>>().into_iter())
    };
    table(
        out,
        vec![
            Column::words("line", lines.iter().map(|line| line.line.clone())),
            Column::words("kind", lines.iter().map(kind_words)),
            column("length\nm", 1, &|line| Some(line.length_m)),
            column("holds\nm³", 1, &held(|holding| Some(holding.holds_m3))),
            column("filled\nby rain\nmm", 0, &|line| line.supply.holds_rain_mm),
            column("drains\nto it\nm²", 0, &|line| line.supply.catchment_m2),
            column("peak\nL/s", 1, &|line| line.supply.design_peak_l_s.map(Estimate::likely)),
            column("empty\nafter\nh", 0, &held(|holding| holding.drain_down_h.map(Estimate::likely))),
            column("person\ndays", 1, &|line| {
                line.digging.as_ref().map(|digging| digging.person_days.likely())
            }),
            Column::words("surplus\nto", lines.iter().map(|line| line.spills_to.join(", "))),
        ],
    )?;
    Ok(())
}

fn kind_words(line: &LineSizes) -> String {
    if line.as_dug { format!("{}, as dug", line.kind) } else { line.kind.to_string() }
}

fn print_line(line: &LineSizes, out: &mut dyn Write) -> Result<(), Refused> {
    writeln!(out, "\"{}\"", line.line)?;
    let mut sentences: Vec<String> = Vec::new();
    if let Some(because) = &line.unknown_because {
        sentences.push(format!("Its section is not known: {because}."));
    }
    if let Some(holding) = &line.holding {
        sentences.extend(holding_words(holding));
    }
    sentences.extend(comes_from_words(&line.supply));
    if let Some(peak) = line.supply.design_peak_l_s {
        sentences.push(format!("At the peak of the design storm {} L/s come to it.", range(peak, 1)));
    }
    if let Some(flow) = &line.flow {
        sentences.push(flow_words(flow));
    }
    sentences.extend(line.digging.as_ref().map(digging_words));
    for sentence in sentences {
        paragraph(out, "  ", &sentence)?;
    }
    if !line.sills.is_empty() {
        sill_table(&line.sills, out)?;
    }
    Ok(())
}

fn digging_words(digging: &Digging) -> String {
    let spare = digging.spare_fill_m3;
    let balance = if spare.low() < 0.0 && spare.high() > 0.0 {
        let (short_m3, over_m3) = (fixed(-spare.low(), 1), fixed(spare.high(), 1));
        format!("the cut may be {short_m3} m³ short of that or leave {over_m3} m³ over")
    } else if spare.likely() < 0.0 {
        format!("the cut is short of that by {} m³", range(spare.map_monotone(|m3| -m3), 1))
    } else {
        format!("the cut leaves {} m³ over", range(spare, 1))
    };
    format!(
        "Digging: {} m³ cut, {} m³ once loose; {} m³ of settled bank, and {balance}. {} person-days.",
        fixed(digging.cut_m3, 1),
        range(digging.loose_m3, 1),
        fixed(digging.fill_m3, 1),
        range(digging.person_days, 1)
    )
}

/// From where the water of the line's own ground comes, and the metre that gets the most.
fn comes_from_words(supply: &Supply) -> Option<String> {
    let bearing_deg = supply.comes_from_deg?;
    let area_m2 = |metre: &Arrives| metre.uphill_m2 + metre.downhill_m2 + metre.own_m2;
    let most = supply.drains_here.iter().max_by(|a, b| area_m2(a).total_cmp(&area_m2(b)))?;
    Some(format!(
        "Its own ground drains to it from the {}, most to the metre at {} m: {} m².",
        compass_point(bearing_deg),
        fixed(most.from_m, 0),
        fixed(area_m2(most), 0)
    ))
}

/// The nearest of the eight points of the compass.
fn compass_point(bearing_deg: f64) -> &'static str {
    const POINTS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    POINTS[(bearing_deg / 45.0).round() as usize % POINTS.len()]
}

fn holding_words(holding: &Holding) -> Vec<String> {
    let mut words = Vec::new();
    if holding.holds_m3 > 0.0 {
        words.push(format!(
            "Holds {} m³; pegged with this tool it may come out from {} to {} m³.",
            fixed(holding.holds_m3, 1),
            fixed(holding.holds_range_m3.low(), 1),
            fixed(holding.holds_range_m3.high(), 1)
        ));
    }
    if let (Some(z_m), Some(over)) = (holding.spills_at_z_m, holding.spills_over) {
        let over = match over {
            SpillsOver::Sill => "over a sill, as meant",
            SpillsOver::Bank => "over its bank: a breakout",
            SpillsOver::Uphill => "uphill, where the ground is lower than the bank: water walks round behind",
            SpillsOver::End => "at its end, as meant",
        };
        words.push(format!("Spills first {over}, at {} m.", fixed(z_m, 3)));
    }
    if let Some(low) = &holding.lowest_bank {
        let against = low.below_sill_m.map_or_else(String::new, |below_m| {
            let side = if below_m > 0.0 { "below" } else { "above" };
            format!(", {} cm {side} the sill", fixed(m_to_cm(below_m.abs()), 1))
        });
        words.push(format!(
            "Lowest place of the bank: {} m along, at {} m{against}.",
            fixed(low.chainage_m, 1),
            fixed(low.z_m, 3)
        ));
    }
    words.extend(raise_words(&holding.raise));
    if let Some(hours) = holding.drain_down_h {
        words.push(format!("Soaks away from full in {} h.", range(hours, 0)));
    }
    words
}

/// What raising the lowest place of the bank gains: nothing where a sill lets the water out first.
fn raise_words(raise: &[Raise]) -> Option<String> {
    /// Less than this prints as nothing.
    const HALF_A_HUNDREDTH_M3: f64 = 0.005;
    if raise.is_empty() {
        return None;
    }
    let gains: Vec<String> = raise
        .iter()
        .filter(|raise| raise.gains_m3 >= HALF_A_HUNDREDTH_M3)
        .map(|raise| format!("by {} cm gains {} m³", fixed(raise.by_cm, 0), fixed(raise.gains_m3, 2)))
        .collect();
    Some(if gains.is_empty() {
        "Raising that place holds no more: the water leaves elsewhere first.".to_owned()
    } else {
        format!("Raising that place {}.", gains.join(", "))
    })
}

fn flow_words(flow: &AlongFlow) -> String {
    let rock = flow.rock_d50_mm.map_or_else(String::new, |d50_mm| {
        format!(" Rock to line it: {} mm in the middle size.", fixed(d50_mm, 0))
    });
    format!(
        "Carries {} L/s {} cm deep at {} m/s, where its bed stands {} m/s; brim-full {} L/s.{rock}",
        fixed(flow.flow_l_s, 1),
        fixed(m_to_cm(flow.depth_m), 0),
        fixed(flow.speed_m_s, 2),
        fixed(flow.stands_m_s, 2),
        fixed(flow.brim_l_s, 1)
    )
}

fn sill_table(sills: &[SillSizes], out: &mut dyn Write) -> Result<(), Refused> {
    let column = |heading: &'static str, decimals: usize, value: &dyn Fn(&SillSizes) -> Option<f64>| {
        let cell = |sill| value(sill).map_or_else(String::new, |value| fixed(value, decimals));
        Column::numbers(heading, sills.iter().map(cell).collect::<Vec<_>>().into_iter())
    };
    table(
        out,
        vec![
            column("sill at\nm", 1, &|sill| Some(sill.at_m)),
            column("wide\nm", 1, &|sill| Some(sill.width_m)),
            column("crest\nm", 3, &|sill| sill.crest_z_m),
            column("must\npass\nL/s", 1, &|sill| sill.design_l_s),
            column("water\nover it\nmm", 0, &|sill| sill.head_m.map(m_to_mm)),
            column("if\nsmooth\nmm", 0, &|sill| sill.head_hard_crest_m.map(m_to_mm)),
            column("bank\nleft\nmm", 0, &|sill| sill.freeboard_m.map(m_to_mm)),
            column("left\nwanted\nmm", 0, &|sill| Some(m_to_mm(sill.freeboard_wanted_m))),
            column("length\nneeded\nm", 1, &|sill| sill.width_needed_m),
            column("landing\nsees\nm/s", 2, &|sill| sill.landing.map(|landing| landing.speed_m_s)),
            column("landing\nstands\nm/s", 2, &|sill| sill.landing.map(|landing| landing.stands_m_s)),
            column("rock\nmm", 0, &|sill| sill.landing.and_then(|landing| landing.rock_d50_mm)),
            column("6 mm\naskew\ntimes", 2, &|sill| sill.out_of_level_times),
            Column::words("to", sills.iter().map(|sill| sill.to.clone())),
        ],
    )?;
    Ok(())
}
