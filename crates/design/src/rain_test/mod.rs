//! One storm worked through the chain of lines: what it does, where it breaks out, where the water goes.

mod answer;

pub use answer::{
    Answer, Breakout, Ensemble, Fastest, FlowInTime, Guess, LeastFreeboard, LeavesBy, LeftOut, LineAt,
    LineRain, MetreRain, Moment, Outlet, RainSoFar, SillRain, SiteRain, StormTold, TreeRain,
};
