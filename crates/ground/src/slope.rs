//! How steep the ground is at a cell, and which way it faces.
//!
//! A plane is laid through the 3 × 3 cells round a place, the nearer ones counting double:
//! east  = ((NE + 2E + SE) − (NW + 2W + SW)) / (8 · cell east-west),
//! north = ((NW + 2N + NE) − (SW + 2S + SE)) / (8 · cell north-south).
//!
//! Source: Horn 1981, Proceedings of the IEEE 69(1), 14–47. Exact for planes and quadratic surfaces; the error
//! grows with the third derivative and the square of the cell.
//! Leaves out: the edge. A cell without all eight neighbours has no slope here: copying the middle into the
//! missing ones would flatten it.

use crate::{Cell, Gradient, Grid};

/// Heights of 3 × 3 cells, m: rows from north to south, columns from west to east.
pub type Window = [[f64; 3]; 3];

/// How the ground climbs in the middle of a window. The two sides of a cell may differ, as they do on a raster
/// in degrees.
pub fn horn(window: &Window, cell_east_m: f64, cell_north_m: f64) -> Gradient {
    let [[nw, n, ne], [w, _, e], [sw, s, se]] = *window;
    Gradient {
        east: ((ne + 2.0 * e + se) - (nw + 2.0 * w + sw)) / (8.0 * cell_east_m),
        north: ((nw + 2.0 * n + ne) - (sw + 2.0 * s + se)) / (8.0 * cell_north_m),
    }
}

impl Grid {
    /// How the ground climbs at a cell; none unless it and its eight neighbours are known.
    pub fn gradient(&self, cell: Cell) -> Option<Gradient> {
        let cell_m = self.frame().cell_m;
        self.window(cell).map(|window| horn(&window, cell_m, cell_m))
    }

    /// A cell and its eight neighbours; none unless all are known.
    fn window(&self, cell: Cell) -> Option<Window> {
        let frame = self.frame();
        let (west, north) = (cell.column.checked_sub(1)?, cell.row.checked_sub(1)?);
        if west + 2 >= frame.columns || north + 2 >= frame.rows {
            return None;
        }
        let row = |row: usize| {
            let at = row * frame.columns + west;
            [self.z_m()[at], self.z_m()[at + 1], self.z_m()[at + 2]]
        };
        let window = [row(north), row(north + 1), row(north + 2)];
        window.iter().flatten().all(|z| z.is_finite()).then_some(window)
    }
}

impl Gradient {
    /// Azimuth of the steepest way down, clockwise from north, from 0 up to 2π; none where it is level.
    pub fn aspect_rad(self) -> Option<f64> {
        if self.east == 0.0 && self.north == 0.0 {
            return None;
        }
        let azimuth = libm::atan2(-self.east, -self.north);
        Some(if azimuth < 0.0 { azimuth + std::f64::consts::TAU } else { azimuth })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Frame, Point};

    /// A window over a formula, its middle at (x, y), cells of side h.
    fn window_of(x: f64, y: f64, h: f64, z_m: impl Fn(f64, f64) -> f64) -> Window {
        [1.0, 0.0, -1.0].map(|north| [-1.0, 0.0, 1.0].map(|east| z_m(x + east * h, y + north * h)))
    }

    fn aspect_deg(gradient: Gradient) -> Option<f64> {
        gradient.aspect_rad().map(|rad| rad / std::f64::consts::TAU * 360.0)
    }

    fn slope_deg(gradient: Gradient) -> f64 {
        libm::atan(gradient.slope()) / std::f64::consts::TAU * 360.0
    }

    fn assert_near(found: f64, expected: f64, tolerance: f64, what: &str) {
        assert!((found - expected).abs() <= tolerance, "{what}: {found}, expected {expected}");
    }

    /// The weighted differences reproduce first derivatives exactly up to degree 2: on a plane the gradient is
    /// its coefficients, on 0.01x² + 0.02y² + 0.005xy it is (0.02x + 0.005y, 0.04y + 0.005x).
    /// Angles are given to six decimals, so to half of the sixth.
    #[test]
    fn closed_form_planes_and_quadratics() {
        let quadratic = |x: f64, y: f64| 0.01 * x * x + 0.02 * y * y + 0.005 * x * y;
        let rows = [
            (window_of(7.0, 3.0, 2.0, |x, y| 0.03 * x + 0.04 * y), [0.03, 0.04], 2.862_405, 216.869_898),
            (window_of(7.0, 3.0, 2.0, |x, _| -0.05 * x), [-0.05, 0.0], 2.862_405, 90.0),
            (window_of(7.0, 3.0, 2.0, |_, y| 0.05 * y), [0.0, 0.05], 2.862_405, 180.0),
            (window_of(7.0, 3.0, 2.0, |x, y| 0.1 * x - 0.1 * y), [0.1, -0.1], 8.049_467, 315.0),
            (window_of(3.0, -2.0, 1.0, quadratic), [0.050, -0.065], 4.688_113, 322.431_408),
        ];
        for (i, (window, [east, north], slope, aspect)) in rows.into_iter().enumerate() {
            let h = if i == 4 { 1.0 } else { 2.0 };
            let found = horn(&window, h, h);
            assert_near(found.east, east, 1e-15, "east");
            assert_near(found.north, north, 1e-15, "north");
            assert_near(slope_deg(found), slope, 0.5e-6, "slope");
            assert_near(aspect_deg(found).unwrap(), aspect, 0.5e-6, "aspect");
        }
    }

    /// The first errors are of third order. On ax³ the east difference gives 3ax² + ah²; on axy² it averages
    /// y² over the three rows with weights ¼ ½ ¼, so ay² + ah²/2.
    #[test]
    fn closed_form_bias_on_cubics() {
        let cubic = horn(&window_of(10.0, 0.0, 1.0, |x, _| 0.001 * x * x * x), 1.0, 1.0);
        assert_near(cubic.east, 0.3 + 0.001, 1e-14, "ax³");
        assert_near(slope_deg(cubic), 16.751_795, 0.5e-6, "slope");
        assert_near(aspect_deg(cubic).unwrap(), 270.0, 1e-9, "aspect");
        let mixed = horn(&window_of(10.0, 5.0, 2.0, |x, y| 0.001 * x * y * y), 2.0, 2.0);
        assert_near(mixed.east, 0.025 + 0.001 * 4.0 / 2.0, 1e-14, "axy²");
        assert_near(mixed.north, 0.1, 1e-14, "axy²");
    }

    /// Cones and a sphere, worked out by hand from the weights; the true slopes are 0.1 and r/√(R² − r²), and
    /// the error shrinks with (h/r)².
    #[test]
    fn closed_form_cones_and_sphere() {
        let cone = |x: f64, y: f64| -0.1 * (x * x + y * y).sqrt();
        let near = horn(&window_of(3.0, 4.0, 1.0, cone), 1.0, 1.0);
        assert_near(near.east, -0.059_773, 0.5e-6, "east");
        assert_near(near.north, -0.079_492, 0.5e-6, "north");
        assert_near(near.slope(), 0.099_458, 0.5e-6, "slope");
        assert_near(slope_deg(near), 5.679_817, 0.5e-6, "degrees");
        assert_near(aspect_deg(near).unwrap(), 36.940_898, 0.5e-6, "aspect");
        let far = horn(&window_of(30.0, 40.0, 1.0, cone), 1.0, 1.0);
        assert_near(far.east, -0.059_998, 0.5e-6, "east");
        assert_near(far.north, -0.079_995, 0.5e-6, "north");
        assert_near(far.slope(), 0.099_995, 0.5e-6, "slope");
        assert_near(slope_deg(far), 5.710_287, 0.5e-6, "degrees");
        assert_near(aspect_deg(far).unwrap(), 36.870_667, 0.5e-6, "aspect");
        let sphere = |x: f64, y: f64| (1e4 - x * x - y * y).sqrt();
        let dome = horn(&window_of(30.0, 40.0, 1.0, sphere), 1.0, 1.0);
        assert_near(dome.east, -0.346_455, 0.5e-6, "east");
        assert_near(dome.north, -0.461_939, 0.5e-6, "north");
        assert_near(dome.slope(), 0.577_424, 0.5e-6, "slope");
        assert_near(slope_deg(dome), 30.003_160, 0.5e-6, "degrees");
        assert_near(aspect_deg(dome).unwrap(), 36.869_983, 0.5e-6, "aspect");
        let apex = horn(&window_of(0.0, 0.0, 1.0, cone), 1.0, 1.0);
        assert_eq!((apex.slope(), apex.aspect_rad()), (0.0, None));
    }

    /// Two windows of whole numbers worked out by hand: east (50 + 60 + 10 − 50 − 60 − 8)/40 = 0.05,
    /// north (50 + 90 + 50 − 8 − 20 − 10)/40 = 3.8; and east (85 + 170 + 84 − 101 − 202 − 101)/8 = −8.125,
    /// north (101 + 184 + 85 − 101 − 182 − 84)/8 = 0.375.
    #[test]
    fn closed_form_whole_windows() {
        let steep = horn(&[[50.0, 45.0, 50.0], [30.0, 30.0, 30.0], [8.0, 10.0, 10.0]], 5.0, 5.0);
        assert_near(steep.east, 0.05, 1e-15, "east");
        assert_near(steep.north, 3.8, 1e-14, "north");
        assert_near(steep.slope(), 3.800_329, 0.5e-6, "slope");
        assert_near(slope_deg(steep), 75.2577, 0.5e-4, "degrees");
        let east = horn(&[[101.0, 92.0, 85.0], [101.0, 92.0, 85.0], [101.0, 91.0, 84.0]], 1.0, 1.0);
        assert_eq!((east.east, east.north), (-8.125, 0.375));
        assert_near(aspect_deg(east).unwrap(), 92.6425, 0.5e-4, "aspect");
    }

    #[test]
    fn no_slope_at_the_edge_or_beside_unknown_ground() {
        let frame = Frame { columns: 6, rows: 5, cell_m: 2.0, west_m: 0.0, north_m: 10.0 };
        let hole = frame.centre(Cell { row: 1, column: 4 });
        let ground = Grid::from_fn(frame, |p: Point| (p != hole).then_some(0.1 * p.x_m));
        for i in 0..frame.len() {
            let cell = frame.cell(i);
            let inside = (1..4).contains(&cell.row) && (1..5).contains(&cell.column);
            let beside = cell.row <= 2 && cell.column >= 3;
            assert_eq!(ground.gradient(cell).is_some(), inside && !beside, "{cell:?}");
        }
        assert_near(ground.gradient(Cell { row: 3, column: 2 }).unwrap().east, 0.1, 1e-15, "east");
    }
}
