//! Words of the field sheet. What stands in braces is filled in by the sheet as readings are typed.

use design::setting::ReadFrom;

/// What it is.
pub const TITLE: &str = "Field sheet";

/// Under the title.
pub fn says(read_from: ReadFrom) -> &'static str {
    match read_from {
        ReadFrom::LastPeg => {
            "Type what the tool shows from the peg before, in millimetres, and whether this peg stands lower or higher."
        }
        ReadFrom::FirstPeg => {
            "Type what the tool shows from peg 1, in millimetres, and whether this peg stands lower or higher."
        }
    }
}

/// Texts of the page, each under the name by which the sheet asks for it.
pub const PAGE: [(&str, &str); 63] = [
    ("kept", "Kept on this phone at every touch. Hand it over before you clear it."),
    ("not_kept", "This browser keeps nothing: save the file before you close the page."),
    ("older", "An earlier sheet of this site left {n} entries on this phone."),
    ("older_save", "Save them as a file"),
    ("done_count", "{done} of {all} pegs done"),
    ("peg", "Peg {n}"),
    ("along", "{m} m along"),
    ("done", "set"),
    ("reading", "shown, mm"),
    ("lower", "lower"),
    ("higher", "higher"),
    ("dug", "What was dug here"),
    ("cut", "peg down to bed, cm"),
    ("bank", "bank above peg, cm"),
    ("aim_cut", "meant: {cm}"),
    ("aim_bank", "meant, loose: {cm}"),
    ("no_bank", "no bank here"),
    ("jump", "A jump lies before this peg: do not dig there."),
    ("no_pegs", "No pegs are known: {why}."),
    ("proof", "Level back from the last peg to peg 1"),
    ("proof_says", "It should come back {fall} mm different; up to {allowed} mm off is chance."),
    ("proof_found", "found, mm"),
    ("proof_good", "Good: {off} mm off, no more than chance."),
    ("proof_bad", "{off} mm off, more than chance: read the line again before you dig."),
    ("chance", "Good. It is {d} mm off, no more than the tool can tell."),
    ("low_fine", "Low by {off} mm all in all. It does not matter: the bank has that in hand."),
    (
        "low_matters",
        "Low by {off} mm all in all, and it matters. Throw the bank {cm} cm higher here{move_up}.",
    ),
    ("low_over", "As it is, water comes over here in the design storm."),
    ("high_fine", "High by {off} mm all in all. It does not matter."),
    ("high_matters", "High by {off} mm all in all, and it matters. Dig {cm} cm deeper here{move_down}."),
    ("move_up", ", or move the peg {m} m uphill"),
    ("move_down", ", or move the peg {m} m downhill"),
    ("unread", "Pegs before it without a reading are counted as right."),
    ("stands", "From peg {n} to here the line does not fall: water will stand."),
    (
        "far_off",
        "That is {d} mm off. Is the reading in millimetres, and lower and higher the right way round?",
    ),
    ("cut_good", "Depth as meant."),
    ("cut_short", "{cm} cm more to dig."),
    (
        "cut_deep",
        "{cm} cm deeper than meant. It holds more, and the bank above it must stand: do not dig on.",
    ),
    ("bed_stands", "The bed does not fall from peg {n} to here: water will stand."),
    ("bank_good", "Bank high enough, settling allowed for."),
    ("bank_maybe", "High enough only if it settles little: {cm} cm more to be sure."),
    ("bank_low", "Too low by {cm} cm, even if it settles little."),
    ("seen", "Seen after rain"),
    ("seen_says", "What you see now tells more than any figure. One entry for each thing seen."),
    ("kind", "what"),
    ("line", "line"),
    ("no_line", "no line"),
    ("chainage", "m along"),
    ("tree", "tree"),
    ("no_tree", "no tree"),
    ("date", "day"),
    ("time", "hour"),
    ("note", "in your words"),
    ("photo", "name of a photo"),
    ("who", "seen by"),
    ("add", "Write it down"),
    ("strike", "Strike out"),
    ("missing", "Say at least a figure or some words."),
    ("hand_over", "Hand it over"),
    (
        "hand_over_says",
        "Save the file and send it to whoever keeps the site. Taking it in twice does no harm.",
    ),
    ("take_up", "Take up a saved file"),
    ("took_up", "{n} entries taken up."),
    ("took_none", "That is no file of this sheet; nothing was changed."),
];

/// Kinds of things seen: the word of the field book ([`site::SeenKind`]), what the sheet calls it, and the unit of its
/// figure.
pub const SEEN: [(&str, &str, &str); 7] = [
    ("rain", "rain in the gauge", "mm"),
    ("water edge", "water reached as far as", ""),
    ("breakout", "water broke out", "L/s"),
    ("flow", "water flowing", "L/s"),
    ("empty", "empty again, hours after the rain", "h"),
    ("tree", "a tree, how it does", ""),
    ("note", "something else", ""),
];

/// Of the buttons that make a file.
pub const SAVE_JSON: &str = "Save the file";
/// Of the buttons that make a file.
pub const SAVE_CSV: &str = "Save as a table";
/// Of the button that empties the sheet.
pub const CLEAR: &str = "Clear this sheet";
/// What is asked before it is emptied.
pub const CLEAR_ASK: &str = "Forget every tick, reading and note of this sheet? Save the file first.";
