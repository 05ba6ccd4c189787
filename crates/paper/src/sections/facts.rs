//! Figures under a cross-section: the water, the digging, the way out.

use quantity::Estimate;
use quantity::figures::{fixed, range};
use site::LineKind;

use crate::ink::{Face, HAIR_PEN, INK, INK_2};
use crate::lettering::{cut, width_mm};
use crate::page::{Align, Mark, Rect, Spot, Text};
use crate::subject::Known;
use crate::words::facts as said;

/// Height that the figures take at the foot of a drawing.
pub(crate) const HEIGHT_MM: f64 = 40.0;
const HEADING_MM: f64 = 3.2;
const ROW_MM: f64 = 4.5;
const SIZE_MM: f64 = 2.7;
const GUTTER_MM: f64 = 9.0;
/// Rows that fit under a heading.
const ROWS: usize = 7;

/// A heading with rows of what is meant and how much it is.
pub(crate) struct Group {
    pub(crate) title: String,
    pub(crate) rows: Vec<(String, String)>,
}

/// Writes the figures of a line into an area, group beside group.
pub(super) fn write(line: &Known, area: Rect, marks: &mut Vec<Mark>) {
    let mut groups = vec![water(line), digging(line)];
    groups.extend(way_out(line));
    write_groups(groups, area, marks);
}

/// Writes up to three groups side by side; one without rows is left out.
pub(crate) fn write_groups(mut groups: Vec<Group>, area: Rect, marks: &mut Vec<Mark>) {
    groups.retain(|group| !group.rows.is_empty());
    groups.truncate(3);
    let width_mm = (area.width_mm - 2.0 * GUTTER_MM) / 3.0;
    for (i, group) in groups.iter().enumerate() {
        let left = area.left_mm + i as f64 * (width_mm + GUTTER_MM);
        write_group(group, Rect::new(left, area.top_mm, width_mm, area.height_mm), marks);
    }
}

pub(crate) fn write_group(group: &Group, area: Rect, marks: &mut Vec<Mark>) {
    let base = area.top_mm + HEADING_MM;
    let title = cut(&group.title, Face::SerifBold, HEADING_MM, area.width_mm);
    marks.push(Text::new(Spot::new(area.left_mm, base), title, Face::SerifBold, HEADING_MM).into());
    let rule = base + 1.4;
    marks.push(Mark::run(vec![Spot::new(area.left_mm, rule), Spot::new(area.right_mm(), rule)], HAIR_PEN));
    for (i, (what, how_much)) in group.rows.iter().take(ROWS).enumerate() {
        let y = rule + ROW_MM * (i as f64 + 0.85);
        let how_much_mm = width_mm(how_much, Face::Sans, SIZE_MM);
        let what = cut(what, Face::Serif, SIZE_MM, area.width_mm - how_much_mm - 2.0);
        marks.push(Text::new(Spot::new(area.left_mm, y), what, Face::Serif, SIZE_MM).in_colour(INK_2).into());
        marks.push(
            Text::new(Spot::new(area.right_mm(), y), how_much, Face::Sans, SIZE_MM)
                .aligned(Align::End)
                .in_colour(INK)
                .into(),
        );
    }
}

fn water(line: &Known) -> Group {
    let mut rows = Vec::new();
    let supply = &line.sizes.supply;
    if let Some(holding) = line.holding().filter(|_| line.line.kind == LineKind::Swale) {
        rows.push((said::HOLDS.to_owned(), said::m3(&range(holding.holds_range_m3, 1))));
        if let Some(hours) = holding.drain_down_h {
            rows.push((said::EMPTY_AFTER.to_owned(), said::hours(&range(hours, 0))));
        }
    }
    if let Some(rain_mm) = supply.holds_rain_mm {
        rows.push((said::FILLED_BY.to_owned(), said::rain(&fixed(rain_mm, 0))));
    }
    if let Some(area_m2) = supply.catchment_m2 {
        rows.push((said::OWN_GROUND.to_owned(), said::m2(&fixed(area_m2, 0))));
    }
    if let Some(peak_l_s) = supply.design_peak_l_s {
        rows.push((said::STORM_PEAK.to_owned(), said::l_s(&range(peak_l_s, 0))));
    }
    Group { title: said::WATER_TITLE.to_owned(), rows }
}

fn digging(line: &Known) -> Group {
    let mut rows = Vec::new();
    if let Some(digging) = &line.sizes.digging {
        rows.push((said::CUT.to_owned(), said::m3(&fixed(digging.cut_m3, 1))));
        rows.push((said::LOOSE.to_owned(), said::m3(&range(digging.loose_m3, 1))));
        if digging.fill_m3 > 0.0 {
            rows.push((said::BANK.to_owned(), said::m3(&fixed(digging.fill_m3, 1))));
            rows.push(spare(digging.spare_fill_m3));
        }
        rows.push((said::PERSON_DAYS.to_owned(), range(digging.person_days, 1)));
    }
    Group { title: said::DIGGING_TITLE.to_owned(), rows }
}

/// Soil to spare, or how much is short.
fn spare(spare_m3: Estimate) -> (String, String) {
    if spare_m3.high() <= 0.0 {
        let short_m3 = Estimate::spanning(-spare_m3.likely(), -spare_m3.high(), -spare_m3.low());
        (said::SHORT.to_owned(), said::m3(&range(short_m3, 1)))
    } else {
        (said::SPARE.to_owned(), said::m3(&range(spare_m3, 1)))
    }
}

/// Each sill, or how a drain or chute runs.
fn way_out(line: &Known) -> Vec<Group> {
    let mut groups = Vec::new();
    if let Some(flow) = &line.sizes.flow {
        groups.push(Group {
            title: said::FLOW_TITLE.to_owned(),
            rows: vec![
                (said::FLOW.to_owned(), said::l_s(&fixed(flow.flow_l_s, 0))),
                (said::DEPTH.to_owned(), said::m(&fixed(flow.depth_m, 2))),
                (said::SPEED.to_owned(), said::m_s(&fixed(flow.speed_m_s, 2))),
                (said::STANDS.to_owned(), said::m_s(&fixed(flow.stands_m_s, 2))),
                (said::BRIM.to_owned(), said::l_s(&fixed(flow.brim_l_s, 0))),
            ],
        });
    }
    for sill in &line.sizes.sills {
        let mut rows = vec![(said::CREST_LENGTH.to_owned(), said::m(&fixed(sill.width_m, 1)))];
        if let Some(z_m) = sill.crest_z_m {
            rows.push((said::CREST_LEVEL.to_owned(), said::m(&fixed(z_m, 2))));
        }
        if let Some(flow_l_s) = sill.design_l_s {
            rows.push((said::STORM_PEAK.to_owned(), said::l_s(&fixed(flow_l_s, 0))));
        }
        if let Some(head_m) = sill.head_m {
            rows.push((said::HEAD.to_owned(), said::m(&fixed(head_m, 2))));
        }
        if let Some(freeboard_m) = sill.freeboard_m {
            rows.push((
                said::FREEBOARD.to_owned(),
                said::of(&fixed(freeboard_m, 2), &fixed(sill.freeboard_wanted_m, 2)),
            ));
        }
        if let Some(width_m) = sill.width_needed_m {
            rows.push((said::LENGTH_NEEDED.to_owned(), said::m(&fixed(width_m, 1))));
        }
        if let Some(landing) = &sill.landing {
            let speeds = said::of(&fixed(landing.speed_m_s, 2), &fixed(landing.stands_m_s, 2));
            rows.push((said::LANDING.to_owned(), said::m_s(&speeds)));
        }
        groups.push(Group {
            title: said::sill_title(&fixed(sill.at_m, 1), &crate::words::goes_to(&sill.to)),
            rows,
        });
    }
    groups
}
