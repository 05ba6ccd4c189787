//! What people bring, read and then used as the rest of the program uses it.

mod jacksboro;
mod real_raster;
