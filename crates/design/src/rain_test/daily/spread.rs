//! How far water that comes to places of a level bed reaches before it has soaked away.
//!
//! Each place takes what it can; what is more runs half to either side until it finds ground that still takes, and turns
//! back at a closed end. Nothing is lost: what no place takes is shared over the whole bed.

/// Times that water may turn back.
const TURNS: usize = 8;

/// Soaks what came, piece by piece, into ground that takes so much. `came_m3` is used up and `takes_m3` shrinks.
pub(super) fn spread(came_m3: &mut [f64], takes_m3: &mut [f64], soaked_m3: &mut [f64]) {
    let count = came_m3.len();
    for piece in 0..count {
        take(&mut came_m3[piece], &mut takes_m3[piece], &mut soaked_m3[piece]);
    }
    let (mut rightward, mut leftward) = (0.0, 0.0);
    for piece in 0..count {
        let half = 0.5 * came_m3[piece];
        take(&mut rightward, &mut takes_m3[piece], &mut soaked_m3[piece]);
        rightward += half;
    }
    for piece in (0..count).rev() {
        let half = 0.5 * came_m3[piece];
        take(&mut leftward, &mut takes_m3[piece], &mut soaked_m3[piece]);
        leftward += half;
        came_m3[piece] = 0.0;
    }
    for _ in 0..TURNS {
        if rightward <= 0.0 && leftward <= 0.0 {
            return;
        }
        for piece in 0..count {
            take(&mut leftward, &mut takes_m3[piece], &mut soaked_m3[piece]);
        }
        for piece in (0..count).rev() {
            take(&mut rightward, &mut takes_m3[piece], &mut soaked_m3[piece]);
        }
    }
    let left_m3 = rightward + leftward;
    for soaked in soaked_m3.iter_mut() {
        *soaked += left_m3 / count as f64;
    }
}

fn take(water_m3: &mut f64, takes_m3: &mut f64, soaked_m3: &mut f64) {
    let taken_m3 = if *water_m3 < *takes_m3 { *water_m3 } else { *takes_m3 };
    *water_m3 -= taken_m3;
    *takes_m3 -= taken_m3;
    *soaked_m3 += taken_m3;
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// 5 come in the middle of nine places that take 1 each: it and two on either side are wet.
    #[test]
    fn a_spring_wets_both_sides() {
        let (mut came, mut takes, mut soaked) = (vec![0.0; 9], vec![1.0; 9], vec![0.0; 9]);
        came[4] = 5.0;
        spread(&mut came, &mut takes, &mut soaked);
        assert_eq!(soaked, [0.0, 0.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.0, 0.0]);
    }

    /// 4 come at the closed end: half of what is over runs against the end and turns back.
    #[test]
    fn water_turns_back_at_an_end() {
        let (mut came, mut takes, mut soaked) = (vec![0.0; 6], vec![1.0; 6], vec![0.0; 6]);
        came[0] = 4.0;
        spread(&mut came, &mut takes, &mut soaked);
        assert_eq!(soaked, [1.0, 1.0, 1.0, 1.0, 0.0, 0.0]);
    }

    proptest! {
        #[test]
        fn nothing_is_lost(came in prop::collection::vec(0.0..9.0_f64, 1..40), seed in 0.1..3.0_f64) {
            let mut takes: Vec<f64> = came.iter().enumerate().map(|(i, _)| seed * (1.0 + (i % 3) as f64)).collect();
            let (mut left, mut soaked) = (came.clone(), vec![0.0; came.len()]);
            spread(&mut left, &mut takes, &mut soaked);
            let (whole, went) = (came.iter().sum::<f64>(), soaked.iter().sum::<f64>());
            prop_assert!((whole - went).abs() <= 1e-12 * (1.0 + whole), "{whole} {went}");
        }
    }
}
