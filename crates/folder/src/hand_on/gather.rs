//! From a site and its answers to the things that are handed on.

use design::Answers;
use design::layout::LaidLine;
use design::pegs::{LinePegs, PegRow};
use design::sizes::{LineSizes, SillSizes};
use ground::Point;
use site::{KeepClear, Line, Site, Source, Tree, Xy};

use super::feature::{Feature, Features, Layer, Shape, Value, Vertex};

/// An attribute, or nothing where it is not known.
type Known = Option<(&'static str, Value)>;

/// Everything of a site that has a place.
pub(super) fn gather(site: &Site, answers: &Answers) -> Features {
    let mut left_out = Vec::new();
    let lines = lines_at(site, answers);
    let mut features: Vec<Feature> = Vec::new();
    for line in &lines {
        match line.feature() {
            Some(feature) => features.push(feature),
            None => left_out.push(format!("line \"{}\"", line.line.name)),
        }
    }
    features.extend(lines.iter().flat_map(|line| line.pegs.pegs.iter().filter_map(|peg| line.peg(peg))));
    features.extend(lines.iter().flat_map(|line| line.sills(site)));
    for (tree, laid) in site.plan.trees.iter().zip(&answers.layout.trees) {
        match laid.at {
            Some(at) => features.push(tree_at(site, tree, at)),
            None => left_out.push(format!("tree \"{}\"", tree.name)),
        }
    }
    for source in &site.plan.sources {
        match source_at(site, answers, source) {
            Some(feature) => features.push(feature),
            None => left_out.push(format!("source \"{}\"", source.name)),
        }
    }
    features.extend(site.plan.barriers.iter().map(|barrier| {
        let shape = Shape::Line(vertices(site, &barrier.along));
        named(Layer::Barriers, &barrier.name, shape, [text("kind", barrier.kind.words())])
    }));
    features.extend(site.plan.keep_clears.iter().filter_map(|thing| keep_clear(site, thing)));
    Features { features, left_out }
}

/// A line of the plan with all that is known of it.
struct LineAt<'a> {
    line: &'a Line,
    laid: &'a LaidLine,
    pegs: &'a LinePegs,
    sizes: &'a LineSizes,
}

fn lines_at<'a>(site: &'a Site, answers: &'a Answers) -> Vec<LineAt<'a>> {
    let drawn = site.plan.lines.iter().zip(&answers.layout.lines);
    let worked_out = answers.pegs.lines.iter().zip(&answers.sizes.lines);
    drawn.zip(worked_out).map(|((line, laid), (pegs, sizes))| LineAt { line, laid, pegs, sizes }).collect()
}

impl LineAt<'_> {
    fn feature(&self) -> Option<Feature> {
        let at = |peg: &design::layout::LaidPeg| {
            peg.at.map(|at| Vertex { x_m: at.x_m, y_m: at.y_m, z_m: peg.ground_z_m })
        };
        let vertices: Vec<Vertex> = self.laid.pegs.iter().filter_map(at).collect();
        let (line, sizes) = (self.line, self.sizes);
        let holding = sizes.holding.as_ref();
        let digging = sizes.digging.as_ref();
        (vertices.len() >= 2).then(|| {
            named(
                Layer::Lines,
                &line.name,
                Shape::Line(vertices),
                [
                    text("kind", line.kind.words()),
                    number("length_m", Some(self.laid.length_m())),
                    number("fall_percent", Some(100.0 * self.laid.grade)),
                    number("bed_width_m", line.bed_width_m),
                    number("depth_m", line.depth_m),
                    number("bank_height_m", line.bank_height_m),
                    number("pipe_diameter_m", line.pipe_diameter_m),
                    line.lining.and_then(|lining| text("lining", lining.words())),
                    number("holds_m3", holding.map(|holding| holding.holds_m3).filter(|_| is_swale(line))),
                    number("spills_at_z_m", holding.and_then(|holding| holding.spills_at_z_m)),
                    number("cut_m3", digging.map(|digging| digging.cut_m3)),
                    number("fill_m3", digging.map(|digging| digging.fill_m3)),
                    text("spills_to", &sizes.spills_to.join(", ")),
                ],
            )
        })
    }

    fn peg(&self, peg: &PegRow) -> Option<Feature> {
        let vertex = Vertex { x_m: peg.x_m?, y_m: peg.y_m?, z_m: peg.z_m };
        Some(named(
            Layer::Pegs,
            &format!("{} {}", self.line.name, peg.peg),
            Shape::Point(vertex),
            [
                text("line", &self.line.name),
                number("peg", Some(peg.peg as f64)),
                number("chainage_m", Some(peg.chainage_m)),
                number("z_m", peg.z_m),
                number("fall_from_last_mm", Some(peg.fall_from_last_mm)),
                number("fall_from_first_mm", Some(peg.fall_from_first_mm)),
                number("cut_m", Some(peg.cut_m)),
                number("bank_build_m", Some(peg.bank_build_m.likely())),
                number("band_m", peg.band_m),
                text("notes", &peg.notes.join(", ")),
            ],
        ))
    }

    fn sills(&self, site: &Site) -> Vec<Feature> {
        let path = self.laid.path.as_ref();
        let named_sills = self.line.sills.iter().zip(&self.sizes.sills).enumerate();
        let feature = |(i, (sill, sizes)): (usize, (&site::Sill, &SillSizes))| {
            let at = path?.at(sill.at_m)?;
            Some(named(
                Layer::Sills,
                &format!("{} sill {}", self.line.name, i + 1),
                Shape::Point(vertex(site, at)),
                [
                    text("line", &self.line.name),
                    number("chainage_m", Some(sill.at_m)),
                    number("width_m", Some(sill.width_m)),
                    number("below_bank_m", Some(sill.below_bank_m)),
                    number("crest_z_m", sizes.crest_z_m),
                    number("design_l_s", sizes.design_l_s),
                    number("head_m", sizes.head_m),
                    text("to", &sill.to),
                    sill.landing.and_then(|landing| text("landing", landing.words())),
                ],
            ))
        };
        named_sills.filter_map(feature).collect()
    }
}

fn is_swale(line: &Line) -> bool {
    line.kind == site::LineKind::Swale
}

fn tree_at(site: &Site, tree: &Tree, at: Point) -> Feature {
    let vertex = vertex(site, at);
    named(
        Layer::Trees,
        &tree.name,
        Shape::Point(vertex),
        [
            text("species", &tree.species),
            tree.variety.as_ref().and_then(|variety| text("variety", variety)),
            tree.line.as_ref().and_then(|line| text("line", line)),
            number("chainage_m", tree.at_m),
            number("downhill_m", tree.downhill_m),
            number("z_m", vertex.z_m),
            tree.planted.as_ref().and_then(|day| text("planted", day)),
        ],
    )
}

/// A source lies where its ring says, else where its water comes into a line.
fn source_at(site: &Site, answers: &Answers, source: &Source) -> Option<Feature> {
    let arrives = || {
        let picked = source.picked_up().next()?;
        let at = answers.layout.line(picked.line)?.path.as_ref()?.at(picked.at_m?)?;
        Some(Shape::Point(vertex(site, at)))
    };
    let ring = source.area.as_ref().map(|ring| Shape::Area(vertices(site, ring)));
    let lies = if ring.is_some() { "where it falls" } else { "where it comes in" };
    let shape = ring.or_else(arrives)?;
    let into: Vec<&str> = source.picked_up().map(|picked| picked.line).collect();
    Some(named(
        Layer::Sources,
        &source.name,
        shape,
        [
            text("kind", source.kind.words()),
            text("lies", lies),
            text("into", &into.join(", ")),
            number("area_m2", source.area_m2),
            number("curve_number", source.curve_number.map(|number| number.likely())),
            number("flow_l_min", source.flow_l_min.map(|flow| flow.likely())),
        ],
    ))
}

fn keep_clear(site: &Site, thing: &KeepClear) -> Option<Feature> {
    let along = || thing.along.as_ref().map(|along| Shape::Line(vertices(site, along)));
    let area = || thing.area.as_ref().map(|area| Shape::Area(vertices(site, area)));
    let at = thing.at.map(|[x_m, y_m]| Shape::Point(vertex(site, Point::new(x_m, y_m))));
    let shape = at.or_else(along).or_else(area)?;
    let attributes = [text("kind", thing.kind.words()), number("distance_m", thing.distance_m)];
    Some(named(Layer::KeepClear, &thing.name, shape, attributes))
}

fn vertex(site: &Site, at: Point) -> Vertex {
    let z_m = site.ground.as_ref().and_then(|ground| ground.z_m(at));
    Vertex { x_m: at.x_m, y_m: at.y_m, z_m }
}

fn vertices(site: &Site, places: &[Xy]) -> Vec<Vertex> {
    places.iter().map(|[x_m, y_m]| vertex(site, Point::new(*x_m, *y_m))).collect()
}

fn named<const N: usize>(layer: Layer, name: &str, shape: Shape, attributes: [Known; N]) -> Feature {
    Feature { layer, name: name.to_owned(), shape, attributes: attributes.into_iter().flatten().collect() }
}

fn text(name: &'static str, words: &str) -> Known {
    (!words.is_empty()).then(|| (name, Value::Text(words.to_owned())))
}

fn number(name: &'static str, value: Option<f64>) -> Known {
    value.map(|value| (name, Value::Number(value)))
}
