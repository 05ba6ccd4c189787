//! Texture by feel: a moist ball of soil, squeezed between thumb and finger into a ribbon, then rubbed wet.
//!
//! | ribbon breaks at | rubs gritty | rubs smooth | neither |
//! |---|---|---|---|
//! | under 25 mm | sandy loam | silt loam | loam |
//! | 25 to 50 mm | sandy clay loam | silty clay loam | clay loam |
//! | over 50 mm | sandy clay | silty clay | clay |
//!
//! Soil that makes no ball is sand; a ball that makes no ribbon is loamy sand. Silt has no place of its own: it goes
//! with silt loam.
//!
//! Source: the ends are those of S. J. Thien, A flow diagram for teaching texture-by-feel analysis, J. Agronomic
//! Education 8, 1979, 54–55, seen as a wetland handbook reprints it. The lengths differ by printing: 1 and 2 inches in
//! Colorado State University Extension's notes among the USDA's lessons, 2 and 3 in that handbook. We take the first,
//! and tell the class of the second where it is another. Leaves out: lime and organic matter, which feel like silt and
//! clay.

use super::Texture;

/// Ribbons shorter than the first are of little clay, longer than the second of much, m: 1 and 2 inches.
const SHORT_AND_LONG_M: [f64; 2] = [0.0254, 0.0508];
/// The same in another printing: 2 and 3 inches.
const OTHER_PRINTING_M: [f64; 2] = [0.0508, 0.0762];

/// What the hand finds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Feel {
    /// It falls apart when squeezed.
    FallsApart,
    /// It makes a ball, and the ball no ribbon.
    NoRibbon,
    /// It makes a ribbon.
    Ribbon {
        /// Length at which it breaks under its own weight.
        length_m: f64,
        /// What a pinch rubbed wet in the palm is like.
        rubs: Rubs,
    },
}

/// What a pinch of soil rubbed wet in the palm is like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rubs {
    /// Sand is felt before all.
    Gritty,
    /// Like flour.
    Smooth,
    /// Neither rules.
    Neither,
}

impl Texture {
    /// The class that the hand finds.
    pub fn by_feel(feel: Feel) -> Texture {
        by_ribbon(feel, SHORT_AND_LONG_M)
    }

    /// The class by the other printing of the diagram, which asks for longer ribbons.
    pub fn by_feel_of_other_printing(feel: Feel) -> Texture {
        by_ribbon(feel, OTHER_PRINTING_M)
    }
}

fn by_ribbon(feel: Feel, [short_m, long_m]: [f64; 2]) -> Texture {
    let (length_m, rubs) = match feel {
        Feel::FallsApart => return Texture::Sand,
        Feel::NoRibbon => return Texture::LoamySand,
        Feel::Ribbon { length_m, rubs } => (length_m, rubs),
    };
    if length_m < short_m {
        match rubs {
            Rubs::Gritty => Texture::SandyLoam,
            Rubs::Smooth => Texture::SiltLoam,
            Rubs::Neither => Texture::Loam,
        }
    } else if length_m <= long_m {
        match rubs {
            Rubs::Gritty => Texture::SandyClayLoam,
            Rubs::Smooth => Texture::SiltyClayLoam,
            Rubs::Neither => Texture::ClayLoam,
        }
    } else {
        match rubs {
            Rubs::Gritty => Texture::SandyClay,
            Rubs::Smooth => Texture::SiltyClay,
            Rubs::Neither => Texture::Clay,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Thien 1979 as reprinted: the eleven ends of the diagram. Colorado State University Extension: ribbons under 1 inch
    /// are of loam and silt, of 1 to 2 inches of clay loams, over 2 inches of clay; each by one well within its class.
    #[test]
    fn published_ends_of_the_diagram() {
        use Rubs::{Gritty, Neither, Smooth};
        let ends = [
            (15.0, Gritty, Texture::SandyLoam),
            (15.0, Smooth, Texture::SiltLoam),
            (15.0, Neither, Texture::Loam),
            (35.0, Gritty, Texture::SandyClayLoam),
            (35.0, Smooth, Texture::SiltyClayLoam),
            (35.0, Neither, Texture::ClayLoam),
            (70.0, Gritty, Texture::SandyClay),
            (70.0, Smooth, Texture::SiltyClay),
            (70.0, Neither, Texture::Clay),
        ];
        for (length_mm, rubs, expected) in ends {
            let feel = Feel::Ribbon { length_m: length_mm / 1000.0, rubs };
            assert_eq!(Texture::by_feel(feel), expected);
        }
        assert_eq!(Texture::by_feel(Feel::FallsApart), Texture::Sand);
        assert_eq!(Texture::by_feel(Feel::NoRibbon), Texture::LoamySand);
    }

    /// A wetland handbook's printing: under 2 inches, 2 to 3, over 3. It never finds more clay than the first.
    #[test]
    fn published_ribbons_of_the_other_printing() {
        let found = |length_mm: f64| {
            let feel = Feel::Ribbon { length_m: length_mm / 1000.0, rubs: Rubs::Neither };
            (Texture::by_feel(feel), Texture::by_feel_of_other_printing(feel))
        };
        assert_eq!(found(20.0), (Texture::Loam, Texture::Loam));
        assert_eq!(found(40.0), (Texture::ClayLoam, Texture::Loam));
        assert_eq!(found(60.0), (Texture::Clay, Texture::ClayLoam));
        assert_eq!(found(90.0), (Texture::Clay, Texture::Clay));
    }
}
