//! Sources: which lines pick up their water, what they shed, and what feeds a seep.

use super::things::beyond_line;
use super::{Fault, name_faults, no_such_line, quoted, ring_fault};
use crate::{Plan, Rises, Source, SourceKind, nearest};

/// Shares that are written with two or three decimals may come to this much more than 1.
const SHARES_ROUNDING: f64 = 1e-9;

pub(super) fn faults(plan: &Plan) -> Vec<Fault> {
    let mut faults = name_faults("source", plan.sources.iter().map(|source| source.name.as_str()));
    for (i, source) in plan.sources.iter().enumerate() {
        let checked = Checked {
            plan,
            source,
            path: format!("source[{i}]"),
            label: format!("source \"{}\"", source.name),
        };
        faults.extend(checked.way_faults());
        faults.extend(checked.share_faults());
        faults.extend(checked.amount_faults());
        faults.extend(checked.foreign_keys());
        faults.extend(source.rises.iter().flat_map(|rises| checked.rises_faults(rises)));
    }
    faults.extend(two_whole_hillsides(plan));
    faults.extend(seeps_in_a_circle(plan));
    faults
}

/// A source being checked.
struct Checked<'a> {
    plan: &'a Plan,
    source: &'a Source,
    path: String,
    label: String,
}

impl Checked<'_> {
    fn fault(&self, key: &str, code: &'static str, found: &str, advice: &str) -> Fault {
        Fault::new(format!("{}.{key}", self.path), code, format!("{}: {found}", self.label), advice)
    }

    /// Which lines take its water, each one that is there.
    fn way_faults(&self) -> Vec<Fault> {
        let source = self.source;
        let mut faults = Vec::new();
        if let Some(into) = &source.into {
            let path = |key: &str| format!("{}.{key}", self.path);
            faults.extend(no_such_line(self.plan, path("into"), &self.label, "into", into));
            faults.extend(beyond_line(self.plan, path("at_m"), &self.label, (into, source.at_m)));
            if !source.pick_ups.is_empty() {
                let found = "into and pick_up both say which lines take its water";
                faults.push(self.fault("into", "source-twice", found, "keep one of the two"));
            }
        }
        for (i, pick_up) in source.pick_ups.iter().enumerate() {
            let path = |key: &str| format!("{}.pick_up[{i}].{key}", self.path);
            faults.extend(no_such_line(self.plan, path("line"), &self.label, "line", &pick_up.line));
            let place = (pick_up.line.as_str(), pick_up.at_m);
            faults.extend(beyond_line(self.plan, path("at_m"), &self.label, place));
        }
        if source.into.is_none() && source.at_m.is_some() {
            let found = "at_m says where along a line, and into names none";
            faults.push(self.fault("at_m", "key-without-use", found, "add into = the name of the line"));
        }
        let goes_nowhere = source.picked_up().next().is_none() && !self.feeds_a_seep();
        if goes_nowhere && source.kind != SourceKind::Hillside {
            let found = format!("into is missing, and a {} must say which line takes its water", source.kind);
            let advice = "add into = the name of a line";
            faults.push(self.fault("into", "source-into-nothing", &found, advice));
        }
        faults
    }

    fn feeds_a_seep(&self) -> bool {
        let feeds = |rises: &Rises| rises.fed_by.as_deref() == Some(self.source.name.as_str());
        self.plan.sources.iter().filter_map(|source| source.rises.as_ref()).any(feeds)
    }

    /// All shares of a source together are at most the whole of it.
    fn share_faults(&self) -> Option<Fault> {
        let picked: f64 = self.source.pick_ups.iter().map(|pick_up| pick_up.share_frac.get()).sum();
        (picked > 1.0 + SHARES_ROUNDING).then(|| {
            let found = format!("its lines pick up {picked:.2} of its water, more than there is");
            let last = self.source.pick_ups.len() - 1;
            let advice = "write shares that come to 1 together, or less where some runs past";
            self.fault(&format!("pick_up[{last}].share_frac"), "shares-above-one", &found, advice)
        })
    }

    fn has_area(&self) -> bool {
        self.source.area.is_some() || self.source.area_m2.is_some()
    }

    /// What it sheds is given in exactly the way of its kind.
    fn amount_faults(&self) -> Vec<Fault> {
        let source = self.source;
        let mut faults = Vec::new();
        if let Some(area) = &source.area {
            faults.extend(ring_fault(&format!("{}.area", self.path), &self.label, "area", area));
        }
        if source.area.is_some() && source.area_m2.is_some() {
            let found = "area and area_m2 both say how large it is";
            faults.push(self.fault("area_m2", "two-areas", found, "keep one of the two"));
        }
        if source.kind == SourceKind::HardSurface && !self.has_area() {
            let advice = "add area_m2, length times width as paced";
            faults.push(self.fault("area_m2", "no-area", "a hard surface needs its area", advice));
        }
        if source.kind == SourceKind::Hillside && !source.pick_ups.is_empty() && !self.has_area() {
            let found = "a hillside that several lines share needs its area";
            faults.push(self.fault("area_m2", "no-area", found, "add area_m2, or area as a ring of places"));
        }
        if source.kind == SourceKind::Seep && source.flow_l_min.is_none() {
            let advice = "add flow_l_min: fill a bucket of known size and note the minutes";
            faults.push(self.fault("flow_l_min", "no-flow", "a seep needs its flow", advice));
        }
        faults
    }

    /// Keys that belong to another kind.
    fn foreign_keys(&self) -> Vec<Fault> {
        let source = self.source;
        let foreign = [
            ("curve_number", source.curve_number.is_some(), SourceKind::Hillside),
            ("first_wetting_mm", source.first_wetting_mm.is_some(), SourceKind::HardSurface),
            ("flow_l_min", source.flow_l_min.is_some(), SourceKind::Seep),
            ("rises", source.rises.is_some(), SourceKind::Seep),
        ];
        let mut faults = Vec::new();
        for (key, given, kind) in foreign {
            if given && source.kind != kind {
                let found = format!("{key} is for a {kind}, and this is a {}", source.kind);
                faults.push(self.fault(key, "key-without-use", &found, "delete it, or correct kind"));
            }
        }
        if source.kind == SourceKind::Seep && self.has_area() {
            let key = if source.area.is_some() { "area" } else { "area_m2" };
            let found = format!("{key} sheds rain, and a seep gives its flow");
            let advice = "delete it, or write it as rises.area_m2, the ground that feeds the seep";
            faults.push(self.fault(key, "key-without-use", &found, advice));
        }
        faults
    }

    /// What feeds a seep is one thing, is there, and has its area.
    fn rises_faults(&self, rises: &Rises) -> Option<Fault> {
        let name = match (&rises.fed_by, rises.area_m2) {
            (Some(name), None) => name,
            (None, Some(_)) => return None,
            (None, None) => {
                let found = "nothing says what feeds it";
                let advice = "add fed_by = the name of a source, or area_m2 of the ground above it";
                return Some(self.fault("rises", "rises-from-nothing", found, advice));
            }
            (Some(_), Some(_)) => {
                let found = "fed_by and area_m2 both say what feeds it";
                return Some(self.fault("rises.area_m2", "rises-twice", found, "keep one of the two"));
            }
        };
        let Some(feeds) = self.plan.sources.iter().position(|source| source.name == *name) else {
            let names: Vec<&str> = self.plan.sources.iter().map(|source| source.name.as_str()).collect();
            let advice = match nearest(name, names.iter().copied()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => format!("write one of {}", quoted(&names)),
            };
            let found = format!("fed_by = \"{name}\" names no source");
            return Some(self.fault("rises.fed_by", "no-such-source", &found, &advice));
        };
        let feeder = &self.plan.sources[feeds];
        let bare = feeder.kind == SourceKind::Hillside && feeder.area.is_none() && feeder.area_m2.is_none();
        bare.then(|| {
            let found = format!("hillside \"{name}\" feeds it, and how large that is is not written");
            let advice = "add area_m2 to that hillside, or write rises.area_m2 instead of fed_by";
            self.fault("rises.fed_by", "no-area", &found, advice).resting_on(format!("source[{feeds}]"))
        })
    }
}

/// Of several hillsides that name one line only one may take what the others leave of the ground.
fn two_whole_hillsides(plan: &Plan) -> Vec<Fault> {
    let mut faults = Vec::new();
    let whole = |source: &Source| {
        source.kind == SourceKind::Hillside && source.area.is_none() && source.area_m2.is_none()
    };
    for (i, source) in plan.sources.iter().enumerate().filter(|(_, source)| whole(source)) {
        let Some(into) = &source.into else { continue };
        let before = |other: &Source| whole(other) && other.into.as_ref() == Some(into);
        if let Some(first) = plan.sources[..i].iter().position(before) {
            let found = format!(
                "sources \"{}\" and \"{}\" are both all the hillside above line \"{into}\"",
                plan.sources[first].name, source.name
            );
            let advice = "give all hillsides of a line but one their area_m2 or area";
            faults.push(Fault::new(format!("source[{i}]"), "two-hillsides", found, advice));
        }
    }
    faults
}

/// Seeps that feed each other in a circle, each circle told once, at its first source.
fn seeps_in_a_circle(plan: &Plan) -> Vec<Fault> {
    let feeder = |i: usize| {
        let name = plan.sources[i].rises.as_ref()?.fed_by.as_ref()?;
        plan.sources.iter().position(|source| source.name == *name)
    };
    let mut faults = Vec::new();
    for start in 0..plan.sources.len() {
        let mut names = vec![plan.sources[start].name.as_str()];
        let mut at = feeder(start);
        // A way of more steps than there are sources goes round elsewhere.
        while let Some(next) = at.filter(|next| *next != start && names.len() <= plan.sources.len()) {
            names.push(&plan.sources[next].name);
            at = feeder(next);
        }
        let comes_back = at == Some(start);
        let told_before =
            names.iter().any(|name| plan.sources[..start].iter().any(|source| source.name == *name));
        if comes_back && !told_before {
            let found = format!("sources feed each other in a circle: {}", quoted(&names));
            let advice = "water sinks in above and comes out below: take out one fed_by";
            faults.push(Fault::new(format!("source[{start}].rises.fed_by"), "feeds-itself", found, advice));
        }
    }
    faults
}
