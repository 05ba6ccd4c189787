//! Sites that lack much, lie far from zero, or carry names that a drawing could trip over.

use std::collections::BTreeMap;

use design::Answers;
use ground::{Frame, Grid, Surface};
use paper::page::{Mark, Page, Shape};
use paper::{Paper, Subject, papers, svg};
use site::Site;

pub fn site(toml: &str, ground: Option<Surface>) -> Site {
    let plan = folder::plan_file::read_plan("site.toml", toml.as_bytes())
        .unwrap_or_else(|faults| panic!("{faults:?}"));
    Site { plan, ground, dug: BTreeMap::new(), measured: site::Measured::default() }
}

fn drawn(site: &Site) -> (Vec<Paper>, Answers) {
    let answers = design::answer(site);
    let papers = papers(&Subject::new(site, &answers));
    (papers, answers)
}

fn names(papers: &[Paper]) -> Vec<&str> {
    papers.iter().map(|paper| paper.file.as_str()).collect()
}

/// What every site file has.
pub const HEAD: &str = r#"
[place]
latitude_deg = 38.7
elevation_m = 205
[tool]
kind = "hose"
step_m = 5.0
[rain]
design = { depth_mm = 40, hours = 6, once_in_years = 10 }
[[soil]]
name = "loam"
texture = "loam"
"#;

fn plane(west_m: f64, south_m: f64) -> Surface {
    let frame = Frame { columns: 80, rows: 60, cell_m: 1.0, west_m, north_m: south_m + 60.0 };
    Surface::Grid(Grid::from_fn(frame, |p| Some(200.0 + 0.1 * (p.y_m - south_m))))
}

/// A line of which only what a tape and a hose tell is known.
pub fn by_tape() -> Site {
    let toml = format!(
        r#"name = "Tape only"
{HEAD}
[[line]]
name = "long one"
kind = "swale"
tape = [{{ at_m = 0, z_m = 10.00 }}, {{ at_m = 10, z_m = 10.02 }}, {{ at_m = 20, z_m = 9.99 }}]
cross_slope = "10%"
catchment_m2 = 400
bed_width_m = 0.5
depth_m = 0.3
bank_height_m = 0.3
  [[line.sill]]
  at_m = 4
  width_m = 2
  below_bank_m = 0.1
  to = "ground"
"#
    );
    site(&toml, None)
}

/// Only a tape and a hose: no plan, but sections and a peg sheet.
#[test]
fn a_line_by_tape_has_sections_and_pegs() {
    let (papers, _) = drawn(&by_tape());
    let names = names(&papers);
    assert!(!names.contains(&"plan"));
    for wanted in ["pegs-1", "along-long-one", "across-long-one"] {
        assert!(names.contains(&wanted), "{names:?}");
    }
    let pegs: String = papers.iter().map(|paper| svg::write(&paper.page)).collect();
    assert!(pegs.contains("10 mm more than at peg 1"), "peg 3 is 10 mm lower than peg 1");
}

/// A site of which nothing but the ground is known still has a plan; one without ground still has a peg sheet.
#[test]
fn empty_sites() {
    let toml = format!("name = \"Nothing yet\"\n{HEAD}");
    let (papers, _) = drawn(&site(&toml, Some(plane(0.0, 0.0))));
    assert!(names(&papers).contains(&"plan"));
    let (papers, _) = drawn(&site(&toml, None));
    assert_eq!(names(&papers), ["pegs-1"]);
}

const WITH_A_LINE: &str = r#"
[[line]]
name = "NAME"
kind = "drain"
pegs = [[X1, Y], [X2, Y]]
bed_width_m = 0.5
depth_m = 0.3
bank_height_m = 0
to = "ground"
[[tree]]
name = "NAME t"
species = "NAME s"
x_m = X2
y_m = Y
[[keep_clear]]
name = "NAME k"
kind = "building"
area = [[X2, Y], [X3, Y], [X3, Y2]]
[[barrier]]
name = "NAME b"
kind = "fence"
along = [[X1, Y2], [X2, Y2]]
"#;

pub fn with_a_line(name: &str, west_m: f64, south_m: f64) -> Site {
    let toml = format!("name = \"{name} site\"\n{HEAD}{WITH_A_LINE}");
    let at = |m: f64| format!("{m:.1}");
    let toml = toml
        .replace("NAME", name)
        .replace("X1", &at(west_m + 10.0))
        .replace("X2", &at(west_m + 60.0))
        .replace("X3", &at(west_m + 66.0))
        .replace("Y2", &at(south_m + 38.0))
        .replace('Y', &at(south_m + 30.0));
    site(&toml, Some(plane(west_m, south_m)))
}

/// Longest unbroken run on a page: the drain of 50 m, drawn once as its rim and once as its dashes.
fn longest_run_mm(page: &Page) -> f64 {
    fn visit(marks: &[Mark], longest_mm: &mut f64) {
        for mark in marks {
            match mark {
                Mark::Within(_, marks) => visit(marks, longest_mm),
                Mark::Drawn(drawn) if drawn.pen == Some(paper::ink::CASING_PEN) => {
                    if let Shape::Run(spots) = &drawn.shape {
                        let length_mm: f64 = spots.windows(2).map(|p| p[0].distance_mm(p[1])).sum();
                        *longest_mm = longest_mm.max(length_mm);
                    }
                }
                _ => {}
            }
        }
    }
    let mut longest_mm = 0.0;
    visit(&page.marks, &mut longest_mm);
    longest_mm
}

/// 50 m at 1 : 500 are 100 mm, at 1 : 250 they are 200 mm; near zero and in a projected system alike, where a
/// double holds a place to 1e-9 m.
#[test]
fn fifty_metres_measure_what_the_scale_says() {
    for (west_m, south_m) in [(0.0, 0.0), (500_000.0, 4_600_000.0)] {
        let site = with_a_line("d", west_m, south_m);
        let (papers, _) = drawn(&site);
        let plan = &papers[0].page;
        let written = svg::write(plan);
        let one_to = [100.0, 200.0, 250.0, 500.0]
            .into_iter()
            .find(|n| written.contains(&format!("1 : {n} on A4")))
            .unwrap();
        let length_mm = longest_run_mm(plan);
        assert!((length_mm - 50_000.0 / one_to).abs() < 1e-5, "{length_mm} mm at 1 : {one_to}");
        assert!(written.contains("width=\"297mm\" height=\"210mm\" viewBox=\"0 0 297 210\""));
    }
}

/// A name is data, never markup: whatever it holds, the papers hold it escaped and stay well-formed.
#[test]
fn names_are_escaped() {
    let site = with_a_line("<b>&'x'</b>", 0.0, 0.0);
    let (papers, _) = drawn(&site);
    assert!(papers.len() > 2);
    for paper in &papers {
        let written = svg::write(&paper.page);
        assert!(!written.contains("<b>") && !written.contains("&'"), "{}", paper.file);
        assert!(written.contains("&lt;b&gt;&amp;&#39;x&#39;"), "{}", paper.file);
    }
}

/// North lies where the anchor's bearing says: with the y axis pointing east (90°), north is on the left, and
/// its letter stands left of where it stands with the y axis pointing north.
#[test]
fn north_follows_the_anchor() {
    let letter = |bearing_deg: f64| {
        let mut site = with_a_line("d", 0.0, 0.0);
        site.plan.place.anchor = Some(site::Anchor { longitude_deg: -5.2, latitude_deg: 38.7, bearing_deg });
        let (papers, _) = drawn(&site);
        let found = papers[0].page.marks.iter().find_map(|mark| match mark {
            Mark::Text(text) if text.words == "N" => Some(text.at),
            _ => None,
        });
        found.unwrap()
    };
    let (north, west) = (letter(0.0), letter(90.0));
    assert!(west.x_mm < north.x_mm - 5.0 && west.y_mm > north.y_mm + 5.0);
}

/// What says stop stands in its own frame on the first page a helper sees, with whom to ask.
#[test]
fn a_stop_cannot_be_missed() {
    let mut site = with_a_line("d", 0.0, 0.0);
    let first_page = |site: &Site| {
        let (papers, answers) = drawn(site);
        let page = papers.into_iter().find(|paper| paper.file == "pegs-1").unwrap().page;
        (svg::write(&page), answers.findings.says_stop())
    };
    site.plan.keep_clears.clear();
    let (page, says_stop) = first_page(&site);
    assert!(!says_stop && !page.contains(">STOP<"));
    site.plan.soils[0].jar_test = Some(site::JarTest::Clouds);
    let (page, says_stop) = first_page(&site);
    assert!(says_stop && page.contains(">STOP<") && page.contains("Soil that melts in water"));
}
