//! Photos that have not arrived whole: what came is kept under the hash of the whole, so that the rest can follow.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

/// Folder within the data folder.
pub(super) const FOLDER: &str = "exchange";

/// How long a part that nobody goes on with is kept.
const KEPT: Duration = Duration::from_secs(7 * 24 * 60 * 60);

/// Most parts at once.
const PARTS_MAX: usize = 200;

/// A part of a photo. Several may write to one at once: at each place they write the same bytes, or the hash tells.
pub(super) struct Part {
    path: PathBuf,
    file: File,
}

impl Part {
    /// The part of a photo, which may be empty. `photo` is its hash.
    pub(super) fn of(data: &Path, photo: &str) -> io::Result<Part> {
        let folder = data.join(FOLDER);
        fs::create_dir_all(&folder)?;
        let path = folder.join(format!("{photo}.part"));
        if !path.exists() && PARTS_MAX <= tidy(&folder)? {
            return Err(io::Error::other("too many photos are half-way here"));
        }
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let file = options.open(&path)?;
        Ok(Part { path, file })
    }

    /// Bytes that are here. 0 where no part is.
    pub(super) fn length_of(data: &Path, photo: &str) -> u64 {
        let path = data.join(FOLDER).join(format!("{photo}.part"));
        fs::metadata(path).map_or(0, |part| part.len())
    }

    /// Bytes that are here.
    pub(super) fn length(&self) -> io::Result<u64> {
        Ok(self.file.metadata()?.len())
    }

    /// Writes at a place that is not beyond the end.
    pub(super) fn write(&mut self, at: u64, bytes: &[u8]) -> io::Result<()> {
        self.file.seek(SeekFrom::Start(at))?;
        self.file.write_all(bytes)
    }

    /// The whole, where it has so many bytes and this hash. Otherwise the part is worth nothing and goes.
    pub(super) fn whole(mut self, photo: &str) -> io::Result<Option<Vec<u8>>> {
        self.file.rewind()?;
        let mut bytes = Vec::new();
        self.file.read_to_end(&mut bytes)?;
        let fine = store::sha256(&bytes) == photo;
        if !fine {
            let _ = fs::remove_file(&self.path);
        }
        Ok(fine.then_some(bytes))
    }

    /// Takes the part away once the photo is stored.
    pub(super) fn done(data: &Path, photo: &str) {
        // That one is left harms nothing: it goes when it is old.
        let _ = fs::remove_file(data.join(FOLDER).join(format!("{photo}.part")));
    }
}

/// Takes away what is old; gives how many are left.
fn tidy(folder: &Path) -> io::Result<usize> {
    let mut n = 0;
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        if entry.path().extension().is_none_or(|extension| extension != "part") {
            continue;
        }
        let old = entry.metadata().and_then(|part| part.modified());
        let old = old.is_ok_and(|time| SystemTime::now().duration_since(time).is_ok_and(|age| KEPT < age));
        if old && fs::remove_file(entry.path()).is_ok() {
            continue;
        }
        n += 1;
    }
    Ok(n)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_goes_on_where_it_broke_off_and_is_believed_by_its_hash_alone() {
        let data = tempfile::tempdir().expect("a folder");
        let whole = b"an invented photo".to_vec();
        let photo = store::sha256(&whole);
        let mut part = Part::of(data.path(), &photo).expect("opened");
        part.write(0, &whole[..7]).expect("written");
        drop(part);
        assert_eq!(Part::length_of(data.path(), &photo), 7);
        // Two write the same from different places.
        let mut one = Part::of(data.path(), &photo).expect("opened");
        let mut other = Part::of(data.path(), &photo).expect("opened");
        one.write(7, &whole[7..12]).expect("written");
        other.write(3, &whole[3..]).expect("written");
        assert_eq!(one.whole(&photo).expect("read"), Some(whole));
        Part::done(data.path(), &photo);
        let mut wrong = Part::of(data.path(), &photo).expect("opened");
        wrong.write(0, b"something else").expect("written");
        assert_eq!(wrong.whole(&photo).expect("read"), None);
        assert_eq!(Part::length_of(data.path(), &photo), 0, "what is wrong is not gone on with");
    }
}
