//! What to bring in the hands.
//!
//! The list is that of growers who dig swales by hand: mattock or pick, long-handled shovel, flat shovel, hoe, rake,
//! string, pegs, tamper, barrow and level. How many of each is common practice, no source: a shovel for each, a mattock
//! between two (one loosens while one throws), one of the rest.

use schemars::JsonSchema;
use serde::Serialize;
use site::ToolKind;

/// A tool, and how many.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(rename = "ToolToBring")]
pub struct Tool {
    /// Which.
    pub tool: &'static str,
    /// How many.
    pub count: u32,
}

/// The tools for so many people.
pub(super) fn of(level: ToolKind, people: u32) -> Vec<Tool> {
    let level = match level {
        ToolKind::AFrame => "A-frame",
        ToolKind::Hose => "water hose with two staffs",
        ToolKind::LineLevel => "line level with string and two staffs",
        ToolKind::Level => "level with tripod and staff",
    };
    let tool = |tool, count| Tool { tool, count };
    vec![
        tool(level, 1),
        tool("measuring tape", 1),
        tool("string and mallet", 1),
        tool("long-handled shovel", people),
        tool("mattock or pick", people.div_ceil(2)),
        tool("flat shovel for the bed", 1),
        tool("rake", 1),
        tool("tamper for the bank", 1),
        tool("barrow", 1),
    ]
}
