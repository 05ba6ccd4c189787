//! Edits of real files, and of files nobody would write but TOML allows.

use proptest::prelude::*;
use serde_json::json;

use super::*;

const QUARRY_BANK: &str = include_str!("../../../../fixtures/quarry-bank/site.toml");

fn edit(words: serde_json::Value) -> Edit {
    serde_json::from_value(words).unwrap()
}

#[expect(clippy::needless_pass_by_value, reason = "so that json!(…) can be written in the call")]
fn done(text: &str, words: serde_json::Value) -> (String, Said) {
    apply(text, &edit(words.clone())).unwrap_or_else(|error| panic!("{words}: {error}"))
}

fn plan(text: &str) -> site::Plan {
    read_plan(PLAN, text.as_bytes()).unwrap()
}

/// Lines that only one of two texts has: first those that went, then those that came.
fn difference<'a>(before: &'a str, after: &'a str) -> (Vec<&'a str>, Vec<&'a str>) {
    let without = |all: &'a str, others: &str| {
        let mut others: Vec<&str> = others.lines().collect();
        let mut left = Vec::new();
        for line in all.lines() {
            match others.iter().position(|other| *other == line) {
                Some(i) => drop(others.remove(i)),
                None => left.push(line),
            }
        }
        left
    };
    (without(before, after), without(after, before))
}

fn remarks(text: &str) -> Vec<&str> {
    text.lines().filter_map(|line| line.find('#').map(|at| &line[at..])).collect()
}

#[test]
fn a_start_moves_and_nothing_else() {
    let (after, said) =
        done(QUARRY_BANK, json!({"do": "move_peg", "line": "middle", "peg": 1, "x_m": 25.004, "y_m": 40.5}));
    let (went, came) = difference(QUARRY_BANK, &after);
    assert_eq!(went, ["from = [24, 41]", "toward = [40, 43]"]);
    assert_eq!(came, ["from = [25, 40.5]", "toward = [41, 42.5]"]);
    assert_eq!(said.says, "moved peg 1 of \"middle\" to 25, 40.5");
}

#[test]
fn a_given_peg_moves_and_a_walked_one_does_not() {
    let words = json!({"do": "move_peg", "line": "yard chute", "peg": 2, "x_m": 69.5, "y_m": 56});
    let (after, _) = done(QUARRY_BANK, words);
    assert_eq!(difference(QUARRY_BANK, &after).1, ["pegs = [[70.6, 62.0], [69.5, 56]]"]);
    let refused = |peg: usize, line: &str| {
        apply(QUARRY_BANK, &Edit::MovePeg { line: line.to_owned(), peg, x_m: 0.0, y_m: 0.0 })
            .unwrap_err()
            .to_string()
    };
    assert!(refused(3, "yard chute").contains("has 2 pegs, and peg 3 was asked for"));
    assert!(refused(2, "top").contains("stands where the walk from peg 1 puts it"));
    assert!(refused(1, "midle").contains("did you mean \"middle\"?"));
}

#[test]
fn a_value_keeps_the_remark_on_its_line() {
    let (after, said) = done(QUARRY_BANK, json!({"do": "set", "path": ["tool", "random_mm"], "value": 3.5}));
    assert_eq!(
        difference(QUARRY_BANK, &after).1,
        ["random_mm = 3.5        # measured: out and back over ten pegs"]
    );
    assert_eq!(said.says, "random_mm of tool is 3.5");
    let path = json!(["rain", "design", "depth_mm"]);
    let (after, _) = done(QUARRY_BANK, json!({"do": "set", "path": path, "value": 70}));
    assert_eq!(plan(&after).rain.design.depth_mm, 70.0);
    let (after, _) =
        done(QUARRY_BANK, json!({"do": "set", "path": ["line", "top", "lining"], "value": "grass"}));
    assert_eq!(difference(QUARRY_BANK, &after).1, ["lining = \"grass\""]);
    let (again, _) = done(&after, json!({"do": "set", "path": ["line", "top", "lining"], "value": null}));
    assert_eq!(again, QUARRY_BANK);
}

#[test]
fn a_value_out_of_range_is_refused_in_words() {
    let words = json!({"do": "set", "path": ["line", "top", "depth_m"], "value": 44});
    let error = apply(QUARRY_BANK, &edit(words)).unwrap_err();
    assert_eq!(error.faults()[0].code, "out-of-range");
    let words = json!({"do": "set", "path": ["line", "top", "deep"], "value": 0.3});
    assert_eq!(apply(QUARRY_BANK, &edit(words)).unwrap_err().faults()[0].code, "unknown-key");
}

#[test]
fn sills_are_added_moved_sized_and_taken_out() {
    let sill = json!({"at_m": 30, "width_m": 3, "below_bank_m": 0.15, "to": "low"});
    let (with, _) = done(QUARRY_BANK, json!({"do": "add_sill", "line": "middle", "sill": sill}));
    let (went, came) = difference(QUARRY_BANK, &with);
    assert!(went.is_empty());
    let expected =
        ["", "  [[line.sill]]", "  at_m = 30", "  width_m = 3", "  below_bank_m = 0.15", "  to = \"low\""];
    assert_eq!(came.iter().filter(|line| !line.is_empty()).count(), expected.len() - 1, "{came:?}");
    let (moved, _) = done(&with, json!({"do": "move_sill", "line": "middle", "sill": 2, "at_m": 31.5}));
    let (sized, said) = done(
        &moved,
        json!({"do": "size_sill", "line": "middle", "sill": 2, "width_m": 4, "below_bank_m": 0.12}),
    );
    assert_eq!(said.says, "sill 2 of \"middle\" is 4 m wide and 0.12 m below the bank");
    let sill = &plan(&sized).lines[3].sills[1];
    assert_eq!((sill.at_m, sill.width_m, sill.below_bank_m), (31.5, 4.0, 0.12));
    let (gone, _) = done(&sized, json!({"do": "remove_sill", "line": "middle", "sill": 2}));
    assert_eq!(gone, QUARRY_BANK);
}

#[test]
fn what_is_added_comes_out_again_without_a_trace() {
    for (add, what, name) in [
        (
            json!({"do": "add_tree", "tree": {"name": "N1", "species": "fig", "line": "top", "at_m": 5}}),
            "tree",
            "N1",
        ),
        (
            json!({"do": "add_source", "source": {"name": "shed roof", "kind": "hard surface", "area_m2": 40, "into": "low", "at_m": 3}}),
            "source",
            "shed roof",
        ),
        (
            json!({"do": "add_barrier", "barrier": {"name": "rock", "kind": "rock", "along": [[30.123456, 20], [31, 22]]}}),
            "barrier",
            "rock",
        ),
        (
            json!({"do": "add_keep_clear", "keep_clear": {"name": "spring", "kind": "well", "at": [5, 6]}}),
            "keep_clear",
            "spring",
        ),
        (
            json!({"do": "add_soil", "soil": {"name": "sand lens", "texture": "sand", "area": [[0, 0], [9, 0], [9, 9]]}}),
            "soil",
            "sand lens",
        ),
        (
            json!({"do": "add_line", "line": {"name": "new", "kind": "swale", "from": [30, 50], "length_m": 20, "bed_width_m": 0.5, "depth_m": 0.4, "bank_height_m": 0.3,
            "sill": [{"at_m": 5, "width_m": 2, "below_bank_m": 0.15, "to": "ground"}]}}),
            "line",
            "new",
        ),
    ] {
        let (with, _) = done(QUARRY_BANK, add.clone());
        assert!(difference(QUARRY_BANK, &with).0.is_empty(), "{add}");
        let (without, _) = done(&with, json!({"do": "remove", "what": what, "name": name}));
        assert_eq!(without, QUARRY_BANK, "{add}");
        let error = apply(&with, &edit(add)).unwrap_err();
        assert!(matches!(error, EditError::NameTaken { .. }), "{error}");
    }
}

#[test]
fn a_removed_line_passes_its_water_on() {
    let trees = json!([{"tree": "P1", "x_m": 30, "y_m": 40}]);
    let words = json!({"do": "remove", "what": "line", "name": "middle", "trees": trees});
    let error = apply(QUARRY_BANK, &edit(words)).unwrap_err();
    assert!(!error.faults().is_empty(), "trees without a place are a fault: {error}");
    let trees: Vec<serde_json::Value> =
        (1..=4).map(|i| json!({"tree": format!("P{i}"), "x_m": 30 + i, "y_m": 40})).collect();
    let (after, said) =
        done(QUARRY_BANK, json!({"do": "remove", "what": "line", "name": "middle", "trees": trees}));
    let plan = plan(&after);
    assert_eq!(plan.lines[0].sills[0].to, "low");
    assert_eq!(plan.lines.iter().find(|line| line.name == "yard chute").unwrap().to.as_deref(), Some("low"));
    assert_eq!(plan.trees[3].x_m, Some(31.0));
    assert!(said.also.contains(&"sill 1 of \"top\" now spills to \"low\"".to_owned()), "{said:?}");
}

#[test]
fn a_walked_line_is_cut_and_joined() {
    let onward = json!({"from": [44, 42.5], "toward": [46, 42.6]});
    let words =
        json!({"do": "cut_line", "line": "middle", "at_m": 20, "name": "middle east", "onward": onward});
    let (cut, said) = done(QUARRY_BANK, words);
    let halves = plan(&cut);
    let east = halves.lines.iter().find(|line| line.name == "middle east").unwrap();
    assert_eq!(east.length_m, Some(40.0));
    let (at_m, width_m, to) = (east.sills[0].at_m, east.sills[0].width_m, east.sills[0].to.as_str());
    assert_eq!((at_m, width_m, to), (3.0, 6.0, "low"), "like the only sill, at the cut");
    let tree = halves.trees.iter().find(|tree| tree.name == "P3").unwrap();
    assert_eq!((tree.line.as_deref(), tree.at_m), (Some("middle east"), Some(11.0)));
    assert!(said.also.iter().any(|also| also.contains("P3")), "{said:?}");
    let (joined, _) = done(&cut, json!({"do": "join_lines", "line": "middle", "with": "middle east"}));
    let (one_sill, _) = done(&joined, json!({"do": "remove_sill", "line": "middle", "sill": 2}));
    assert_eq!(one_sill, QUARRY_BANK);
}

/// The starter is a line by tape with one sill, remarks and all.
#[test]
fn a_line_by_tape_is_cut_with_the_remarks_on_its_sill() {
    let text = crate::starter("Back field").replace("at_m = 5  ", "at_m = 25 ");
    let (cut, _) = done(&text, json!({"do": "cut_line", "line": "top", "at_m": 15, "name": "beyond"}));
    let halves = plan(&cut);
    let tape: Vec<(f64, f64)> =
        halves.lines[1].tape.as_ref().unwrap().iter().map(|p| (p.at_m, p.z_m)).collect();
    // Half way from 100.01 to 99.99.
    assert_eq!(tape, [(0.0, 100.0), (5.0, 99.99), (15.0, 100.0)]);
    assert_eq!(halves.lines[1].sills[0].at_m, 10.0);
    assert_eq!(halves.lines[0].sills[0].at_m, 13.75, "2.5 m wide and ending at the cut");
    assert_eq!(halves.lines[0].catchment_m2.unwrap() + halves.lines[1].catchment_m2.unwrap(), 900.0);
    assert!(cut.contains("# its middle, from the first peg"), "{cut}");
    let (joined, _) = done(&cut, json!({"do": "join_lines", "line": "top", "with": "beyond"}));
    assert_eq!(plan(&joined).lines[0].tape.as_ref().unwrap().len(), 5);
    assert_eq!(plan(&joined).lines[0].sills[1], plan(&text).lines[0].sills[0]);
}

#[test]
fn pegs_are_fixed_and_cut_and_joined_by_their_places() {
    let pegs = json!([[24, 41], [64, 41], [84, 41]]);
    let (fixed, _) = done(QUARRY_BANK, json!({"do": "fix_pegs", "line": "middle", "pegs": pegs}));
    assert!(fixed.contains("pegs = [[24, 41], [64, 41], [84, 41]]\nbed_width_m = 0.6"), "{fixed}");
    let (cut, _) = done(&fixed, json!({"do": "cut_line", "line": "middle", "at_m": 45, "name": "rest"}));
    let halves = plan(&cut);
    let rest = halves.lines.iter().find(|line| line.name == "rest").unwrap();
    assert_eq!(rest.pegs.as_ref().unwrap(), &[[69.0, 41.0], [84.0, 41.0]]);
    let (joined, _) = done(&cut, json!({"do": "join_lines", "line": "middle", "with": "rest"}));
    let whole = plan(&joined);
    assert_eq!(whole.lines[3].pegs.as_ref().unwrap().len(), 4);
    assert_eq!(whole.trees, plan(&fixed).trees);
}

#[test]
fn a_new_name_is_followed_by_all_that_name_it() {
    let (after, _) =
        done(QUARRY_BANK, json!({"do": "rename", "what": "line", "name": "middle", "to": "the long one"}));
    assert!(!after.contains("\"middle\""), "{after}");
    let (back, _) =
        done(&after, json!({"do": "rename", "what": "line", "name": "the long one", "to": "middle"}));
    assert_eq!(back, QUARRY_BANK);
}

#[test]
fn trees_move_between_line_and_place() {
    let (placed, _) =
        done(QUARRY_BANK, json!({"do": "move_tree", "tree": "P1", "to": {"x_m": 40.126, "y_m": 20}}));
    let tree = plan(&placed).trees.into_iter().find(|tree| tree.name == "P1").unwrap();
    assert_eq!((tree.x_m, tree.line, tree.downhill_m), (Some(40.13), None, None));
    let words = json!({"do": "move_tree", "tree": "P1", "to": {"line": "middle", "at_m": 16}});
    assert_eq!(plan(&done(&placed, words).0), plan(QUARRY_BANK));
    // So far downhill says more than a spot, and takes its place.
    let spot = json!({"do": "set", "path": ["tree", "A1", "spot"], "value": "mound"});
    let words =
        json!({"do": "move_tree", "tree": "A1", "to": {"line": "low", "at_m": 20, "downhill_m": 3.5}});
    let moved = plan(&done(&done(QUARRY_BANK, spot).0, words).0);
    let tree = moved.trees.iter().find(|tree| tree.name == "A1").unwrap();
    assert_eq!((tree.spot, tree.downhill_m), (None, Some(3.5)));
    let trees = json!([{"name": "Q1", "species": "quince", "line": "low", "at_m": 55}, {"name": "Q2", "species": "quince", "line": "low", "at_m": 60}]);
    let (more, said) = done(QUARRY_BANK, json!({"do": "add_trees", "trees": trees}));
    assert_eq!(said.says, "added 2 trees: Q1, Q2");
    assert_eq!(plan(&more).trees.len(), plan(QUARRY_BANK).trees.len() + 2);
}

#[test]
fn line_ends_and_the_byte_order_mark_are_kept() {
    let text = format!("\u{feff}{}", QUARRY_BANK.replace('\n', "\r\n"));
    let tree = json!({"name": "N1", "species": "fig", "line": "top", "at_m": 5});
    let (with, _) = done(&text, json!({"do": "add_tree", "tree": tree}));
    assert!(with.starts_with('\u{feff}'));
    assert_eq!(with.matches('\n').count(), with.matches("\r\n").count());
    assert_eq!(done(&with, json!({"do": "remove", "what": "tree", "name": "N1"})).0, text);
}

/// Lists in brackets and a file without a last newline.
#[test]
fn unusual_forms_are_edited_too() {
    let text = "name = 'A'\nplace = { latitude_deg = 38, elevation_m = 9 }\ntool = { kind = 'level', step_m = 2 }\nsoil = [{ name = 'f', texture = 'loam' }]\n\
        rain = { design = { depth_mm = 60, hours = 6, once_in_years = 10 } }\n\
        tree = [\n  { name = 'a', species = 'fig', x_m = 1, y_m = 1 }, # first\n  { name = 'b', species = 'fig', x_m = 2, y_m = 1 } # last\n]\n\
        line = [{ name = 'l', kind = 'swale', pegs = [[0, 0], [9, 0]], bed_width_m = 0.5, depth_m = 0.4, bank_height_m = 0.3, sill = [{ at_m = 8, width_m = 1, below_bank_m = 0.1, to = 'ground' }] }]";
    let tree = json!({"name": "c", "species": "fig", "x_m": 3, "y_m": 1});
    let (with, _) = done(text, json!({"do": "add_tree", "tree": tree}));
    assert!(with.contains("# first") && with.contains("# last"), "{with}");
    let (without, _) = done(&with, json!({"do": "remove", "what": "tree", "name": "a"}));
    assert_eq!(plan(&without).trees.iter().map(|t| t.name.as_str()).collect::<Vec<_>>(), ["b", "c"]);
    let sill = json!({"at_m": 3, "width_m": 2, "below_bank_m": 0.15, "to": "ground"});
    let (spills, _) = done(&without, json!({"do": "add_sill", "line": "l", "sill": sill}));
    assert_eq!(plan(&spills).lines[0].sills.len(), 2);
    let (one, _) = done(&spills, json!({"do": "remove_sill", "line": "l", "sill": 1}));
    assert_eq!(plan(&one).lines[0].sills.len(), 1);
    let soil = json!({"name": "s", "texture": "sand", "area": [[0, 0], [9, 0], [9, 9]]});
    let (soiled, _) = done(&one, json!({"do": "add_soil", "soil": soil}));
    assert_eq!(plan(&soiled).soils.len(), 2);
    let (named, _) = done(&soiled, json!({"do": "set", "path": ["tool", "bias_mm"], "value": 1}));
    let (priced, _) = done(&named, json!({"do": "set", "path": ["prices", "currency"], "value": "EUR"}));
    assert_eq!(plan(&priced).prices.unwrap().currency, "EUR");
}

#[test]
fn a_plan_with_faults_is_not_edited() {
    let text = QUARRY_BANK.replace("kind = \"a-frame\"", "kind = \"a-fram\"");
    let error = apply(&text, &edit(json!({"do": "remove", "what": "tree", "name": "F1"}))).unwrap_err();
    assert!(matches!(error, EditError::FaultsBefore(_)) && error.to_string().contains("a-fram"), "{error}");
}

#[test]
fn edits_touch_what_they_change() {
    let before = plan(QUARRY_BANK);
    for words in [
        json!({"do": "move_peg", "line": "low", "peg": 1, "x_m": 21, "y_m": 24}),
        json!({"do": "set", "path": ["rain", "design", "depth_mm"], "value": 50}),
        json!({"do": "remove", "what": "tree", "name": "F2"}),
        json!({"do": "add_keep_clear", "keep_clear": {"name": "spring", "kind": "well", "at": [5, 6]}}),
        json!({"do": "size_sill", "line": "low", "sill": 1, "width_m": 9}),
    ] {
        let edit = edit(words);
        let (after, _) = apply(QUARRY_BANK, &edit).unwrap();
        assert_eq!(changed(&before, &plan(&after)), edit.touches(), "{edit:?}");
    }
}

/// An edit of some kind, of things that may or may not be there by the time it comes.
fn any_edit() -> impl Strategy<Value = Edit> {
    let line = prop::sample::select(vec!["top", "middle", "low", "yard drain", "yard chute", "new"]);
    let tree = prop::sample::select(vec!["F1", "P2", "A3", "N1"]);
    (0..14_usize, line, tree, 0.0..120.0_f64, 0.0..90.0_f64, 1..4_usize).prop_map(|(which, line, tree, x, y, n)| {
        edit(match which {
            0 => json!({"do": "move_peg", "line": line, "peg": n, "x_m": x, "y_m": y}),
            1 => json!({"do": "fix_pegs", "line": line, "pegs": [[x, y], [x + 9.0, y], [x + 20.0, y + 1.0]]}),
            2 => json!({"do": "add_line", "line": {"name": "new", "kind": "swale", "from": [x, y], "length_m": 20, "bed_width_m": 0.5, "depth_m": 0.4, "bank_height_m": 0.3, "sill": [{"at_m": 9, "width_m": 2, "below_bank_m": 0.15, "to": "ground"}]}}),
            3 => json!({"do": "cut_line", "line": line, "at_m": y / 2.0, "name": format!("{line} {n}"), "onward": {"from": [x, y], "toward": [x + 2.0, y]}}),
            4 => json!({"do": "join_lines", "line": line, "with": format!("{line} {n}")}),
            5 => json!({"do": "remove", "what": "line", "name": line}),
            6 => json!({"do": "rename", "what": "line", "name": line, "to": "new"}),
            7 => json!({"do": "set", "path": ["line", line, "depth_m"], "value": x / 40.0}),
            8 => json!({"do": "add_sill", "line": line, "sill": {"at_m": y / 3.0, "width_m": 2, "below_bank_m": 0.1, "to": "ground"}}),
            9 => json!({"do": "move_sill", "line": line, "sill": n, "at_m": y / 3.0}),
            10 => json!({"do": "remove_sill", "line": line, "sill": n}),
            11 => json!({"do": "add_tree", "tree": {"name": tree, "species": "fig", "x_m": x, "y_m": y}}),
            12 => json!({"do": "remove", "what": "tree", "name": tree}),
            _ => json!({"do": "move_tree", "tree": tree, "to": {"line": line, "at_m": y / 3.0}}),
        })
    })
}

proptest! {
    // A case is up to a dozen edits, each of which reads the whole plan twice: forty keep the run within seconds.
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Whatever is edited, in whatever order: the file loads after each edit, remarks outside of what was taken out
    /// survive, and a state is the same bytes whichever way it is come back to.
    #[test]
    fn the_file_always_loads_and_remarks_survive(edits in prop::collection::vec(any_edit(), 1..12)) {
        let mut states = vec![QUARRY_BANK.to_owned()];
        for edit in &edits {
            let text = states.last().unwrap();
            let Ok((after, said)) = apply(text, edit) else { continue };
            prop_assert!(read_plan(PLAN, after.as_bytes()).is_ok());
            prop_assert!(!said.says.is_empty());
            prop_assert_eq!(apply(text, edit).unwrap().0, after.clone());
            // No remark of the example stands on a key that these edits take out.
            prop_assert_eq!(remarks(&after), remarks(QUARRY_BANK));
            states.push(after);
        }
    }

    /// Any text at all: an answer or an error, never a panic.
    #[test]
    fn odd_texts_do_no_harm(text in "(name = 'a'\n|\\[\\[line\\]\\]\n|\\[place\\]\n|x = \\[1, \\{a = 2\\}\\] # r\n|\n|# r\n|\u{feff}|\r\n){0,12}") {
        let _ = apply(&text, &edit(json!({"do": "remove", "what": "tree", "name": "F1"})));
        prop_assert!(text::PlanText::of(&text).map_or(true, |unchanged| unchanged.into_text() == text));
    }
}
