//! What a grower has to know about how well the ground is known.

use ground::tin::SAME_HEIGHT_M;
use ground::{FURTHEST_APART_M, Spacing, Surface, Tin};
use quantity::convert::m_to_cm;
use quantity::figures;

use crate::raster::Note;

/// The ditch people dig by hand. Common practice, no source.
const DITCH_DEPTH_M: f64 = 0.20;

/// Places that were merged or left out, breaklines that disagree, and whether the ground was measured closely
/// enough to lay a hand-dug ditch out by its contours.
pub(super) fn notes_on(surface: &Surface, file: &str) -> Vec<Note> {
    let mut notes = Vec::new();
    if let Surface::Tin(tin) = surface {
        notes.extend(of_net(tin, file));
    }
    notes.extend(surface.spacing().and_then(|spacing| of_spacing(spacing, file)));
    notes
}

fn of_net(tin: &Tin, file: &str) -> Vec<Note> {
    let mut notes = Vec::new();
    if tin.merged() > 0 {
        let text =
            format!("{} points of {file} are given twice with one height: each counts once", tin.merged());
        notes.push(Note::new("points-merged", text));
    }
    if tin.peeled() > 0 {
        let text = format!(
            "at the rim of {file} {} triangles span gaps between far points: there is no ground there",
            tin.peeled()
        );
        notes.push(Note::new("gaps-left-out", text));
    }
    for crossing in tin.crossings() {
        if crossing.disagreement_m <= SAME_HEIGHT_M {
            continue;
        }
        let text = format!(
            "two breaklines of {file} cross at ({}, {}) and differ there by {} cm: the later one is used, level it again",
            figures::fixed(crossing.at.x_m, 2),
            figures::fixed(crossing.at.y_m, 2),
            figures::fixed(m_to_cm(crossing.disagreement_m), 1)
        );
        notes.push(Note::new("breaklines-disagree", text));
    }
    notes
}

fn of_spacing(spacing: Spacing, file: &str) -> Option<Note> {
    if spacing.shows_ditch(DITCH_DEPTH_M) {
        return None;
    }
    let apart = if spacing.most_m > FURTHEST_APART_M {
        format!(
            "up to {} m apart (at most {} m would do)",
            figures::significant(spacing.most_m, 2),
            figures::significant(FURTHEST_APART_M, 1)
        )
    } else {
        format!("{} m apart", figures::significant(spacing.most_m, 2))
    };
    let bulge = spacing.bulge_m.map_or_else(
        || "how far the ground bulges between them is not known".to_owned(),
        |bulge_m| format!("the ground bulges by {} cm between them", figures::fixed(m_to_cm(bulge_m), 1)),
    );
    let text = format!(
        "heights of {file} are {apart} and {bulge}: too coarse to lay a ditch of {} cm out by contours alone, peg it with the tool",
        figures::fixed(m_to_cm(DITCH_DEPTH_M), 0)
    );
    Some(Note::new("ground-coarse", text))
}
