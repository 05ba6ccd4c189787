//! A sound site for the findings' tests: one level swale, 30 m along the x axis, with one sill.

use ground::{Frame, Grid, Point, Polyline, Surface};
use quantity::{Estimate, Slope};
use site::{
    DesignRain, JarTest, KeepClear, KeepClearKind, Line, LineKind, Opinion, Place, Plan, Rain, Sill, Site,
    Soil, SoilTexture, Source, SourceKind, Tool, ToolKind, WalkedHow,
};
use std::collections::BTreeMap;

use super::Facts;
use crate::layout::{LaidLine, LaidPeg, Layout, WaterWays};
use crate::sizes::{self, AlongFlow, Digging, Holding, LineSizes, LowPlace, SillSizes, SpillsOver, Supply};

/// A site with its answers, each open to change.
pub(crate) struct Sample {
    pub site: Site,
    pub layout: Layout,
    pub sizes: sizes::Answer,
}

impl Sample {
    /// A site that gives no finding but the standing advice to ask before digging.
    pub fn sound() -> Sample {
        let site =
            Site { plan: plan(), ground: None, dug: BTreeMap::new(), measured: site::Measured::default() };
        let layout = Layout { lines: vec![laid_line()], trees: vec![], water_ways: None };
        let sizes = sizes::Answer {
            lines: vec![line_sizes()],
            spill_order: vec!["top".to_owned()],
            spill_circle: vec![],
            person_days: Estimate::exact(3.0),
            soils: vec![],
        };
        Sample { site, layout, sizes }
    }

    pub fn facts(&self) -> Facts<'_> {
        Facts { site: &self.site, layout: &self.layout, sizes: &self.sizes }
    }

    /// Makes the line a drain, chute or pipe that ends on safe ground.
    pub fn make(&mut self, kind: LineKind) {
        self.site.plan.lines[0].kind = kind;
        self.site.plan.lines[0].to = Some("ground".to_owned());
        self.layout.lines[0].kind = kind;
        self.sizes.lines[0].kind = kind;
    }

    /// Puts ground under it that falls to the south by 6 %, and lets water find its ways.
    pub fn lay_on_a_southern_slope(&mut self) {
        let frame = Frame { columns: 60, rows: 60, cell_m: 1.0, west_m: -15.0, north_m: 20.0 };
        let surface = Surface::Grid(Grid::from_fn(frame, |p| Some(10.0 + 0.06 * p.y_m)));
        self.layout.water_ways = WaterWays::over(&surface, &self.layout.lines);
        self.site.ground = Some(surface);
    }

    pub fn record_opinion(&mut self, about: &str, up_to: &str) {
        self.site.plan.opinions = vec![Opinion {
            about: about.to_owned(),
            by: "a geotechnical engineer".to_owned(),
            date: "2026-11-20".to_owned(),
            line: None,
            up_to: Some(Slope::parse(up_to).unwrap()),
        }];
    }
}

/// A flow at this speed where the bed stands that.
pub(crate) fn flow(speed_m_s: f64, stands_m_s: f64) -> AlongFlow {
    AlongFlow {
        flow_l_s: 10.0,
        depth_m: 0.1,
        speed_m_s,
        shear_pa: 2.0,
        stands_m_s,
        rock_d50_mm: None,
        brim_l_s: 40.0,
    }
}

/// Something to keep clear of, at one place.
pub(crate) fn keep_clear(name: &str, kind: KeepClearKind, x_m: f64, y_m: f64) -> KeepClear {
    KeepClear { name: name.to_owned(), kind, at: Some([x_m, y_m]), along: None, area: None, distance_m: None }
}

fn plan() -> Plan {
    Plan {
        name: "Sample".to_owned(),
        place: Place { latitude_deg: 38.7, elevation_m: 200.0, crs: None, anchor: None },
        ground: None,
        tool: Tool {
            kind: ToolKind::AFrame,
            step_m: 10.0,
            random_mm: Some(2.0),
            bias_mm: Some(0.0),
            walked: Some(WalkedHow::Carried),
        },
        soils: vec![Soil {
            name: "loam".to_owned(),
            texture: SoilTexture::Loam,
            soak_mm_h: Some(Estimate::exact(15.0)),
            depth_m: Some(1.0),
            jar_test: Some(JarTest::Holds),
            gravel_frac: None,
            area: None,
        }],
        rain: Rain {
            design: DesignRain {
                depth_mm: 62.0,
                hours: 6.0,
                once_in_years: 10.0,
                worst_ten_minutes_mm: None,
            },
            table: None,
            record: None,
        },
        climate: None,
        sources: vec![Source {
            name: "track".to_owned(),
            kind: SourceKind::HardSurface,
            into: None,
            at_m: None,
            area_m2: Some(100.0),
            area: None,
            curve_number: None,
            first_wetting_mm: None,
            flow_l_min: None,
            rises: None,
            pick_ups: vec![],
            road_water: None,
            consent: None,
        }],
        lines: vec![swale()],
        trees: vec![],
        barriers: vec![],
        keep_clears: vec![],
        opinions: vec![],
        prices: None,
    }
}

fn swale() -> Line {
    Line {
        name: "top".to_owned(),
        kind: LineKind::Swale,
        pegs: None,
        from: Some([0.0, 0.0]),
        toward: None,
        length_m: Some(30.0),
        grade: None,
        tape: None,
        cross_slope: None,
        catchment_m2: None,
        bed_width_m: Some(0.5),
        depth_m: Some(0.3),
        cut_batter: None,
        ledge_m: None,
        bank_height_m: Some(0.3),
        bank_top_m: None,
        bank_batter: None,
        lining: None,
        pipe_diameter_m: None,
        to: None,
        sills: vec![Sill {
            at_m: 5.0,
            width_m: 2.0,
            below_bank_m: 0.12,
            to: "ground".to_owned(),
            landing: None,
            crest_breadth_m: None,
            on_firm_ground: Some(true),
        }],
    }
}

fn laid_line() -> LaidLine {
    let peg = |chainage_m| LaidPeg {
        chainage_m,
        at: Some(Point::new(chainage_m, 0.0)),
        ground_z_m: Some(10.0),
        cross_slope: Some(0.06),
        downhill_side: -1.0,
        band_m: Some(0.1),
        after_jump: false,
    };
    LaidLine {
        line: "top".to_owned(),
        kind: LineKind::Swale,
        grade: 0.0,
        pegs: vec![peg(0.0), peg(10.0), peg(20.0), peg(30.0)],
        path: Polyline::new(vec![Point::new(0.0, 0.0), Point::new(30.0, 0.0)]),
        stopped_early: None,
        arrives: vec![],
        comes_from_deg: None,
    }
}

fn line_sizes() -> LineSizes {
    LineSizes {
        line: "top".to_owned(),
        kind: LineKind::Swale,
        as_dug: false,
        length_m: 30.0,
        holding: Some(Holding {
            holds_m3: 8.0,
            water_half_width_m: 0.5,
            holds_range_m3: Estimate::exact(8.0),
            spills_at_z_m: Some(10.18),
            spills_over: Some(SpillsOver::Sill),
            lowest_bank: Some(LowPlace { chainage_m: 20.0, z_m: 10.29, below_sill_m: Some(-0.11) }),
            raise: vec![],
            drain_down_h: Some(Estimate::exact(20.0)),
        }),
        supply: Supply {
            catchment_m2: Some(600.0),
            drains_here: vec![],
            comes_from_deg: None,
            holds_rain_mm: Some(30.0),
            design_peak_l_s: None,
        },
        flow: None,
        digging: Some(Digging {
            cut_m3: 6.0,
            fill_m3: 5.0,
            loose_m3: Estimate::exact(7.5),
            spare_fill_m3: Estimate::exact(0.2),
            person_days: Estimate::exact(3.0),
        }),
        unknown_because: None,
        sills: vec![SillSizes {
            at_m: 5.0,
            width_m: 2.0,
            crest_z_m: Some(10.18),
            to: "ground".to_owned(),
            design_l_s: Some(5.0),
            head_m: Some(0.02),
            head_hard_crest_m: Some(0.015),
            freeboard_m: Some(0.10),
            freeboard_wanted_m: 0.09,
            width_needed_m: Some(1.5),
            out_of_level_times: Some(1.3),
            landing: None,
        }],
        spills_to: vec!["ground".to_owned()],
    }
}
