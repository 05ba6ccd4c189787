//! Place, ground, tool and rain: one of each.

use super::Fault;
use crate::{GroundFiles, Place, Plan, Rain, Tool, ToolKind};

pub(super) fn faults(plan: &Plan) -> Vec<Fault> {
    let mut faults = Vec::new();
    if plan.name.trim().is_empty() {
        let found = "the site has a blank name".to_owned();
        faults.push(Fault::new("name".to_owned(), "name-blank", found, "name it: it stands on every paper"));
    }
    faults.extend(place_faults(&plan.place));
    faults.extend(plan.ground.as_ref().and_then(ground_fault));
    faults.extend(tool_fault(&plan.tool));
    faults.extend(rain_faults(&plan.rain));
    faults
}

fn place_faults(place: &Place) -> Vec<Fault> {
    let mut faults = Vec::new();
    if let (Some(_), Some(_)) = (&place.crs, &place.anchor) {
        faults.push(Fault::new(
            "place.anchor".to_owned(),
            "two-places",
            "place: crs and anchor both say where the site lies".to_owned(),
            "keep crs if x and y are coordinates of that system, keep anchor if they are site metres",
        ));
    }
    if let Some(crs) = &place.crs {
        let code = crs.strip_prefix("EPSG:").unwrap_or_default();
        if code.is_empty() || !code.bytes().all(|byte| byte.is_ascii_digit()) {
            let found = format!("place: crs = \"{crs}\" is not the code of a coordinate system");
            let advice = "write its EPSG code, such as \"EPSG:25830\"; leave it out for site metres";
            faults.push(Fault::new("place.crs".to_owned(), "not-a-crs", found, advice));
        }
    }
    if let Some(anchor) = &place.anchor
        && (anchor.latitude_deg - place.latitude_deg).abs() > 1.0
    {
        // A degree of latitude is over 110 km: no site is that large.
        let found = format!(
            "place: the anchor lies at latitude {} and the site at {}",
            anchor.latitude_deg, place.latitude_deg
        );
        let advice = "correct one of the two; in the south both are negative";
        let path = "place.anchor.latitude_deg".to_owned();
        faults.push(Fault::new(path, "two-latitudes", found, advice));
    }
    faults
}

fn ground_fault(ground: &GroundFiles) -> Option<Fault> {
    let fault = |path: &str, code, found: &str, advice| {
        Some(Fault::new(path.to_owned(), code, format!("ground: {found}"), advice))
    };
    match (&ground.raster, &ground.points, ground.books.is_empty()) {
        (Some(_), Some(_), _) => fault(
            "ground.points",
            "two-grounds",
            "raster and points both give heights",
            "keep the one you trust more",
        ),
        (Some(_), None, false) => fault(
            "ground.books",
            "two-grounds",
            "raster and level books both give heights",
            "keep the raster, or write points with the places of the books' pegs",
        ),
        (None, None, false) => fault(
            "ground.books",
            "books-without-places",
            "level books give heights but no places",
            "add points = \"ground/points.csv\" with x_m and y_m of the books' points; for a line that only a \
             tape has measured write its distances and heights as tape",
        ),
        (None, None, true) => fault(
            "ground",
            "no-ground-file",
            "it names no file",
            "add raster or points, or delete [ground] and give lines by tape",
        ),
        _ => None,
    }
}

fn tool_fault(tool: &Tool) -> Option<Fault> {
    (tool.walked.is_some() && tool.kind != ToolKind::AFrame).then(|| {
        Fault::new(
            "tool.walked".to_owned(),
            "key-without-use",
            format!("tool: walked says how an A-frame goes along, and the tool is a {}", tool.kind),
            "delete walked",
        )
    })
}

fn rain_faults(rain: &Rain) -> Vec<Fault> {
    let storm = &rain.design;
    let Some(worst_mm) = storm.worst_ten_minutes_mm else {
        return Vec::new();
    };
    // Six stretches of ten minutes make an hour; a storm shorter than that has all of its rain in one.
    let mean_mm = storm.depth_mm / (storm.hours * 6.0).max(1.0);
    let path = "rain.design.worst_ten_minutes_mm".to_owned();
    let label = "design of rain: worst_ten_minutes_mm";
    if worst_mm > storm.depth_mm {
        let found = format!("{label} = {worst_mm} is more than the whole storm, {} mm", storm.depth_mm);
        return vec![Fault::new(path, "storm-out-of-shape", found, "correct one of the two")];
    }
    if worst_mm < mean_mm {
        let found =
            format!("{label} = {worst_mm} is less than the storm's mean, {mean_mm:.1} mm in ten minutes");
        let advice = "write the most that falls in any ten minutes, or leave it out";
        return vec![Fault::new(path, "storm-out-of-shape", found, advice)];
    }
    Vec::new()
}
