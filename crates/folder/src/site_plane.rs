//! The plane of a site's x and y, and where it lies on the Earth.
//!
//! A site with `place.crs` has the plane of that system. One with `place.anchor` has a plane of its own: a
//! transverse Mercator projection about the anchor, true there, turned by the bearing of the y axis. With the
//! bearing β, clockwise from north, a place x, y of the site lies x·cos β + y·sin β east and y·cos β − x·sin β north
//! of the anchor.

use proj4rs::Proj;
use proj4rs::errors::Error;
use proj4rs::transform::transform;
use site::Anchor;

use crate::raster::Refusal;
use crate::raster::SiteAxes;
use crate::raster::crs;

/// The site's x and y: a projection, turned by the bearing of the y axis.
pub(crate) struct SitePlane {
    /// The projection.
    pub proj: Proj,
    sine: f64,
    cosine: f64,
}

impl SitePlane {
    /// A plane whose y axis is the projection's own.
    pub(crate) fn upright(proj: Proj) -> SitePlane {
        SitePlane { proj, sine: 0.0, cosine: 1.0 }
    }

    /// A plane about an anchor.
    pub(crate) fn anchored(anchor: Anchor) -> SitePlane {
        let bearing = anchor.bearing_deg.to_radians();
        SitePlane {
            proj: crs::proj(&crs::about(anchor.longitude_deg, anchor.latitude_deg)),
            sine: libm::sin(bearing),
            cosine: libm::cos(bearing),
        }
    }

    /// The plane of a site; none where nothing ties it to the Earth.
    pub(crate) fn of(axes: SiteAxes) -> Result<Option<SitePlane>, Refusal> {
        match axes {
            SiteAxes::AsInFile => Ok(None),
            SiteAxes::Projected(code) => crs::known(code).map(SitePlane::upright).map(Some),
            SiteAxes::Anchored(anchor) => Ok(Some(SitePlane::anchored(anchor))),
        }
    }

    /// From the projection's plane to the site's x and y.
    pub(crate) fn turn_to_site(&self, places: &mut [(f64, f64)]) {
        for (x, y) in places {
            (*x, *y) = (*x * self.cosine - *y * self.sine, *x * self.sine + *y * self.cosine);
        }
    }

    /// From the site's x and y to the projection's plane.
    pub(crate) fn turn_to_plane(&self, places: &mut [(f64, f64)]) {
        for (x, y) in places {
            (*x, *y) = (*x * self.cosine + *y * self.sine, *y * self.cosine - *x * self.sine);
        }
    }

    /// From the site's x and y to longitude and latitude, degrees, WGS 84.
    pub(crate) fn site_to_degrees(&self, places: &mut [(f64, f64)]) -> Result<(), Error> {
        self.turn_to_plane(places);
        transform(&self.proj, &crs::proj(crs::WGS84), places)?;
        for (x, y) in places {
            (*x, *y) = (x.to_degrees(), y.to_degrees());
        }
        Ok(())
    }

    /// From longitude and latitude, degrees, WGS 84, to the site's x and y.
    pub(crate) fn degrees_to_site(&self, places: &mut [(f64, f64)]) -> Result<(), Error> {
        for (x, y) in places.iter_mut() {
            (*x, *y) = (x.to_radians(), y.to_radians());
        }
        transform(&crs::proj(crs::WGS84), &self.proj, places)?;
        self.turn_to_site(places);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const QUARRY_BANK: Anchor = Anchor { longitude_deg: -5.2, latitude_deg: 38.7, bearing_deg: 30.0 };

    /// With the y axis on a bearing of 30° a place 100 m up it lies 50 m east and 86.6 m north of the anchor. One
    /// second of arc of longitude is 24.16 m at 38.7°, one of latitude 30.83 m: a cos φ / √(1 − e² sin² φ) and
    /// a (1 − e²) / (1 − e² sin² φ)^1.5 with a = 6 378 137 m and e² = 0.006 694 38 (the constants of WGS 84).
    #[test]
    fn a_turned_plane_by_hand() {
        let plane = SitePlane::anchored(QUARRY_BANK);
        let mut places = [(0.0, 100.0)];
        plane.site_to_degrees(&mut places).unwrap();
        let (a, e2, phi) = (6_378_137.0_f64, 0.006_694_38_f64, 38.7_f64.to_radians());
        let w = 1.0 - e2 * libm::sin(phi) * libm::sin(phi);
        let (per_east, per_north) = (a * libm::cos(phi) / w.sqrt(), a * (1.0 - e2) / (w * w.sqrt()));
        let east_m = (places[0].0 + 5.2).to_radians() * per_east;
        let north_m = (places[0].1 - 38.7).to_radians() * per_north;
        // Over 87 m of latitude the radii change by less than 1e-5 of it.
        assert!((east_m - 50.0).abs() < 1e-3, "{east_m}");
        assert!((north_m - 86.602_540).abs() < 1e-3, "{north_m}");
    }

    #[test]
    fn there_and_back_is_the_same_place() {
        for axes in [SiteAxes::Anchored(QUARRY_BANK), SiteAxes::Projected(25830)] {
            let plane = SitePlane::of(axes).unwrap().unwrap();
            let from =
                if axes == SiteAxes::Projected(25830) { (308_000.0, 4_285_000.0) } else { (412.5, -80.25) };
            let mut places = [from];
            plane.site_to_degrees(&mut places).unwrap();
            plane.degrees_to_site(&mut places).unwrap();
            let off = libm::hypot(places[0].0 - from.0, places[0].1 - from.1);
            assert!(off < 1e-4, "{axes:?}: {off}");
        }
        assert!(SitePlane::of(SiteAxes::AsInFile).unwrap().is_none());
    }
}
