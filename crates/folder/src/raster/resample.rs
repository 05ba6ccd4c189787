//! From the file's cells to square cells in site metres.
//!
//! Where the file's cells already are square, upright and in the site's coordinates, they are taken over one
//! by one (a file that runs from the south is turned over). Else the middle of each new cell is traced back
//! into the file, and its height taken from the four known middles round it:
//! z = (1−s)(1−t)·z₀₀ + s(1−t)·z₁₀ + (1−s)t·z₀₁ + st·z₁₁. Where one of the four is missing there is no ground,
//! and nothing is made up beyond the outer middles.
//!
//! New cells are as long as the shorter side of the file's cells, so that no detail is lost; there are more of
//! them than the file has, and they know nothing more.

use ground::{Frame, Grid};
use proj4rs::Proj;
use proj4rs::transform::transform;
use quantity::figures;

use super::{Affine, MOST_CELLS, Note, Raw, Refusal, SiteAxes, System, crs};
use crate::site_plane::SitePlane;

/// No survey has cells under a centimetre: such steps are degrees (3 seconds of arc are 0.00083°).
const SHORTEST_CELL_M: f64 = 0.01;

/// How far the farthest row may come to lie wrong when nearly square cells are taken as square, in cells.
const SQUARE_WITHIN_CELLS: f64 = 1e-3;

/// Nearer than this to a middle, in cells, is on it: rounding of coordinates leaves 1e-9.
const ON_THE_MIDDLE_CELLS: f64 = 1e-6;

impl Affine {
    /// Refuses what cannot place cells.
    pub(super) fn check(self) -> Result<Affine, Refusal> {
        let numbers = [self.x0, self.a, self.b, self.y0, self.d, self.e];
        let area = self.a * self.e - self.b * self.d;
        // Column and row as coordinates are what libraries write when they know no place.
        let untold = numbers == [0.0, 1.0, 0.0, 0.0, 0.0, 1.0];
        if numbers.iter().all(|n| n.is_finite()) && area.is_normal() && !untold {
            Ok(self)
        } else {
            Err(Refusal::new(
                "no-georeference",
                "the file does not say where its cells lie, or not in numbers",
                "export the raster again with coordinates, in a projected system such as UTM",
            ))
        }
    }

    fn at(&self, column: f64, row: f64) -> (f64, f64) {
        (self.x0 + self.a * column + self.b * row, self.y0 + self.d * column + self.e * row)
    }

    /// Column and row of a place.
    fn back(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (dx, dy) = (x - self.x0, y - self.y0);
        let area = self.a * self.e - self.b * self.d;
        ((dx * self.e - dy * self.b) / area, (dy * self.a - dx * self.d) / area)
    }

    fn times(self, unit_m: f64) -> Affine {
        Affine {
            x0: self.x0 * unit_m,
            a: self.a * unit_m,
            b: self.b * unit_m,
            y0: self.y0 * unit_m,
            d: self.d * unit_m,
            e: self.e * unit_m,
        }
    }
}

/// How the file's coordinates become the site's.
enum Route {
    /// They are the site's.
    Same,
    /// Through longitude and latitude.
    Through { file: Box<Proj>, site: Box<SitePlane> },
}

/// Where the raster comes to lie, and what there is to tell about it.
struct Plan {
    route: Route,
    affine: Affine,
    epsg: Option<u32>,
    notes: Vec<Note>,
}

/// The cells in site metres, the EPSG code of x and y if there is one, and what was done.
pub(super) fn to_site_metres(raw: Raw, axes: SiteAxes) -> Result<(Grid, Option<u32>, Vec<Note>), Refusal> {
    let Plan { route, affine, epsg, mut notes } = plan(&raw, axes)?;
    let upright = matches!(route, Route::Same) && affine.b == 0.0 && affine.d == 0.0;
    let uneven = (affine.a.abs() - affine.e.abs()).abs() * raw.columns.max(raw.rows) as f64;
    let grid = if upright && uneven <= SQUARE_WITHIN_CELLS * affine.a.abs() {
        taken_over(raw, affine, &mut notes)
    } else {
        resampled(&raw, affine, &route, &mut notes)?
    };
    let bounds = grid.frame().bounds();
    let metres = |v| figures::fixed(v, 1);
    notes.push(Note::new(
        "extent",
        format!(
            "x from {} to {} m, y from {} to {} m, cells of {} m",
            metres(bounds.min_x_m),
            metres(bounds.max_x_m),
            metres(bounds.min_y_m),
            metres(bounds.max_y_m),
            figures::significant(grid.frame().cell_m, 6)
        ),
    ));
    Ok((grid, epsg, notes))
}

fn plan(raw: &Raw, axes: SiteAxes) -> Result<Plan, Refusal> {
    if let SiteAxes::Projected(code @ (3857 | 3785 | 900_913)) = axes {
        crs::known(code)?;
    }
    match raw.system {
        System::Unstated => plan_unstated(raw, axes),
        System::Geographic { epsg } => plan_geographic(raw, epsg, axes),
        System::Projected { epsg, unit_m } => plan_projected(raw, epsg, unit_m, axes),
    }
}

fn plan_unstated(raw: &Raw, axes: SiteAxes) -> Result<Plan, Refusal> {
    if raw.affine.a.abs().max(raw.affine.e.abs()) < SHORTEST_CELL_M {
        return Err(Refusal::new(
            "maybe-degrees",
            format!(
                "cells are {} wide and the file names no system: these look like degrees",
                figures::significant(raw.affine.a.abs(), 3)
            ),
            "export it again with its system named, or in a projected system such as UTM",
        ));
    }
    Ok(Plan {
        route: Route::Same,
        affine: raw.affine,
        epsg: match axes {
            SiteAxes::Projected(code) => Some(code),
            SiteAxes::AsInFile | SiteAxes::Anchored(_) => None,
        },
        notes: vec![Note::new(
            "no-crs",
            "the file names no coordinate system; its x and y were taken as the site's, in metres",
        )],
    })
}

fn plan_projected(raw: &Raw, epsg: Option<u32>, unit_m: f64, axes: SiteAxes) -> Result<Plan, Refusal> {
    if let Some(3857 | 3785) = epsg {
        crs::known(3857)?;
    }
    let mut notes = Vec::new();
    if unit_m != 1.0 {
        let text = format!("x and y were in units of {unit_m} m and are now metres");
        notes.push(Note::new("coordinates-converted", text));
    }
    let site = match axes {
        SiteAxes::AsInFile => None,
        SiteAxes::Projected(code) if Some(code) == epsg => None,
        SiteAxes::Projected(code) => Some(SitePlane::upright(crs::known(code)?)),
        SiteAxes::Anchored(anchor) => Some(SitePlane::anchored(anchor)),
    };
    let name = epsg.map_or("a system described by hand".into(), |code| format!("EPSG:{code}"));
    notes.push(Note::new("crs", format!("the file is in {name}")));
    let Some(site) = site else {
        return Ok(Plan { route: Route::Same, affine: raw.affine.times(unit_m), epsg, notes });
    };
    let file = crs::known(epsg.ok_or_else(|| {
        Refusal::new(
            "unknown-crs",
            "the file describes its projected system by hand, and the site has another",
            "save the raster in the system of the site, or in UTM",
        )
    })?)?;
    Ok(Plan {
        route: Route::Through { file: Box::new(file), site: Box::new(site) },
        affine: raw.affine.times(unit_m),
        epsg: match axes {
            SiteAxes::Projected(code) => Some(code),
            SiteAxes::AsInFile | SiteAxes::Anchored(_) => None,
        },
        notes,
    })
}

fn plan_geographic(raw: &Raw, epsg: Option<u32>, axes: SiteAxes) -> Result<Plan, Refusal> {
    crs::check_geographic(epsg)?;
    let Affine { x0, a, y0, e, .. } = raw.affine;
    // So are cells of one degree that start at zero.
    if (x0, y0, a.abs(), e.abs()) == (0.0, 0.0, 1.0, 1.0) {
        return Err(Refusal::new(
            "no-georeference",
            "the file says it is in degrees but not where",
            "export it again with coordinates, in a projected system such as UTM",
        ));
    }
    let middle = raw.affine.at(0.5 * raw.columns as f64, 0.5 * raw.rows as f64);
    let corner = raw.affine.at(raw.columns as f64, raw.rows as f64);
    if [raw.affine.y0, corner.1].iter().any(|lat| lat.abs() > 90.0) || middle.0.abs() > 180.0 {
        return Err(Refusal::new(
            "no-georeference",
            format!("the file says it is in degrees and reaches latitude {}", corner.1),
            "export it again in a projected system such as UTM",
        ));
    }
    let mut notes = vec![Note::new("crs", "the file is in degrees of longitude and latitude")];
    let (site, epsg) = match axes {
        SiteAxes::Projected(code) => (SitePlane::upright(crs::known(code)?), Some(code)),
        SiteAxes::Anchored(anchor) => (SitePlane::anchored(anchor), None),
        SiteAxes::AsInFile => {
            notes.push(Note::new(
                "about-its-middle",
                format!(
                    "x and y are metres east and north of the raster's middle, longitude {}°, latitude {}°; \
                     write it as place.anchor to keep it",
                    figures::fixed(middle.0, 6),
                    figures::fixed(middle.1, 6)
                ),
            ));
            (SitePlane::upright(crs::proj(&crs::about(middle.0, middle.1))), None)
        }
    };
    Ok(Plan {
        route: Route::Through { file: Box::new(crs::proj(crs::WGS84)), site: Box::new(site) },
        affine: raw.affine,
        epsg,
        notes,
    })
}

fn taken_over(raw: Raw, affine: Affine, notes: &mut Vec<Note>) -> Grid {
    let Raw { columns, rows, mut z_m, .. } = raw;
    if affine.e > 0.0 {
        notes.push(Note::new("turned-over", "the file runs from south to north; its rows were turned over"));
        for row in 0..rows / 2 {
            let (upper, lower) = z_m.split_at_mut((rows - 1 - row) * columns);
            upper[row * columns..(row + 1) * columns].swap_with_slice(&mut lower[..columns]);
        }
    }
    if affine.a < 0.0 {
        notes.push(Note::new("turned-over", "the file runs from east to west; its columns were turned over"));
        z_m.chunks_mut(columns).for_each(<[f64]>::reverse);
    }
    let frame = Frame {
        columns,
        rows,
        cell_m: affine.a.abs(),
        west_m: affine.x0.min(affine.x0 + affine.a * columns as f64),
        north_m: affine.y0.max(affine.y0 + affine.e * rows as f64),
    };
    Grid::new(frame, z_m)
}

fn resampled(raw: &Raw, affine: Affine, route: &Route, notes: &mut Vec<Note>) -> Result<Grid, Refusal> {
    let frame = new_frame(raw, affine, route)?;
    let mut z_m = Vec::with_capacity(frame.len());
    let mut row_of_places = Vec::with_capacity(frame.columns);
    for row in 0..frame.rows {
        row_of_places.clear();
        row_of_places.extend((0..frame.columns).map(|column| {
            let middle = frame.centre(ground::Cell { row, column });
            (middle.x_m, middle.y_m)
        }));
        to_file(route, &mut row_of_places)?;
        z_m.extend(row_of_places.iter().map(|&place| bilinear(raw, affine.back(place))));
    }
    notes.push(Note::new(
        "resampled",
        format!(
            "heights were interpolated to square cells of {} m (the file's own {} do not lie square in site \
             metres); they know nothing more than the file",
            figures::significant(frame.cell_m, 6),
            if matches!(route, Route::Same) { "cells" } else { "coordinates" }
        ),
    ));
    let grid = Grid::new(frame, z_m);
    if grid.known().contains(&true) {
        Ok(grid)
    } else {
        Err(Refusal::new(
            "no-heights",
            "no place has four measured heights round it",
            "bring a raster with fewer gaps, or one in the site's own coordinates",
        ))
    }
}

/// A frame round the middles of the file's outer cells, its lines on multiples of the cell.
fn new_frame(raw: &Raw, affine: Affine, route: &Route) -> Result<Frame, Refusal> {
    let (columns, rows) = (raw.columns as f64, raw.rows as f64);
    let (mid_column, mid_row) = ((0.5 * columns).floor(), (0.5 * rows).floor());
    let mut steps = [
        affine.at(mid_column, mid_row),
        affine.at(mid_column + 1.0, mid_row),
        affine.at(mid_column, mid_row + 1.0),
    ];
    to_site(route, &mut steps)?;
    let [from, right, down] = steps.map(|(x, y)| ground::Point::new(x, y));
    let cell_m = from.distance_m(right).min(from.distance_m(down));

    let across = (0..raw.columns).flat_map(|c| [(c, 0), (c, raw.rows - 1)]);
    let along = (0..raw.rows).flat_map(|r| [(0, r), (raw.columns - 1, r)]);
    let mut rim: Vec<(f64, f64)> =
        across.chain(along).map(|(c, r)| affine.at(c as f64 + 0.5, r as f64 + 0.5)).collect();
    to_site(route, &mut rim)?;
    let bounds = ground::Bounds::around(rim.iter().map(|&(x, y)| ground::Point::new(x, y)))
        .expect("a raster has at least one cell");
    let west_m = (bounds.min_x_m / cell_m).floor() * cell_m;
    let north_m = (bounds.max_y_m / cell_m).ceil() * cell_m;
    let (new_columns, new_rows) = (
        ((bounds.max_x_m - west_m) / cell_m).ceil().max(1.0),
        ((north_m - bounds.min_y_m) / cell_m).ceil().max(1.0),
    );
    if !(cell_m > 0.0 && new_columns * new_rows <= MOST_CELLS as f64) {
        return Err(Refusal::new(
            "too-large",
            format!("brought to square cells it would have {new_columns} × {new_rows} of them"),
            "cut out the part with your land",
        ));
    }
    Ok(Frame { columns: new_columns as usize, rows: new_rows as usize, cell_m, west_m, north_m })
}

/// From the file's coordinates to the site's.
fn to_site(route: &Route, places: &mut [(f64, f64)]) -> Result<(), Refusal> {
    let Route::Through { file, site } = route else {
        return Ok(());
    };
    if file.is_latlong() {
        for (x, y) in places.iter_mut() {
            (*x, *y) = (x.to_radians(), y.to_radians());
        }
    }
    transform(file, &site.proj, places).map_err(|e| outside(&e))?;
    site.turn_to_site(places);
    Ok(())
}

/// From the site's coordinates to the file's.
fn to_file(route: &Route, places: &mut [(f64, f64)]) -> Result<(), Refusal> {
    let Route::Through { file, site } = route else {
        return Ok(());
    };
    site.turn_to_plane(places);
    transform(&site.proj, file, places).map_err(|e| outside(&e))?;
    if file.is_latlong() {
        for (x, y) in places.iter_mut() {
            (*x, *y) = (x.to_degrees(), y.to_degrees());
        }
    }
    Ok(())
}

fn outside(error: &proj4rs::errors::Error) -> Refusal {
    Refusal::new(
        "cannot-project",
        format!("its coordinates cannot be brought to the site's: {error}"),
        "check place.crs or place.anchor, and that the raster covers the site",
    )
}

/// The height at a place given in columns and rows from the outer corner; NaN where it is not known.
fn bilinear(raw: &Raw, (column, row): (f64, f64)) -> f64 {
    let (Some((c, s)), Some((r, t))) = (between(column, raw.columns), between(row, raw.rows)) else {
        return f64::NAN;
    };
    let height = |c: usize, r: usize| raw.z_m[r * raw.columns + c];
    // A middle that has no share in the height need not be known, or there.
    let along = |r: usize| match s {
        0.0 => height(c, r),
        _ => (1.0 - s) * height(c, r) + s * height(c + 1, r),
    };
    match t {
        0.0 => along(r),
        _ => (1.0 - t) * along(r) + t * along(r + 1),
    }
}

/// The middle before a place and the share of the way to the next.
fn between(place: f64, count: usize) -> Option<(usize, f64)> {
    let from_first = place - 0.5;
    let nearest = from_first.round();
    let (before, share) = if (from_first - nearest).abs() <= ON_THE_MIDDLE_CELLS {
        (nearest, 0.0)
    } else {
        (from_first.floor(), from_first - from_first.floor())
    };
    let last = if share == 0.0 { count as f64 - 1.0 } else { count as f64 - 2.0 };
    (0.0..=last).contains(&before).then_some((before as usize, share))
}
