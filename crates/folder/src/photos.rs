//! Photographs beside the field book, in `photos/`: kept as they came, under names that no path can hide in.

use std::fs;
use std::path::Path;

use quantity::{Day, fingerprint};

use crate::Fault;
use crate::inside::SiteDir;
use crate::save::replace;

/// The folder, in a site folder.
const PHOTOS: &str = "photos";

/// Most bytes of one photograph, 8 MiB: what a phone's camera gives at its best, and four times what a page that
/// shrinks it first sends.
pub const MOST_PHOTO_BYTES: usize = 8 << 20;

/// A picture that browsers show and that cannot run anything.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhotoKind {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
    /// WebP.
    Webp,
}

impl PhotoKind {
    /// By its first bytes, whatever it is called: ITU T.81 (JPEG), ISO/IEC 15948 (PNG), RFC 9649 (WebP).
    pub fn of(bytes: &[u8]) -> Option<PhotoKind> {
        let webp = bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP");
        match bytes {
            [0xff, 0xd8, 0xff, ..] => Some(PhotoKind::Jpeg),
            [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1a, b'\n', ..] => Some(PhotoKind::Png),
            _ => webp.then_some(PhotoKind::Webp),
        }
    }

    /// The end of its file's name.
    pub const fn extension(self) -> &'static str {
        match self {
            PhotoKind::Jpeg => "jpg",
            PhotoKind::Png => "png",
            PhotoKind::Webp => "webp",
        }
    }

    /// Its media type.
    pub const fn media_type(self) -> &'static str {
        match self {
            PhotoKind::Jpeg => "image/jpeg",
            PhotoKind::Png => "image/png",
            PhotoKind::Webp => "image/webp",
        }
    }
}

/// Keeps a photograph; its name, as the field book names it. The same picture has the same name, so that it may come
/// twice.
///
/// # Errors
/// It is no picture of a known kind, too large, or cannot be written.
pub fn keep_photo(dir: &Path, day: Day, bytes: &[u8]) -> Result<String, Fault> {
    let kind = PhotoKind::of(bytes).ok_or_else(|| {
        let found = "this is no JPEG, PNG or WebP picture";
        Fault::of_file(PHOTOS, "not-a-photo", found, "save it as JPEG and send it again")
    })?;
    if bytes.len() > MOST_PHOTO_BYTES {
        let found = format!("the picture is larger than {} MiB", MOST_PHOTO_BYTES >> 20);
        return Err(Fault::of_file(PHOTOS, "too-large", found, "make it smaller and send it again"));
    }
    let site = SiteDir::open(dir)?;
    let name = format!("{day}-{}.{}", fingerprint(bytes), kind.extension());
    let shown = site.shown(&format!("{PHOTOS}/{name}"));
    let not_saved = |error: std::io::Error| crate::save::not_saved(&shown, &error);
    fs::create_dir_all(dir.join(PHOTOS)).map_err(not_saved)?;
    let path = site.folder(PHOTOS)?.join(&name);
    if fs::read(&path).is_ok_and(|there| there == bytes) {
        return Ok(name);
    }
    replace(&path, bytes).map_err(not_saved)?;
    Ok(name)
}

/// A photograph of the folder by its name.
///
/// # Errors
/// There is none of this name, or it is no picture.
pub fn photo(dir: &Path, name: &str) -> Result<(PhotoKind, Vec<u8>), Fault> {
    let site = SiteDir::open(dir)?;
    let inside = format!("{PHOTOS}/{name}");
    if name.contains(['/', '\\']) || name.starts_with('.') {
        return Err(Fault::of_file(
            site.shown(PHOTOS),
            "no-file",
            "a photograph has a plain name",
            "name it alone",
        ));
    }
    let bytes = site.bytes(&inside)?;
    let kind = PhotoKind::of(&bytes).ok_or_else(|| {
        let found = "this is no JPEG, PNG or WebP picture";
        Fault::of_file(site.shown(&inside), "not-a-photo", found, "take it out of the folder")
    })?;
    Ok((kind, bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    const JPEG: &[u8] = b"\xff\xd8\xff\xe0 and so on";

    #[test]
    fn a_photograph_comes_back_and_what_is_none_is_refused() {
        let home = tempfile::tempdir().unwrap();
        let day = Day::new(2026, 11, 25).unwrap();
        let name = keep_photo(home.path(), day, JPEG).unwrap();
        assert!(name.starts_with("2026-11-25-") && name.ends_with(".jpg"), "{name}");
        assert_eq!(keep_photo(home.path(), day, JPEG).unwrap(), name);
        assert_eq!(photo(home.path(), &name).unwrap(), (PhotoKind::Jpeg, JPEG.to_vec()));
        assert_eq!(fs::read_dir(home.path().join(PHOTOS)).unwrap().count(), 1);
        for bytes in [&b"<svg onload='x()'/>"[..], b"<html>", b"", b"GIF89a", b"RIFF0000WAVE"] {
            assert_eq!(keep_photo(home.path(), day, bytes).unwrap_err().code, "not-a-photo");
        }
        let large = [JPEG, &vec![0; MOST_PHOTO_BYTES]].concat();
        assert_eq!(keep_photo(home.path(), day, &large).unwrap_err().code, "too-large");
    }

    #[test]
    fn no_name_leads_out_of_the_folder() {
        let home = tempfile::tempdir().unwrap();
        fs::write(home.path().join("site.toml"), JPEG).unwrap();
        fs::create_dir(home.path().join(PHOTOS)).unwrap();
        fs::write(home.path().join("photos/page.jpg"), "<html>").unwrap();
        for name in ["../site.toml", "..", ".", "", "/etc/passwd", "..\\site.toml", "nothing.jpg", "page.jpg"]
        {
            assert!(photo(home.path(), name).is_err(), "{name}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_folder_linked_elsewhere_is_not_written() {
        let (home, other) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        std::os::unix::fs::symlink(other.path(), home.path().join(PHOTOS)).unwrap();
        let fault = keep_photo(home.path(), Day::new(2026, 11, 25).unwrap(), JPEG).unwrap_err();
        assert_eq!(fault.code, "outside-folder");
        assert_eq!(fs::read_dir(other.path()).unwrap().count(), 0);
    }
}
