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
//! Source: S. J. Thien, A flow diagram for teaching texture-by-feel analysis, J. Agronomic Education 8, 1979, 54–55;
//! ribbons of 1 and 2 inches as Colorado State University Extension prints them. Leaves out: lime and organic matter,
//! which feel like silt and clay.

use super::Texture;

/// A ribbon shorter than this is of little clay, m: an inch.
const SHORT_M: f64 = 0.0254;
/// A longer one than this is of much, m: two inches.
const LONG_M: f64 = 0.0508;

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
        let (length_m, rubs) = match feel {
            Feel::FallsApart => return Texture::Sand,
            Feel::NoRibbon => return Texture::LoamySand,
            Feel::Ribbon { length_m, rubs } => (length_m, rubs),
        };
        if length_m < SHORT_M {
            match rubs {
                Rubs::Gritty => Texture::SandyLoam,
                Rubs::Smooth => Texture::SiltLoam,
                Rubs::Neither => Texture::Loam,
            }
        } else if length_m <= LONG_M {
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
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Thien 1979: the eleven ends of the diagram, each by a ribbon well within its class.
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
}
