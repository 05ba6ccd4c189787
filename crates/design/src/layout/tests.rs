use super::*;
use crate::trial;
use serde_json::json;

const BY_HAND_M: f64 = 1e-9;

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < BY_HAND_M
}

/// On the plane hill (10 % up to the north) a level line runs due east at y = 30, z = 103: eleven pegs 2 m
/// apart, 10 % across it, downhill to its right.
#[test]
fn a_level_line_on_a_plane_by_hand() {
    let site = trial::on_the_hill(&json!({
        "line": [{ "name": "top", "kind": "swale", "from": [20.0, 30.0], "toward": [40.0, 30.0], "length_m": 20.0 }],
    }));
    let layout = lay_out(&site);
    let top = layout.line("top").unwrap();
    assert_eq!(top.pegs.len(), 11);
    assert_eq!(top.stopped_early, None);
    for (i, peg) in top.pegs.iter().enumerate() {
        let at = peg.at.unwrap();
        // The walk finds heights to a tenth of a millimetre, which on 10 % is a millimetre in plan.
        assert!((at.x_m - (20.0 + 2.0 * i as f64)).abs() < 1e-3 && (at.y_m - 30.0).abs() < 1e-2, "{at:?}");
        assert!((peg.cross_slope.unwrap() - 0.1).abs() < 1e-5);
        assert_eq!(peg.downhill_side, -1.0);
    }
    // Ten steps: 2 standard errors of 5 mm · √10, the frame's own fault cancelled in pairs; over 10 %.
    let band_m = 2.0 * 0.005 * 10f64.sqrt() / 0.1;
    assert!((top.pegs[10].band_m.unwrap() - band_m).abs() < 1e-6);
}

/// The same line walked west has its downhill side to the left, and trees stand south of both.
#[test]
fn the_downhill_side_turns_with_the_walk() {
    let line = |name: &str, x_m: f64, toward_x_m: f64| json!({ "name": name, "kind": "swale", "from": [x_m, 30.0], "toward": [toward_x_m, 30.0], "length_m": 20.0 });
    let site = trial::on_the_hill(&json!({
        "line": [line("east", 20.0, 40.0), line("west", 60.0, 40.0)],
        "tree": [
            { "name": "F1", "species": "fig", "line": "east", "at_m": 5.0, "downhill_m": 2.0 },
            { "name": "F2", "species": "fig", "line": "west", "at_m": 5.0, "downhill_m": 3.0 },
            { "name": "F3", "species": "fig", "line": "east", "x_m": 27.0, "y_m": 28.0 },
        ],
    }));
    let layout = lay_out(&site);
    assert_eq!(layout.line("west").unwrap().pegs[0].downhill_side, 1.0);
    let place = |i: usize| (layout.trees[i].at.unwrap(), layout.trees[i].chainage_m.unwrap());
    for (i, x_m, y_m, chainage_m) in [(0, 25.0, 28.0, 5.0), (1, 55.0, 27.0, 5.0), (2, 27.0, 28.0, 7.0)] {
        let (at, along_m) = place(i);
        assert!((at.x_m - x_m).abs() < 1e-2 && (at.y_m - y_m).abs() < 1e-2, "{at:?}");
        assert!((along_m - chainage_m).abs() < 1e-2);
    }
}

/// Pegs given straight down the hill: 20 m of chute fall 2 m, one in ten, with no slope across.
#[test]
fn given_pegs_take_their_heights_from_the_ground() {
    let site = trial::on_the_hill(&json!({
        "line": [{ "name": "down", "kind": "chute", "pegs": [[40.0, 40.0], [40.0, 30.0], [40.0, 20.0]], "to": "ground" }],
    }));
    let layout = lay_out(&site);
    let down = layout.line("down").unwrap();
    let heights: Vec<f64> = down.pegs.iter().map(|peg| peg.ground_z_m.unwrap()).collect();
    assert!(near(heights[0], 104.0) && near(heights[1], 103.0) && near(heights[2], 102.0), "{heights:?}");
    assert!(near(down.grade, 0.1) && near(down.length_m(), 20.0));
    assert!(down.pegs.iter().all(|peg| near(peg.cross_slope.unwrap(), 0.0)));
}

#[test]
fn a_tape_needs_no_ground() {
    let site = trial::by_tape(&json!({
        "line": [{
            "name": "top", "kind": "swale", "cross_slope": "10%",
            "tape": [{ "at_m": 0.0, "z_m": 10.0 }, { "at_m": 4.0, "z_m": 10.02 }, { "at_m": 8.0, "z_m": 9.99 }],
        }],
    }));
    let layout = lay_out(&site);
    let top = layout.line("top").unwrap();
    assert_eq!(
        top.pegs.iter().map(|peg| peg.ground_z_m).collect::<Vec<_>>(),
        [Some(10.0), Some(10.02), Some(9.99)]
    );
    assert_eq!(top.grade, 0.0);
    assert!(top.path.is_none() && top.pegs[2].cross_slope == Some(0.1));
    // Two steps of 2 m to the peg at 4 m: 2 · 5 mm · √2 over 10 %.
    assert!(near(top.pegs[1].band_m.unwrap(), 0.01 * 2f64.sqrt() / 0.1));
}

/// A line level at y = 30 comes to a well at (40, 30) that is given 15 m: it stops before x = 25. A boundary
/// with a local distance of 4 m stops it before x = 36.
#[test]
fn a_walk_stops_at_what_is_kept_clear_and_says_its_name() {
    let stopped = |keep_clear: serde_json::Value| {
        let site = trial::on_the_hill(&json!({
            "line": [{ "name": "top", "kind": "swale", "from": [10.0, 30.0], "toward": [40.0, 30.0], "length_m": 60.0 }],
            "keep_clear": [keep_clear],
        }));
        let layout = lay_out(&site);
        let top = layout.line("top").unwrap().clone();
        (top.pegs.last().unwrap().at.unwrap().x_m, top.stopped_early)
    };
    let (x_m, why) = stopped(json!({ "name": "yard well", "kind": "well", "at": [40.0, 30.0] }));
    assert_eq!(why, Some(StoppedEarly::KeptClear("yard well".to_owned())));
    assert!((22.9..=25.0).contains(&x_m), "{x_m}");
    let (x_m, why) = stopped(
        json!({ "name": "east fence", "kind": "boundary", "along": [[40.0, 0.0], [40.0, 60.0]], "distance_m": 4.0 }),
    );
    assert_eq!(why, Some(StoppedEarly::KeptClear("east fence".to_owned())));
    assert!((33.9..=36.0).contains(&x_m), "{x_m}");
}

#[test]
fn a_fence_is_jumped() {
    let site = trial::on_the_hill(&json!({
        "line": [{ "name": "top", "kind": "swale", "from": [10.0, 30.0], "toward": [40.0, 30.0], "length_m": 20.0 }],
        "barrier": [{ "name": "goat fence", "kind": "fence", "along": [[21.0, 0.0], [21.0, 60.0]] }],
    }));
    let layout = lay_out(&site);
    let jumps: Vec<f64> =
        layout.lines[0].pegs.iter().filter(|peg| peg.after_jump).map(|peg| peg.at.unwrap().x_m).collect();
    assert_eq!(jumps.len(), 1);
    assert!(jumps[0] > 21.3, "{jumps:?}");
}

#[test]
fn no_ground_is_said_and_not_invented() {
    let line = json!([{ "name": "top", "kind": "swale", "from": [-50.0, 30.0], "length_m": 20.0 }]);
    for site in [trial::on_the_hill(&json!({ "line": line })), trial::by_tape(&json!({ "line": line }))] {
        let layout = lay_out(&site);
        assert!(layout.lines[0].pegs.is_empty());
        assert_eq!(layout.lines[0].stopped_early, Some(StoppedEarly::NoGroundAtStart));
    }
}

/// Three level lines on the plane hill, 60 m of it from north to south, from x = 20 to 60: the top one at y = 40
/// gets the 40 m by 20 m above it, 800 m², the next at y = 25 the 40 m by 15 m between, 600 m². Known ground
/// ends half a cell inside the raster's edge for the surface, but whole cells drain; a line takes whole cells,
/// so each area may be out by one row of 40 cells, and at each end by the lean of one cell.
#[test]
fn each_line_gets_the_strip_above_it() {
    let line = |name: &str, y_m: f64| json!({ "name": name, "kind": "swale", "pegs": [[20.0, y_m], [60.0, y_m]], "bed_width_m": 0.5, "depth_m": 0.3 });
    let site = trial::on_the_hill(&json!({ "line": [line("top", 40.5), line("next", 25.5)] }));
    let layout = lay_out(&site);
    for (i, expected_m2) in [(0, 40.0 * 20.0), (1, 40.0 * 15.0)] {
        let line = &layout.lines[i];
        let area_m2 = line.catchment_m2().unwrap();
        assert!((area_m2 - expected_m2).abs() <= 45.0, "{area_m2}");
        let below_m2: f64 = line.arrives.iter().map(|arrives| arrives.downhill_m2).sum();
        assert!(below_m2 < 1e-9, "nothing runs uphill: {below_m2}");
        assert_eq!(line.arrives.len(), 40);
    }
}
