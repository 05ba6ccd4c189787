//! What a grower has to know about the points that made the ground.

use ground::Tin;
use ground::tin::SAME_HEIGHT_M;
use quantity::convert::m_to_cm;
use quantity::figures;

use crate::raster::Note;

/// Places that were merged or left out, and breaklines that disagree.
pub(super) fn notes_on(tin: &Tin, file: &str) -> Vec<Note> {
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
