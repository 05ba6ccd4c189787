//! How the trees of one line share the ground that its water wets.

use std::f64::consts::PI;

use grove::roots::shared_with_strip_m2;

/// A tree beside a line: what of each piece's water it gets.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Share {
    /// First piece of which it gets any.
    pub first: usize,
    /// Share of the water of that piece and those after.
    pub shares: Vec<f64>,
}

/// A tree's place: chainage, metres downhill of the pegs, and the ground its roots have reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reached {
    pub chainage_m: f64,
    pub downhill_m: f64,
    pub area_m2: f64,
}

impl Share {
    /// The share of a tree on its own, when water wets the strip between two lines, m downhill of the pegs.
    pub(super) fn of(tree: Reached, strip_m: [f64; 2], pieces_m: &[(f64, f64)]) -> Share {
        let reach_m = (tree.area_m2 / PI).sqrt();
        let shared_m2 =
            shared_with_strip_m2(reach_m, strip_m[0] - tree.downhill_m, strip_m[1] - tree.downhill_m);
        let (from_m, to_m) = (tree.chainage_m - reach_m, tree.chainage_m + reach_m);
        let first = pieces_m.partition_point(|(_, end_m)| *end_m <= from_m);
        let end = pieces_m.partition_point(|(start_m, _)| *start_m < to_m);
        if shared_m2 <= 0.0 || first >= end {
            return Share::default();
        }
        // The disc counts as evenly long across the strip: its piece of a metre of line is a share of its length.
        let per_m_m2 = shared_m2 / (to_m - from_m);
        let width_m = strip_m[1] - strip_m[0];
        let shares = pieces_m[first..end].iter().map(|(start_m, end_m)| {
            let low = if *start_m > from_m { *start_m } else { from_m };
            let high = if *end_m < to_m { *end_m } else { to_m };
            (high - low) * per_m_m2 / ((end_m - start_m) * width_m)
        });
        Share { first, shares: shares.collect() }
    }

    /// Litres of what soaked in, piece by piece.
    pub(super) fn litres(&self, soaked_of_piece_m3: &[f64]) -> f64 {
        let pieces = &soaked_of_piece_m3[self.first.min(soaked_of_piece_m3.len())..];
        1000.0 * self.shares.iter().zip(pieces).map(|(share, m3)| share * m3).sum::<f64>()
    }
}

/// Where trees ask together for more than a piece has, each gets less in the same proportion.
pub(super) fn settle(shares: &mut [&mut Share], pieces: usize) {
    let mut asked = vec![0.0; pieces];
    for share in shares.iter() {
        for (i, of_piece) in share.shares.iter().enumerate() {
            asked[share.first + i] += of_piece;
        }
    }
    for share in shares.iter_mut() {
        for (i, of_piece) in share.shares.iter_mut().enumerate() {
            let whole = asked[share.first + i];
            if whole > 1.0 {
                *of_piece /= whole;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces() -> Vec<(f64, f64)> {
        (0..20).map(|i| (f64::from(i), f64::from(i) + 1.0)).collect()
    }

    /// Roots of 1 m reach wholly in a strip 4 m wide: of the pieces 9 to 11 they have π m² of 8 m².
    #[test]
    fn roots_in_the_strip_get_their_ground() {
        let tree = Reached { chainage_m: 10.0, downhill_m: 1.0, area_m2: PI };
        let share = Share::of(tree, [-1.0, 3.0], &pieces());
        assert_eq!((share.first, share.shares.len()), (9, 2));
        // A metre of line soaks 100 L: 2 m of it 200 L over 8 m², 25 mm; π m² of that.
        let soaked = vec![0.1; 20];
        assert!((share.litres(&soaked) - 25.0 * PI).abs() <= 1e-9, "{}", share.litres(&soaked));
    }

    #[test]
    fn roots_below_the_strip_get_none() {
        let tree = Reached { chainage_m: 10.0, downhill_m: 5.0, area_m2: PI };
        assert_eq!(Share::of(tree, [-1.0, 3.0], &pieces()).litres(&[1.0; 20]), 0.0);
    }

    #[test]
    fn trees_never_share_out_more_than_soaked() {
        let tree = Reached { chainage_m: 10.0, downhill_m: 1.0, area_m2: 4.0 * PI };
        let mut shares: Vec<Share> = (0..5).map(|_| Share::of(tree, [-1.0, 3.0], &pieces())).collect();
        let mut refs: Vec<&mut Share> = shares.iter_mut().collect();
        settle(&mut refs, 20);
        let all: f64 = shares.iter().map(|share| share.litres(&[0.1; 20])).sum();
        assert!(all <= 4.0 * 100.0 + 1e-9, "{all}");
    }
}
