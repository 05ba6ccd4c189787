//! The tool in hand: what the site says of it, the rest as assumed for its kind.

use ground::tool::{Tool, ToolKind, Walked};
use quantity::convert::mm_to_m;

/// The tool with its errors. An A-frame whose way of walking is not told is taken as carried: the worse.
pub fn in_hand(written: &site::Tool) -> Tool {
    let kind = match written.kind {
        site::ToolKind::AFrame => ToolKind::AFrame,
        site::ToolKind::Hose => ToolKind::Hose,
        site::ToolKind::LineLevel => ToolKind::LineLevel,
        site::ToolKind::Level => ToolKind::Level,
    };
    let assumed = Tool::assumed(kind);
    let walked = match (written.walked, kind) {
        (Some(site::WalkedHow::Pivoted), _) => Walked::Pivoted,
        (Some(site::WalkedHow::Carried), _) | (None, ToolKind::AFrame) => Walked::Carried,
        (None, _) => assumed.walked,
    };
    Tool {
        kind,
        step_m: written.step_m,
        random_m: written.random_mm.map_or(assumed.random_m, mm_to_m),
        constant_m: written.bias_mm.map_or(assumed.constant_m, mm_to_m),
        walked,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_told_is_assumed_and_the_worse_way_of_walking() {
        let written = site::Tool {
            kind: site::ToolKind::AFrame,
            step_m: 2.0,
            random_mm: Some(4.0),
            bias_mm: None,
            walked: None,
        };
        let tool = in_hand(&written);
        assert_eq!((tool.step_m, tool.random_m), (2.0, 0.004));
        assert_eq!(tool.constant_m, Tool::assumed(ToolKind::AFrame).constant_m);
        assert_eq!(tool.walked, Walked::Carried);
    }
}
