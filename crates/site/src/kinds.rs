//! The kinds of things a site has. In files each is its plain English words.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! kind {
    ($(#[$outer:meta])* $name:ident { $($(#[$inner:meta])* $variant:ident = $words:literal,)* }) => {
        $(#[$outer])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
        pub enum $name {
            $($(#[$inner])* #[serde(rename = $words)] $variant,)*
        }

        impl $name {
            /// Every kind, in the order of the documentation.
            pub const ALL: &'static [$name] = &[$($name::$variant,)*];

            /// The words files and papers use.
            pub const fn words(self) -> &'static str {
                match self { $($name::$variant => $words,)* }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.words())
            }
        }
    };
}

kind! {
    /// What a line is for.
    LineKind {
        /// Level: holds water and lets it soak.
        Swale = "swale",
        /// Falls gently: carries water.
        Drain = "drain",
        /// Steep and armoured: brings water down.
        Chute = "chute",
        /// Carries water under something.
        Pipe = "pipe",
    }
}

kind! {
    /// Where water comes from.
    SourceKind {
        /// Ground above that sheds rain.
        Hillside = "hillside",
        /// A track, roof or yard.
        HardSurface = "hard surface",
        /// Ground water that comes out in the wet months.
        Seep = "seep",
    }
}

kind! {
    /// The tool that levels are set with.
    ToolKind {
        /// Two legs, a bar and a plumb line.
        AFrame = "a-frame",
        /// A clear hose filled with water.
        Hose = "hose",
        /// A spirit level hung on a string.
        LineLevel = "line level",
        /// An optical or laser level with a staff.
        Level = "level",
    }
}

kind! {
    /// How an A-frame goes along a line.
    WalkedHow {
        /// The back leg swings round to the front: the frame is turned at each step, and a wrong mark cancels.
        Pivoted = "pivoted",
        /// The same leg always leads: a wrong mark adds up.
        Carried = "carried",
    }
}

kind! {
    /// Soil by feel or by jar.
    SoilTexture {
        /// Sand.
        Sand = "sand",
        /// Loamy sand.
        LoamySand = "loamy sand",
        /// Sandy loam.
        SandyLoam = "sandy loam",
        /// Loam.
        Loam = "loam",
        /// Silt loam.
        SiltLoam = "silt loam",
        /// Silt.
        Silt = "silt",
        /// Sandy clay loam.
        SandyClayLoam = "sandy clay loam",
        /// Clay loam.
        ClayLoam = "clay loam",
        /// Silty clay loam.
        SiltyClayLoam = "silty clay loam",
        /// Sandy clay.
        SandyClay = "sandy clay",
        /// Silty clay.
        SiltyClay = "silty clay",
        /// Clay.
        Clay = "clay",
    }
}

kind! {
    /// What air-dry crumbs did in rain water, not stirred.
    JarTest {
        /// They held together: sound.
        Holds = "holds",
        /// They fell apart and the water stayed clear.
        Slakes = "slakes",
        /// A cloud came off them: the soil is dispersive.
        Clouds = "clouds",
    }
}

kind! {
    /// What covers a bed or a landing.
    Lining {
        /// Bare soil.
        Bare = "bare",
        /// Sown but not yet grown.
        Sown = "sown",
        /// Grass that stands.
        Grass = "grass",
        /// Loose rock.
        Rock = "rock",
    }
}

kind! {
    /// What a line has to jump.
    BarrierKind {
        /// A fence.
        Fence = "fence",
        /// A rock outcrop.
        Rock = "rock",
        /// A wall.
        Wall = "wall",
        /// A hedge.
        Hedge = "hedge",
    }
}

kind! {
    /// What water must keep away from.
    KeepClearKind {
        /// A house, barn or shed: its footing.
        Building = "building",
        /// A septic tank or its field.
        Septic = "septic",
        /// A well or spring that people drink from.
        Well = "well",
        /// The edge of the holding.
        Boundary = "boundary",
        /// A road or track that others use.
        Road = "road",
        /// A buried pipe or cable.
        Service = "service",
        /// The top of a bluff, cutting or quarry face.
        SteepDrop = "steep drop",
        /// Ground that has slipped or shows the signs.
        Slip = "slip",
    }
}

kind! {
    /// What was seen, for the field book.
    SeenKind {
        /// Rain in the gauge.
        Rain = "rain",
        /// How far along a line the water reached.
        WaterEdge = "water edge",
        /// Water went where it was not meant to.
        Breakout = "breakout",
        /// Water flowing: at a source, over a sill, in a line.
        Flow = "flow",
        /// How long after the rain a line was empty again.
        Empty = "empty",
        /// How a tree does.
        Tree = "tree",
        /// Anything else.
        Note = "note",
    }
}

impl SeenKind {
    /// Unit of its figure; none where it has no figure.
    pub const fn unit(self) -> Option<&'static str> {
        match self {
            SeenKind::Rain => Some("mm"),
            SeenKind::Breakout | SeenKind::Flow => Some("L/s"),
            SeenKind::Empty => Some("h"),
            SeenKind::WaterEdge | SeenKind::Tree | SeenKind::Note => None,
        }
    }
}
