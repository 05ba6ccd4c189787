//! What people bring, read and then used as the rest of the program uses it.

mod real_raster;
