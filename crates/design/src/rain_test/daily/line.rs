//! A day of one line, hour by hour.

use water::runoff::Wetness;
use water::soak::GreenAmpt;

use super::pool::Pool;
use super::spread::spread;
use super::{HOURS, LineState, RAIN_HOURS, hour_takes_m, place_of};
use crate::rain_test::build::WorksLine;

/// The hours of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hours {
    pub comes_m3: [f64; HOURS],
    pub passed_m3: [f64; HOURS],
    pub held_m3: [f64; HOURS],
}

impl Default for Hours {
    fn default() -> Hours {
        Hours { comes_m3: [0.0; HOURS], passed_m3: [0.0; HOURS], held_m3: [0.0; HOURS] }
    }
}

impl Hours {
    pub(super) fn clear(&mut self) {
        *self = Hours::default();
    }

    /// What a rain makes run, given what runs of the rain so far. Gives all of it.
    pub(super) fn rain(&mut self, runoff_m3: impl Fn(f64) -> f64, rain_m: f64) -> f64 {
        let whole_m3 = runoff_m3(rain_m);
        if whole_m3 <= 0.0 {
            return 0.0;
        }
        let mut before_m3 = 0.0;
        for hour in 0..RAIN_HOURS {
            let last = hour + 1 == RAIN_HOURS;
            let fallen_m = rain_m * (hour + 1) as f64 / RAIN_HOURS as f64;
            let so_far_m3 = if last { whole_m3 } else { runoff_m3(fallen_m) };
            self.comes_m3[hour] += so_far_m3 - before_m3;
            before_m3 = so_far_m3;
        }
        whole_m3
    }

    pub(super) fn evenly(&mut self, m3: f64) {
        for comes_m3 in &mut self.comes_m3 {
            *comes_m3 += m3 / HOURS as f64;
        }
    }
}

/// What a day did to a line, m³.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LineDay {
    /// Stood in it when the day began.
    pub began_m3: f64,
    /// From its own ground, surfaces and seeps, and the rain on it.
    pub arrived_m3: f64,
    pub passed_in_m3: f64,
    pub soaked_m3: f64,
    pub passed_on_m3: f64,
    pub left_m3: f64,
    /// Stands in it when the day ends.
    pub stored_m3: f64,
    pub(super) surplus_m3: f64,
    /// Where it came, piece by piece.
    pub(super) came_m3: Vec<f64>,
    /// What soaked in, piece by piece.
    pub soaked_of_piece_m3: Vec<f64>,
    /// Hour by hour what stood in it.
    held_m3: [f64; HOURS],
    spare_m2: Vec<f64>,
}

impl LineDay {
    pub(super) fn of(pieces: usize) -> LineDay {
        LineDay {
            began_m3: 0.0,
            arrived_m3: 0.0,
            passed_in_m3: 0.0,
            soaked_m3: 0.0,
            passed_on_m3: 0.0,
            left_m3: 0.0,
            stored_m3: 0.0,
            surplus_m3: 0.0,
            came_m3: vec![0.0; pieces],
            soaked_of_piece_m3: vec![0.0; pieces],
            held_m3: [0.0; HOURS],
            spare_m2: vec![0.0; pieces],
        }
    }

    pub(super) fn begin(&mut self, held_m3: f64) {
        self.began_m3 = held_m3;
        for m3 in [
            &mut self.arrived_m3,
            &mut self.passed_in_m3,
            &mut self.soaked_m3,
            &mut self.passed_on_m3,
            &mut self.left_m3,
            &mut self.surplus_m3,
        ] {
            *m3 = 0.0;
        }
        self.came_m3.fill(0.0);
        self.soaked_of_piece_m3.fill(0.0);
    }

    pub(super) fn add(&mut self, piece: usize, m3: f64) {
        self.came_m3[piece] += m3;
        self.arrived_m3 += m3;
    }

    pub(super) fn add_shares(&mut self, shares: &[f64], m3: f64) {
        if m3 > 0.0 {
            for (came_m3, share) in self.came_m3.iter_mut().zip(shares) {
                *came_m3 += share * m3;
            }
            self.arrived_m3 += m3;
        }
    }

    /// At one piece, or spread by length.
    pub(super) fn add_at(&mut self, line: &WorksLine, at_m: Option<f64>, m3: f64) {
        if m3 <= 0.0 {
            return;
        }
        match at_m {
            Some(at_m) => self.came_m3[line.piece_at(at_m)] += m3,
            None => {
                let length_m: f64 = line.pieces.iter().map(|piece| piece.length_m()).sum();
                for (came_m3, piece) in self.came_m3.iter_mut().zip(&line.pieces) {
                    *came_m3 += m3 * piece.length_m() / length_m;
                }
            }
        }
        self.arrived_m3 += m3;
    }

    /// |came − went| over what came.
    pub(crate) fn balance_error_frac(&self) -> f64 {
        let came_m3 = self.began_m3 + self.arrived_m3 + self.passed_in_m3;
        let went_m3 = self.soaked_m3 + self.passed_on_m3 + self.left_m3 + self.stored_m3;
        let of_pieces_m3: f64 = self.soaked_of_piece_m3.iter().sum();
        let error_m3 = (came_m3 - went_m3).abs() + (of_pieces_m3 - self.soaked_m3).abs();
        if came_m3 > 0.0 { error_m3 / came_m3 } else { error_m3 }
    }

    /// Hours of the day in which more than so much stood in the line.
    pub(crate) fn hours_above(&self, volume_m3: f64) -> usize {
        self.held_m3.iter().filter(|held_m3| **held_m3 > volume_m3).count()
    }
}

impl LineState {
    /// Works through the hours. All that comes from lines above is known.
    pub(super) fn soak(&mut self, pool: &Pool, wetness: Wetness) {
        let came_m3 = self.day.arrived_m3 + self.day.passed_in_m3;
        if came_m3 <= 0.0 && self.held_m3 <= 0.0 {
            self.soaked_m = 0.0;
            self.day.stored_m3 = 0.0;
            self.day.held_m3 = [0.0; HOURS];
            return;
        }
        let front = self.fronts[place_of(wetness)];
        if pool.falls {
            self.run_down(pool, front, came_m3);
        } else {
            self.fill_and_soak(pool, front);
        }
        self.day.surplus_m3 = self.hours.passed_m3.iter().sum();
        self.day.soaked_m3 = self.day.soaked_of_piece_m3.iter().sum();
        self.day.stored_m3 = self.held_m3;
        self.day.held_m3 = self.hours.held_m3;
    }

    /// Water runs down the bed and out at its end.
    fn run_down(&mut self, pool: &Pool, front: GreenAmpt, came_m3: f64) {
        for hour in 0..HOURS {
            let comes_m3 = self.hours.comes_m3[hour];
            if comes_m3 <= 0.0 {
                continue;
            }
            let takes_m = hour_takes_m(&front, self.soaked_m);
            let (mut runs_m3, mut soaked_m3) = (0.0, 0.0);
            for (piece, bed_m2) in pool.pieces.iter().enumerate() {
                runs_m3 += comes_m3 * self.day.came_m3[piece] / came_m3;
                let takes_m3 = takes_m * bed_m2;
                let soaks_m3 = if runs_m3 < takes_m3 { runs_m3 } else { takes_m3 };
                runs_m3 -= soaks_m3;
                soaked_m3 += soaks_m3;
                self.day.soaked_of_piece_m3[piece] += soaks_m3;
            }
            if pool.bed_m2 > 0.0 {
                self.soaked_m += soaked_m3 / pool.bed_m2;
            }
            self.hours.passed_m3[hour] = runs_m3;
        }
    }

    /// Water lies level: what comes wets the bed, the rest stands and soaks through all that it wets.
    fn fill_and_soak(&mut self, pool: &Pool, front: GreenAmpt) {
        let mut of_rung_m3 = [0.0; Pool::rungs()];
        // A piece that is under water for all the hours in which any comes takes this much at the most.
        let (mut film_m3, mut ponded_m) = (0.0, self.soaked_m);
        let began_m = self.soaked_m;
        for hour in 0..HOURS {
            let comes_m3 = self.hours.comes_m3[hour];
            if comes_m3 <= 0.0 && self.held_m3 <= 0.0 {
                continue;
            }
            let takes_m = hour_takes_m(&front, self.soaked_m);
            let middle_m3 = self.held_m3 + 0.5 * comes_m3;
            let rung = pool.rung(middle_m3);
            // Dry before: nothing stands until the bed has had what it takes.
            let stands = self.held_m3 > 0.0 || comes_m3 > takes_m * pool.bed_m2;
            let (pool_m2, on_bed_m2) =
                if stands { (pool.wet_m2[rung], pool.on_bed_m2[rung]) } else { (0.0, 0.0) };
            let film_m2 = if comes_m3 > 0.0 { pool.bed_m2 - on_bed_m2 } else { 0.0 };
            let of_film_m3 = least(comes_m3, takes_m * film_m2);
            let of_pool_m3 = least(self.held_m3 + comes_m3 - of_film_m3, takes_m * pool_m2);
            self.soaked_m +=
                if pool_m2 + film_m2 > 0.0 { (of_film_m3 + of_pool_m3) / (pool_m2 + film_m2) } else { 0.0 };
            film_m3 += of_film_m3;
            ponded_m += if comes_m3 > 0.0 { hour_takes_m(&front, ponded_m) } else { 0.0 };
            of_rung_m3[rung] += of_pool_m3;
            let stays_m3 = self.held_m3 + comes_m3 - of_film_m3 - of_pool_m3;
            self.hours.passed_m3[hour] = if stays_m3 > pool.full_m3 { stays_m3 - pool.full_m3 } else { 0.0 };
            self.held_m3 = least(stays_m3, pool.full_m3);
            self.hours.held_m3[hour] = self.held_m3;
        }
        for (rung, m3) in of_rung_m3.iter().enumerate().filter(|(_, m3)| **m3 > 0.0) {
            for (soaked_m3, wet_m2) in self.day.soaked_of_piece_m3.iter_mut().zip(pool.wet_at(rung)) {
                *soaked_m3 += m3 * wet_m2 / pool.wet_m2[rung];
            }
        }
        if film_m3 > 0.0 {
            self.spread_film(pool, film_m3, ponded_m - began_m);
        }
    }

    fn spread_film(&mut self, pool: &Pool, film_m3: f64, takes_m: f64) {
        let day = &mut self.day;
        let came_m3: f64 = day.came_m3.iter().sum();
        for (spare_m2, bed_m2) in day.spare_m2.iter_mut().zip(&pool.pieces) {
            *spare_m2 = takes_m * bed_m2;
        }
        for came in &mut day.came_m3 {
            *came *= film_m3 / came_m3;
        }
        spread(&mut day.came_m3, &mut day.spare_m2, &mut day.soaked_of_piece_m3);
    }
}

fn least(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}
